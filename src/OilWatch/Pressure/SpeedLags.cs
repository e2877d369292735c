using System.Runtime.CompilerServices;

namespace OilWatch.Pressure;

/// <summary>Engine speed seen through delays and first-order lags of several lengths: what the gallery and the sensor still show of it.</summary>
/// <remarks>
/// A filtered channel, a slow transducer and a long pipe each make pressure come after engine speed in a way of their own; a pure
/// delay and one lag together stand for all of them.
/// </remarks>
internal struct SpeedLags
{
    /// <summary>How many pairs of delay and lag are tried.</summary>
    public const int Count = Delays * Times;

    /// <summary>The pair that stands for nothing known: no delay, a tenth of a second.</summary>
    public const int Usual = 2;

    private const int Delays = 3;
    private const int Times = 5;
    private const int Kept = 64;
    private const double ForgetAfterS = 1.0;
    private Values _values;
    private History _speeds;
    private Instants _instants;
    private int _next;
    private int _held;
    private LogTime _last;
    private bool _known;
    private Keeps _keeps;
    private double _keptStep;
    private double _delayed;
    private int _delayedOf;
    private long _delayedAt;

    /// <summary>Delay of a pair, s.</summary>
    public static double DelayS(int pair) => pair / Times * 0.1;

    /// <summary>Time constant of a pair, s.</summary>
    public static double TimeS(int pair) => (pair % Times) switch { 0 => 0, 1 => 0.05, 2 => 0.1, 3 => 0.17, _ => 0.28 };

    /// <summary>Engine speed as pressure still shows it, rpm, or NaN while it is not known.</summary>
    public readonly double this[int pair] => _known ? _values[pair] : double.NaN;

    /// <summary>Takes the engine speed of a frame, rpm or NaN.</summary>
    /// <param name="at">When.</param>
    /// <param name="speedRpm">Engine speed, rpm or NaN.</param>
    /// <param name="only">The only pair that will be asked for; -1 for all of them.</param>
    public void Step(LogTime at, double speedRpm, int only = -1)
    {
        double step = at.SecondsSince(_last);
        if (!double.IsFinite(speedRpm))
        {
            if (step > ForgetAfterS) _known = false;
            return;
        }
        if (!_known || step > ForgetAfterS)
        {
            for (int pair = 0; pair < Count; pair++) _values[pair] = speedRpm;
            _held = 0;
            _next = 0;
        }
        _speeds[_next] = speedRpm;
        _instants[_next] = at.Nanoseconds;
        _next = (_next + 1) % Kept;
        _held = Math.Min(_held + 1, Kept);
        if (step != _keptStep) Keep(step);
        if (only >= 0) Follow(only, at, speedRpm);
        else FollowAll(at, speedRpm);
        _known = true;
        _last = at;
    }

    /// <summary>How much of the old value a step leaves, a lag: logs tick evenly, so it seldom changes.</summary>
    private void Keep(double step)
    {
        _keptStep = step;
        for (int time = 0; time < Times; time++) _keeps[time] = TimeS(time) == 0 ? 0 : Math.Exp(-step / TimeS(time));
    }

    private void FollowAll(LogTime at, double speedRpm)
    {
        for (int delay = 0; delay < Delays; delay++)
        {
            double delayed = delay == 0 ? speedRpm : Delayed(at.AddSeconds(-0.1 * delay), speedRpm);
            for (int time = 0; time < Times; time++)
            {
                ref double value = ref _values[(delay * Times) + time];
                value = _known ? delayed + ((value - delayed) * _keeps[time]) : delayed;
            }
        }
    }

    private void Follow(int pair, LogTime at, double speedRpm)
    {
        int delay = pair / Times;
        if (pair % Times == 0 || _delayedOf != delay || _delayedAt != at.Nanoseconds)
        {
            _delayed = delay == 0 ? speedRpm : Delayed(at.AddSeconds(-0.1 * delay), speedRpm);
            _delayedOf = delay;
            _delayedAt = at.Nanoseconds;
        }
        _values[pair] = _known ? _delayed + ((_values[pair] - _delayed) * _keeps[pair % Times]) : _delayed;
    }

    /// <summary>Engine speed at an instant of the last moments, between two readings by a straight line.</summary>
    private readonly double Delayed(LogTime at, double now)
    {
        double after = now;
        long afterAt = _last.Nanoseconds;
        for (int i = 1; i <= _held; i++)
        {
            int place = (_next - i + (2 * Kept)) % Kept;
            long placeAt = _instants[place];
            if (placeAt <= at.Nanoseconds)
            {
                double span = afterAt - placeAt;
                return span <= 0 ? _speeds[place] : _speeds[place] + ((after - _speeds[place]) * ((at.Nanoseconds - placeAt) / span));
            }
            after = _speeds[place];
            afterAt = placeAt;
        }
        return after;
    }

    [InlineArray(Times)]
    private struct Keeps
    {
        private double _first;
    }

    [InlineArray(Count)]
    private struct Values
    {
        private double _first;
    }

    [InlineArray(Kept)]
    private struct History
    {
        private double _first;
    }

    [InlineArray(Kept)]
    private struct Instants
    {
        private long _first;
    }
}
