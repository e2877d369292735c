using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Pressure;

namespace OilWatch.Causes;

/// <summary>Adds up how pressure stood against healthy: by stretch of the run, engine speed and load. Memory does not grow with the run.</summary>
/// <remarks>
/// The run is kept as at most <see cref="MostStretches"/> stretches; when they are full, neighbours are joined and stretches become twice as long.
/// </remarks>
internal sealed class SignatureTally(PressureModelOptions options)
{
    /// <summary>Width of a bin of engine speed, rpm.</summary>
    public const double BinRpm = 250;

    /// <summary>Bins of engine speed: up to 10,000 rpm, and one for what is above.</summary>
    public const int Bins = 41;

    /// <summary>Classes of load: calm, some, much.</summary>
    public const int Loads = 3;

    /// <summary>From which sustained load on there is much of it, g.</summary>
    public const double MuchLoadG = 0.8;

    private const double NoLoadG = 0.4;
    private const double CalmAfterS = 1.0;             // oil that a load has moved is back, and air that it let in has passed
    private const double LatelyS = 6;                  // bubbles of a millimetre and less rise so slowly through hot oil
    private const double LongestPauseS = 5;
    private const int MostStretches = 128;         // 1.2 MB
    private const double FirstStretchS = 5;
    private const double LeastExpectedKpa = 20;
    private const double LeastRunningRpm = 600;
    private const double JudgedAboveRpm = 1500;
    private readonly List<StretchSums> _stretches = [];
    private double _stretchS = FirstStretchS;
    private LogTime _start;
    private bool _begun;
    private CalmWatch _calm;
    private LogTime _loadedAt = new(long.MinValue / 2);
    private readonly QuickResidual _quick = new();
    private double _lately = double.NaN;
    private LogTime _last;

    /// <summary>The stretches in order of time.</summary>
    public IReadOnlyList<StretchSums> Stretches => _stretches;

    /// <summary>Length of a stretch, s.</summary>
    public double StretchS => _stretchS;

    /// <summary>Mean of what was expected above 2500 rpm, kPa; NaN where there was none.</summary>
    public double MeanExpectedKpa()
    {
        double sum = 0, count = 0;
        foreach (StretchSums stretch in _stretches)
        {
            Cell fast = stretch.Over(StretchSums.FirstFastBin, Bins, 0, Loads);
            sum += fast.ExpectedKpa;
            count += fast.Count;
        }
        return sum / count;
    }

    /// <summary>The middle of a stretch.</summary>
    public LogTime MiddleOf(int stretch) => _start.AddSeconds((stretch + 0.5) * _stretchS);

    /// <summary>The stretch of an instant; -1 before the first.</summary>
    public int StretchOf(LogTime at) => at < _start ? -1 : Math.Min((int)(at.SecondsSince(_start) / _stretchS), _stretches.Count - 1);

    /// <summary>Takes a frame with its expectation filled in.</summary>
    public void Step(in EngineFrame frame)
    {
        if (!_begun) _start = frame.At;
        _begun = true;
        _calm.Step(in frame, options);
        TakeLately(in frame);
        // Where a load is not known nothing is calm: a corner would be taken for unsteady pressure.
        double g = Math.Sqrt((frame.LoadLateralG * frame.LoadLateralG) + (frame.LoadLongitudinalG * frame.LoadLongitudinalG));
        if (!(g < NoLoadG)) _loadedAt = frame.At;
        bool doubted = (frame.Suspect & ((1u << (int)Role.OilPressure) | (1u << (int)Role.EngineSpeed))) != 0;
        double ratio = frame.PressureKpa / frame.ExpectedKpa;
        if (!frame.IsFresh(Role.OilPressure) || doubted || !double.IsFinite(ratio) || frame.ExpectedKpa < LeastExpectedKpa
            || frame.SpeedRpm is not (>= LeastRunningRpm) || _calm.RunningS < options.StartUpS
            || (frame.SpeedRpm >= JudgedAboveRpm && !(frame.SpreadKpa > 0)))
        {
            return;
        }
        StretchSums stretch = StretchAt(frame.At);
        int load = frame.At.SecondsSince(_loadedAt) >= CalmAfterS ? 0 : g >= MuchLoadG ? 2 : 1;
        ref Cell cell = ref stretch[Math.Min((int)(frame.SpeedRpm / BinRpm), Bins - 1), load];
        cell.Count++;
        ratio = Math.Clamp(ratio, 0, 2);
        cell.Ratio += ratio;
        cell.Ratio2 += ratio * ratio;
        cell.PressureKpa += frame.PressureKpa;
        cell.ExpectedKpa += frame.ExpectedKpa;
        cell.Lately += _lately;
        cell.Lately2 += _lately * _lately;
        cell.LatelyRatio += _lately * ratio;
        double quick = _quick.Step(in frame);
        if (double.IsNaN(quick)) return;
        cell.FlutterCount++;
        cell.FlutterKpa2 += quick * quick;
    }

