using System.Runtime.InteropServices;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Pressure;

namespace OilWatch.Causes;

/// <summary>What calm running showed of pressure, by engine speed and how thick the oil was. Memory does not grow with the run.</summary>
internal sealed class PressureMap(PressureModelOptions options)
{
    private const double BinRpm = 250;
    private const int SpeedBins = 41;
    private const double IdleRpm = 1500;
    private const int IdleBins = (int)(IdleRpm / BinRpm);
    private const double LeastIdleRpm = 600;
    private const double SteadyRpm = 100;
    private const double ThicknessStep = 0.1;          // of the logarithm: three degrees
    private const int ThicknessBins = 64;              // a fifth of 100 °C to more than a hundred times it
    private const int CalmCells = SpeedBins * ThicknessBins;
    private const int LeastInCell = 4;
    private static readonly double LeastLogarithm = Math.Log(0.2);
    private const int MostStretches = 64;
    private const double FirstStretchS = 10;
    private readonly List<Dictionary<int, Sum>> _stretches = [];
    private double _stretchS = FirstStretchS;
    private LogTime _start;
    private bool _begun;
    private CalmWatch _calm;

    /// <summary>Takes a frame that the sensor guard has seen.</summary>
    /// <param name="frame">The frame.</param>
    /// <param name="speedRpm">Engine speed as pressure follows it, rpm.</param>
    /// <param name="thickness">How thick the oil is against 100 °C; NaN where it is not known.</param>
    public void Take(in EngineFrame frame, double speedRpm, double thickness)
    {
        _calm.Step(in frame, options);
        const uint Needed = (1u << (int)Role.OilPressure) | (1u << (int)Role.EngineSpeed);
        if (!(frame.CanJudgePressure || Idles(in frame, speedRpm)) || (frame.Suspect & Needed) != 0 || !frame.IsFresh(Role.OilPressure) || !(thickness > 0)) return;
        double logarithm = Math.Log(thickness);
        int speed = Math.Min((int)(speedRpm / BinRpm), SpeedBins - 1);
        int thick = Math.Clamp((int)((logarithm - LeastLogarithm) / ThicknessStep), 0, ThicknessBins - 1);
        int cell = (speed * ThicknessBins) + thick + (_calm.IsCalm ? 0 : CalmCells);
        CollectionsMarshal.GetValueRefOrAddDefault(StretchAt(frame.At), cell, out _).Add(speedRpm, logarithm, frame.PressureKpa);
    }

    /// <summary>True at steady idle, which is never judged against what is expected.</summary>
    private bool Idles(in EngineFrame frame, double speedRpm) =>
        double.IsFinite(frame.PressureKpa) && speedRpm is >= LeastIdleRpm and < IdleRpm && frame.SpeedRpm < IdleRpm
        && Math.Abs(frame.SpeedRpm - speedRpm) < SteadyRpm && _calm.RunningS >= options.StartUpS;

    /// <summary>Length of a stretch of the run, s: no part can be cut more finely.</summary>
    public double StretchS => _stretchS;

    /// <summary>Begin and end of the run, s of log time.</summary>
    public (double FromS, double ToS) Span => (_start.Seconds, _start.Seconds + (_stretches.Count * _stretchS));

    /// <summary>The cells at idle, of the whole run.</summary>
    public Cell[] IdleCells(double fromS = double.NegativeInfinity, double toS = double.PositiveInfinity) => CellsOf(fromS, toS, 0, IdleBins, false);

    /// <summary>The cells above idle of a part of the run that have enough readings, in order of speed and thickness.</summary>
    /// <param name="fromS">Begin of the part, s of log time.</param>
    /// <param name="toS">Its end.</param>
    public Cell[] Cells(double fromS = double.NegativeInfinity, double toS = double.PositiveInfinity) => CellsOf(fromS, toS, IdleBins, SpeedBins, false);

