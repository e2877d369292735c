using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Pressure;

namespace OilWatch.Crankcase;

/// <summary>Learns from the run what ambient is for a sensor of absolute pressure, from which the standard atmosphere was subtracted.</summary>
/// <remarks>
/// <para>A standing engine shows ambient, and once it has stood nothing else counts. Until then there is idling: a pump makes less vacuum the slower it turns, and for
/// each rpm more than it does higher up. So a straight line through idle and a little above it meets no speed at or below ambient, never above it, and the zero that
/// is learned makes vacuum look shallower than it is rather than deeper: a loss is called a little sooner, and no healthy engine is called for it.</para>
/// <para>Nor is ambient below what the crankcase shows with the throttle shut, when hardly any blow-by is made: an engine that has lost its vacuum shows it so.</para>
/// <para>Idling is learned from until the engine has been driven for a minute only: what comes later may be a loss. Of the frames up to now only, in bounded memory.</para>
/// </remarks>
internal sealed class CrankcaseZero(bool isAbsolute)
{
    private const double LowestKpa = -50;              // ambient at about 5500 m
    private const double HighestKpa = 4;
    private const double HighestIdleKpa = 2.2;         // fine weather at sea level
    private const double StoodRpm = 50;
    private const double VentedS = 5;                  // what is left of the vacuum when an engine has stopped
    private const double StoodForS = 1;
    private const double StoodSmoothS = 2;
    private const double TrappedKpa = 1;
    private const int LeastReadings = 5;
    private const double BinRpm = 250;
    private const int Bins = 12;                       // up to 3000 rpm
    private const double IdleRpm = 2000;               // and the slowest speed seen must be below this
    private const double LeastRpm = 400;
    private const double LeastIdleS = 2;
    private const double LeastAboveS = 0.4;
    private const int LeastAbove = 4;
    private const double LeastApartRpm = 400;
    private const double MostApartRpm = 1500;
    private const double MostBeyondKpa = 12;
    private const double DrivenRpm = 2000;
    private const double LearnedForS = 60;             // of driving
    private const double ShutPercent = 40;
    private const double CoastPercent = 15;            // hardly any blow-by is made
    private const double CoastForS = 3;
    private const double CoastSmoothS = 2;
    private const double LeastMoveKpa = 0.3;
    private const double LongestStepS = 0.5;
    private readonly Bin?[]? _bins = isAbsolute ? new Bin?[Bins] : null;
    private LogTime _last;
    private LogTime _stoodSince;
    private LogTime _askedAt;
    private bool _begun;
    private bool _stands;
    private bool _ran;
    private double _stoodKpa = double.NaN;
    private double _stoodForS;
    private int _stoodReadings;
    private double _drivenS;
    private double _coastKpa;
    private double _coastForS;
    private double _leastKpa = LowestKpa;
    private bool _fromStanding;
    private bool _fromIdle;

    /// <summary>Ambient less the standard atmosphere, kPa; 0 while it is not known, and for a sensor that is not absolute.</summary>
    public double Kpa { get; private set; }

