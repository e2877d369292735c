using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace OilWatch.Vibration;

/// <summary>Resamples a waveform from even steps of time to even steps of crank angle, and transforms whole numbers of engine cycles.</summary>
/// <remarks>
/// Sixty-four samples a revolution from the step of a <see cref="RateLadder"/> whose rate is 50 to 100 times the crank's: then nothing folds
/// back onto the orders, and eight samples on either side (sinc under a Kaiser window) interpolate to better than 0.1 %. Sixteen revolutions
/// (eight four-stroke cycles) a window, Hann, half overlap: orders are resolved to 1/16, and a half order is eight bins from the next.
/// Source of the method: K. R. Fyfe, E. D. S. Munck, Analysis of computed order tracking, Mech. Syst. Signal Process. 11 (1997) 187.
/// </remarks>
internal sealed class OrderTracker
{
    /// <summary>Revolutions in a window.</summary>
    public const int Revolutions = 16;

    /// <summary>Samples a revolution.</summary>
    public const int PerRevolution = 64;

    /// <summary>Samples a window.</summary>
    public const int Length = Revolutions * PerRevolution;

    /// <summary>Bins of a window's spectrum; bin b is order b / 16.</summary>
    public const int Bins = (Length / 2) + 1;

    /// <summary>Engine speed is a straight line across a gap up to this long; across a longer one it is not known.</summary>
    public const long LongestGapNs = 1_000_000_000;

    private const double SlowestRevS = 5;              // 300 rpm: cranking and stalling are not tracked
    private const double LeastRatio = 50;              // samples a second over revolutions a second
    private const int Taps = 16;
    private const int Before = 7;                      // of the taps, before the place
    private const int Phases = 512;
    private static readonly float[] Interpolators = MakeInterpolators();

    private readonly RateLadder _ladder;
    private readonly SpeedTrack _speed;
    private readonly long _startNs;
    private readonly OrderSink _sink;
    private readonly SegmentPair _pair = new(Length);
    private readonly float[] _samples = new float[Length];
    private int _filled;
    private int _interval = -1;                        // between speed readings _interval and the next
    private double _toNext;                            // revolutions from the interval's start to the next sample
    private double _windowStartS;
    private double _windowMiddleS;
    private double _lowHere = double.PositiveInfinity;   // revolutions a second: of the interval, of the window's newer half, of its older half
    private double _highHere;
    private double _lowRevS = double.PositiveInfinity;
    private double _highRevS;
    private double _lowBefore = double.PositiveInfinity;
    private double _highBefore;
    private double _lastS;
    private Held _held;

    /// <param name="ladder">The waveform at several rates.</param>
    /// <param name="speed">Engine speed; may grow, and must be known for as far as samples are to be used.</param>
    /// <param name="startNs">Log time of sample 0.</param>
    /// <param name="sink">Takes the spectra.</param>
    public OrderTracker(RateLadder ladder, SpeedTrack speed, long startNs, OrderSink sink)
    {
        _ladder = ladder;
        _speed = speed;
        _startNs = startNs;
        _sink = sink;
    }

    /// <summary>Takes the power of one or two windows.</summary>
    /// <param name="power">Mean square a bin, g², summed over the windows; valid during the call.</param>
    /// <param name="window">What is known of them.</param>
    public delegate void OrderSink(ReadOnlySpan<float> power, in OrderWindow window);

    /// <summary>Goes as far as the ladder and the speed are known.</summary>
    public void Advance()
    {
        while (true)
        {
            if (_interval < 0 && !FindStart()) return;
            if (_interval + 1 >= _speed.Count) return;
            if (!Cross()) return;
        }
    }

    /// <summary>The waveform is over: a window that waits for its pair is transformed alone.</summary>
    public void Finish() => Flush();

    private bool FindStart()
    {
        long from = _startNs + (long)(_lastS * 1e9);
        int i = _speed.Before(from, 0);
        if (i < 0) i = 0;
        if (i + 1 >= _speed.Count) return false;
        _interval = i;
        _toNext = 0;
        return true;
    }