    /// <summary>The cells of a part of the run, idle included, whatever the load: for runs in which no load took pressure.</summary>
    /// <param name="fromS">Begin of the part, s of log time.</param>
    /// <param name="toS">Its end.</param>
    public Cell[] CellsOfAnyLoad(double fromS = double.NegativeInfinity, double toS = double.PositiveInfinity) => CellsOf(fromS, toS, 0, SpeedBins, true);

    private Cell[] CellsOf(double fromS, double toS, int fromSpeed, int toSpeed, bool anyLoad)
    {
        var sums = new SortedDictionary<int, Sum>();
        for (int i = 0; i < _stretches.Count; i++)
        {
            double beginS = _start.Seconds + (i * _stretchS);
            if (beginS < fromS || beginS + _stretchS > toS) continue;
            foreach ((int key, Sum sum) in _stretches[i])
            {
                if (!anyLoad && key >= CalmCells) continue;
                int cell = key % CalmCells;
                if (cell / ThicknessBins >= fromSpeed && cell / ThicknessBins < toSpeed) sums[cell] = sums.GetValueOrDefault(cell).With(in sum);
            }
        }
        return [.. sums.Values.Where(sum => sum.Count >= LeastInCell).Select(sum => sum.Mean())];
    }

    private Dictionary<int, Sum> StretchAt(LogTime at)
    {
        if (!_begun) (_begun, _start) = (true, at);
        int index = Math.Max(0, (int)(at.SecondsSince(_start) / _stretchS));
        while (index >= MostStretches)
        {
            for (int i = 0; i < _stretches.Count; i++)
            {
                if (i % 2 == 0) _stretches[i / 2] = _stretches[i];
                else foreach ((int cell, Sum sum) in _stretches[i]) _stretches[i / 2][cell] = _stretches[i / 2].GetValueOrDefault(cell).With(in sum);
            }
            _stretches.RemoveRange((_stretches.Count + 1) / 2, _stretches.Count / 2);
            _stretchS *= 2;
            index /= 2;
        }
        while (_stretches.Count <= index) _stretches.Add([]);
        return _stretches[index];
    }

    /// <summary>The mean of the readings of one region.</summary>
    /// <param name="SpeedRpm">Engine speed as pressure follows it, rpm.</param>
    /// <param name="Thickness">How thick the oil was against 100 °C.</param>
    /// <param name="PressureKpa">Pressure, kPa gauge.</param>
    /// <param name="SigmaKpa">Standard deviation of that mean, kPa: readings near each other in time count as a quarter of as many, and no model is truer than 1.2 %.</param>
    public readonly record struct Cell(double SpeedRpm, double Thickness, double PressureKpa, double SigmaKpa);

    private struct Sum
    {
        private const double Together = 4;
        private const double LeastShare = 0.012;
        private const double LeastKpa2 = 1;

        public double Count;
        public double SpeedRpm;
        public double Logarithm;
        public double PressureKpa;
        public double Pressure2;

        public void Add(double speedRpm, double logarithm, double pressureKpa)
        {
            Count++;
            SpeedRpm += speedRpm;
            Logarithm += logarithm;
            PressureKpa += pressureKpa;
            Pressure2 += pressureKpa * pressureKpa;
        }

        public readonly Sum With(in Sum other) => new()
        {
            Count = Count + other.Count,
            SpeedRpm = SpeedRpm + other.SpeedRpm,
            Logarithm = Logarithm + other.Logarithm,
            PressureKpa = PressureKpa + other.PressureKpa,
            Pressure2 = Pressure2 + other.Pressure2,
        };

        public readonly Cell Mean()
        {
            double mean = PressureKpa / Count, least = LeastShare * mean;
            double variance = Math.Max(0, (Pressure2 / Count) - (mean * mean)) + LeastKpa2;
            return new Cell(SpeedRpm / Count, Math.Exp(Logarithm / Count), mean, Math.Sqrt((Together * variance / Count) + (least * least)));
        }
    }
}