    /// <summary>What ambient was taken to be and why, for people; null for a sensor that is not absolute.</summary>
    public string? Note => !isAbsolute ? null : FormattableString.Invariant(
        $"an absolute sensor; ambient is taken as {Units.StandardAtmosphereKpa + Kpa:F1} kPa, {(_fromStanding ? "which the standing engine showed" : _fromIdle ? "which the engine's idling leads to" : "the standard atmosphere: the run showed no standing or idling engine")}");

    /// <summary>Takes a frame that the guard has seen, with the pressure still against the standard atmosphere.</summary>
    public void Step(in EngineFrame frame, in CrankcaseLag lag)
    {
        if (_bins is null) return;
        double step = _begun ? Math.Min(frame.At.SecondsSince(_last), LongestStepS) : 0;
        if (double.IsFinite(frame.SpeedRpm) && !frame.IsSuspect(Role.EngineSpeed))
        {
            bool stands = frame.SpeedRpm < StoodRpm;
            if (stands && !_stands)
            {
                _stoodSince = frame.At;
                _stoodForS = 0;
                _stoodReadings = 0;
            }
            _stands = stands;
            _ran |= !stands;
        }
        bool fresh = frame.IsFresh(Role.CrankcasePressure) && double.IsFinite(frame.CrankcaseKpa) && !frame.IsSuspect(Role.CrankcasePressure);
        if (!fresh || frame.IsSuspect(Role.EngineSpeed)) return;
        _last = frame.At;
        _begun = true;
        if (_stands) Stand(frame.At, frame.CrankcaseKpa, step);
        if (_stands || _fromStanding) return;
        if (_drivenS < LearnedForS) Idle(in frame, in lag, step);
        Coast(frame.CrankcaseKpa, in lag, step);
    }

    private void Stand(LogTime at, double kpa, double step)
    {
        if (_ran && at.SecondsSince(_stoodSince) < VentedS) return;
        if (kpa is not (>= LowestKpa and <= HighestKpa)) return;
        _stoodKpa = _stoodReadings == 0 ? kpa : kpa + ((_stoodKpa - kpa) * Math.Exp(-step / StoodSmoothS));
        if (_stoodReadings > 0) _stoodForS += step;
        _stoodReadings++;
        if (_stoodForS < StoodForS || _stoodReadings < LeastReadings) return;
        // A crankcase that holds on to some vacuum shows less than what was seen before.
        if (_fromStanding && _stoodKpa < Kpa - TrappedKpa) return;
        if (!_fromStanding || Math.Abs(_stoodKpa - Kpa) > LeastMoveKpa) Kpa = _stoodKpa;
        _fromStanding = true;
    }

    private void Idle(in EngineFrame frame, in CrankcaseLag lag, double step)
    {
        double rpm = lag.SpeedRpm;
        if (rpm > DrivenRpm) _drivenS += step;
        if (frame.CrankcaseKpa is not (>= LowestKpa and <= HighestKpa)) return;
        if (!lag.IsRunning || lag.Throttle > ShutPercent || rpm is not (>= LeastRpm and < Bins * BinRpm)) return;
        (_bins![(int)(rpm / BinRpm)] ??= new Bin()).Add(frame.CrankcaseKpa, rpm, step);
        if (frame.At.SecondsSince(_askedAt) < 1 && _fromIdle) return;
        _askedAt = frame.At;
        double found = Math.Max(FromIdle(_bins), _leastKpa);       // not a number while idle says nothing
        if (!double.IsFinite(found) || (_fromIdle && Math.Abs(found - Kpa) < LeastMoveKpa)) return;
        Kpa = found;
        _fromIdle = true;
    }

    private void Coast(double kpa, in CrankcaseLag lag, double step)
    {
        if (!lag.IsRunning || !(lag.Throttle < CoastPercent) || kpa is not (>= LowestKpa and <= HighestKpa))
        {
            _coastForS = 0;
            return;
        }
        _coastKpa = _coastForS == 0 ? kpa : kpa + ((_coastKpa - kpa) * Math.Exp(-step / CoastSmoothS));
        _coastForS += step;
        if (_coastForS < CoastForS || !(_coastKpa > Kpa + LeastMoveKpa) || Kpa >= HighestIdleKpa) return;
        Kpa = _leastKpa = Math.Min(_coastKpa, HighestIdleKpa);
    }

    /// <summary>Where a straight line through idle and what lies a little above it meets no speed; idle itself where nothing lies above.</summary>
    private static double FromIdle(Bin?[] bins)
    {
        foreach (Bin? slow in bins)
        {
            if (slow is null || slow.Seconds < LeastIdleS || slow.Count < LeastReadings) continue;
            if (slow.MeanRpm > IdleRpm || slow.Median is not (>= LowestKpa and <= HighestIdleKpa)) return double.NaN;
            Span<double> slopes = stackalloc double[Bins];
            int known = 0;
            foreach (Bin? fast in bins)
            {
                if (fast is null || fast.Seconds < LeastAboveS || fast.Count < LeastAbove) continue;
                double apart = fast.MeanRpm - slow.MeanRpm;
                if (apart is >= LeastApartRpm and <= MostApartRpm) slopes[known++] = (slow.Median - fast.Median) / apart;
            }
            double slope = known == 0 ? 0 : Robust.Quantile(slopes[..known], 0.5);
            double beyond = Math.Clamp(slope * slow.MeanRpm, 0, MostBeyondKpa);
            return Math.Min(slow.Median + beyond, HighestIdleKpa);
        }
        return double.NaN;
    }

    /// <summary>What was seen about one engine speed.</summary>
    private sealed class Bin
    {
        private const double StepKpa = 0.1;
        private readonly int[] _counts = new int[(int)((HighestKpa - LowestKpa) / StepKpa) + 1];
        private double _rpm;

        public double Seconds { get; private set; }

        public int Count { get; private set; }

        public double MeanRpm => _rpm / Count;

        /// <summary>The middle of the readings, kPa.</summary>
        public double Median
        {
            get
            {
                int below = 0, place = 0;
                while (2 * (below + _counts[place]) < Count) below += _counts[place++];
                return LowestKpa + ((place + ((0.5 * Count) - below) / _counts[place] - 0.5) * StepKpa);
            }
        }

        public void Add(double kpa, double rpm, double seconds)
        {
            _counts[(int)Math.Clamp(((kpa - LowestKpa) / StepKpa) + 0.5, 0, _counts.Length - 1)]++;
            _rpm += rpm;
            Seconds += seconds;
            Count++;
        }
    }
}