    /// <summary>Samples one interval between speed readings; false when the waveform does not reach its end yet.</summary>
    private bool Cross()
    {
        long atNs = _speed.Nanoseconds(_interval);
        long spanNs = _speed.Nanoseconds(_interval + 1) - atNs;
        double startS = (atNs - _startNs) / 1e9;
        double spanS = spanNs / 1e9;
        double from = _speed.SpeedRpm(_interval) / 60;
        double to = _speed.SpeedRpm(_interval + 1) / 60;
        if (spanNs > LongestGapNs || from < SlowestRevS || to < SlowestRevS)
        {
            if (_ladder[0].End < (startS + spanS) * _ladder.RateHz) return false;
            Restart(startS + spanS);
            _toNext = 0;
            _interval++;
            return true;
        }
        double revolutions = 0.5 * (from + to) * spanS;
        double slope = (to - from) / spanS;
        int step = StepFor(Math.Max(from, to));
        SampleBuffer samples = _ladder[step];
        double scale = _ladder.RateHz / (1 << step);
        (_lowHere, _highHere) = from < to ? (from, to) : (to, from);
        _lowRevS = Math.Min(_lowRevS, _lowHere);
        _highRevS = Math.Max(_highRevS, _highHere);
        while (_toNext < revolutions)
        {
            // s = n·τ + a·τ²/2 solved for τ in the form that does not cancel.
            double tau = 2 * _toNext / (from + Math.Sqrt((from * from) + (2 * slope * _toNext)));
            double place = (startS + tau) * scale;
            double floor = Math.Floor(place);
            long first = (long)floor - Before;
            if (first + Taps > samples.End) return false;
            if (first < samples.First) Restart(startS + tau);
            else Take(Interpolate(samples, first, place - floor), startS + tau);
            _toNext += 1.0 / PerRevolution;
        }
        _toNext -= revolutions;
        _interval++;
        return true;
    }

    private int StepFor(double revS)
    {
        double ratio = _ladder.RateHz / (LeastRatio * revS);
        int step = ratio <= 1 ? 0 : (int)Math.Log2(ratio);
        return Math.Min(step, _ladder.Count - 1);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static float Interpolate(SampleBuffer samples, long first, double share)
    {
        int phase = (int)((share * Phases) + 0.5);
        ref float from = ref MemoryMarshal.GetReference(samples.From(first)[..Taps]);
        ref float taps = ref Unsafe.Add(ref MemoryMarshal.GetArrayDataReference(Interpolators), phase * Taps);
        return Vector256.Sum(
            (Vector256.LoadUnsafe(ref from) * Vector256.LoadUnsafe(ref taps))
            + (Vector256.LoadUnsafe(ref from, 8) * Vector256.LoadUnsafe(ref taps, 8)));
    }

    private void Take(float sample, double atS)
    {
        if (_filled == 0) _windowStartS = atS;
        if (_filled == Length / 2) _windowMiddleS = atS;
        _samples[_filled++] = sample;
        _lastS = atS;
        if (_filled < Length) return;
        Window(atS);
        _samples.AsSpan(Length / 2).CopyTo(_samples);
        _filled = Length / 2;
        _windowStartS = _windowMiddleS;
        (_lowBefore, _highBefore) = (_lowRevS, _highRevS);
        (_lowRevS, _highRevS) = (_lowHere, _highHere);
    }

    private void Window(double endS)
    {
        double revS = (Length - 1.0) / PerRevolution / (endS - _windowStartS);
        double low = Math.Min(Math.Min(_lowRevS, _lowBefore), revS);
        double high = Math.Max(Math.Max(_highRevS, _highBefore), revS);
        _pair.Put(_samples);
        _held.Add(0.5 * (_windowStartS + endS), endS, revS, low, high);
        if (_pair.Count == 2) Flush();
    }

    private void Flush()
    {
        if (_pair.Count == 0) return;
        int windows = _pair.Count;
        ReadOnlySpan<float> power = _pair.TakePower();
        var at = new LogTime(_startNs + (long)(_held.AtS / windows * 1e9));
        // The highest order that the waveform's rate leaves whole.
        double highest = Math.Min(0.4 * _ladder.RateHz / _held.High, Bins / (double)Revolutions);
        var end = new LogTime(_startNs + (long)(_held.EndS * 1e9));
        _sink(power, new OrderWindow(at, end, 60 * _held.RevS / windows, 60 * _held.Low, 60 * _held.High, windows, highest));
        _held = default;
    }

    private void Restart(double atS)
    {
        Flush();
        _filled = 0;
        _lowRevS = _lowBefore = _lowHere;
        _highRevS = _highBefore = _highHere;
        _lastS = atS;
    }

    private static float[] MakeInterpolators()
    {
        const double Beta = 5.65;
        var taps = new float[(Phases + 1) * Taps];
        Span<double> row = stackalloc double[Taps];
        for (int phase = 0; phase <= Phases; phase++)
        {
            double sum = 0;
            for (int tap = 0; tap < Taps; tap++)
            {
                double distance = tap - Before - ((double)phase / Phases);
                row[tap] = Kaiser.Sinc(distance) * Kaiser.Weight(distance / (Taps / 2.0), Beta);
                sum += row[tap];
            }
            for (int tap = 0; tap < Taps; tap++) taps[(phase * Taps) + tap] = (float)(row[tap] / sum);
        }
        return taps;
    }

    private struct Held
    {
        public double AtS;
        public double EndS;
        public double RevS;
        public double Low;
        public double High;

        public void Add(double atS, double endS, double revS, double low, double high)
        {
            Low = RevS == 0 ? low : Math.Min(Low, low);
            High = Math.Max(High, high);
            AtS += atS;
            EndS = endS;
            RevS += revS;
        }
    }
}