    /// <summary>Follows the speed of the last seconds: froth that was whipped up takes as long to leave the oil, and what a pickup draws is gone with the speed.</summary>
    private void TakeLately(in EngineFrame frame)
    {
        double pause = frame.At.SecondsSince(_last);
        _last = frame.At;
        double speed = frame.SpeedRpm / 1000;
        if (!double.IsFinite(speed)) return;
        _lately = double.IsFinite(_lately) && pause is >= 0 and < LongestPauseS ? _lately + ((1 - Math.Exp(-pause / LatelyS)) * (speed - _lately)) : speed;
    }

    private StretchSums StretchAt(LogTime at)
    {
        int index = (int)(at.SecondsSince(_start) / _stretchS);
        while (index >= MostStretches)
        {
            for (int i = 0; i < _stretches.Count; i += 2)
            {
                if (i + 1 < _stretches.Count) _stretches[i].Add(_stretches[i + 1]);
                _stretches[i / 2] = _stretches[i];
            }
            _stretches.RemoveRange((_stretches.Count + 1) / 2, _stretches.Count / 2);
            _stretchS *= 2;
            index = (int)(at.SecondsSince(_start) / _stretchS);
        }
        while (_stretches.Count <= index) _stretches.Add(new StretchSums());
        return _stretches[index];
    }

    /// <summary>Sums over the readings of one engine speed and load.</summary>
    public struct Cell
    {
        /// <summary>Readings.</summary>
        public double Count;

        /// <summary>Sum of the ratios of pressure to expected.</summary>
        public double Ratio;

        /// <summary>Sum of their squares.</summary>
        public double Ratio2;

        /// <summary>Sum of pressures, kPa.</summary>
        public double PressureKpa;

        /// <summary>Sum of expected pressures, kPa.</summary>
        public double ExpectedKpa;

        /// <summary>Readings at which engine speed was steady enough to measure flutter.</summary>
        public double FlutterCount;

        /// <summary>Sum of the squares of what was quick in them, kPa².</summary>
        public double FlutterKpa2;

        /// <summary>Sum of the engine speeds of the last seconds, 1000 rpm.</summary>
        public double Lately;

        /// <summary>Sum of their squares.</summary>
        public double Lately2;

        /// <summary>Sum of their products with the ratio.</summary>
        public double LatelyRatio;

        /// <summary>Adds another cell's sums.</summary>
        public void Add(in Cell other)
        {
            Count += other.Count;
            Ratio += other.Ratio;
            Ratio2 += other.Ratio2;
            PressureKpa += other.PressureKpa;
            ExpectedKpa += other.ExpectedKpa;
            FlutterCount += other.FlutterCount;
            FlutterKpa2 += other.FlutterKpa2;
            Lately += other.Lately;
            Lately2 += other.Lately2;
            LatelyRatio += other.LatelyRatio;
        }
    }
}
