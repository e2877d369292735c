using System.Collections.Immutable;
using System.Runtime.InteropServices;
using OilWatch.Alerts;
using OilWatch.Cars;
using OilWatch.Frames;
using OilWatch.Vibration;

namespace OilWatch.Laps;

/// <summary>Adds up what happened in each lap: the rows of <c>laps.csv</c>.</summary>
/// <remarks>
/// Pressure counts towards a lap's lowest only while it can be judged and the engine turns faster than <see cref="JudgedAboveRpm"/>: pressure at idle in the
/// pits is low on a healthy engine. Times and revolutions between two frames of two laps are shared out at the crossing.
/// </remarks>
public sealed class LapTally
{
    /// <summary>Below this engine speed pressure does not count towards the lap's lowest, rpm.</summary>
    public const double JudgedAboveRpm = 1500;

    private const double HoldS = EngineHours.HoldS;

    private readonly BandDwell? _bands;
    private readonly List<LapSummary> _rows = [];
    private readonly List<bool> _judged = [];
    private EngineHours _engine = new();
    private Sums _lap = new();
    private LogTime _last;
    private double _lastRpm = double.NaN;
    private bool _any;

    /// <summary>A tally at the start of a log.</summary>
    /// <param name="bands">The car file's bands; those of engine speed count.</param>
    public LapTally(ImmutableArray<Band> bands = default) =>
        _bands = !bands.IsDefault && bands.Any(band => band.Kind == BandKind.EngineSpeed) ? new BandDwell(bands) : null;

    /// <summary>Running time and revolutions since the start of the log.</summary>
    public EngineHours Engine => _engine;

    /// <summary>Takes a frame.</summary>
    /// <param name="frame">The frame, with its load and expected pressure.</param>
    /// <param name="ended">The lap that is over with this frame, which itself belongs to the next; or null.</param>
    public void Step(in EngineFrame frame, Lap? ended = null)
    {
        if (_any && frame.At <= _last) return;
        double stepS = _any ? frame.At.SecondsSince(_last) : 0;
        _engine.Step(frame, out double revolutions);
        double inBandS = _bands?.InsideS(_lastRpm, frame.SpeedRpm, stepS) ?? 0;
        if (ended is not null)
        {
            double share = stepS > 0 ? Math.Clamp(ended.End.SecondsSince(_last) / stepS, 0, 1) : 1;
            _lap.Revolutions += share * revolutions;
            _lap.BandS += share * inBandS;
            Close(ended);
            revolutions *= 1 - share;
            inBandS *= 1 - share;
        }

        _lap.Revolutions += revolutions;
        _lap.BandS += inBandS;
        _lap.Add(frame);
        _lastRpm = frame.SpeedRpm;
        _last = frame.At;
        _any = true;
    }

    /// <summary>The log is over.</summary>
    /// <param name="last">The lap that it ended in, or null.</param>
    public void Finish(Lap? last)
    {
        if (last is not null) Close(last);
    }

    /// <summary>The rows so far, with what the alerts add.</summary>
    /// <param name="laps">The counter's laps: their kinds as they stand.</param>
    /// <param name="alerts">All alerts, final.</param>
    /// <remarks>
    /// An alert belongs to the lap in which it began. Oil-starvation alerts of caution or above count as events, and their seconds and revolutions with
    /// them; low-oil-pressure alerts of caution or above count into the seconds of low pressure. Where pressure could not be judged
    /// and no alert says otherwise, these stay null.
    /// </remarks>
    public ImmutableArray<LapSummary> Join(IReadOnlyList<Lap> laps, IEnumerable<Alert> alerts)
    {
        ArgumentNullException.ThrowIfNull(laps);
        ArgumentNullException.ThrowIfNull(alerts);
        var rows = new LapSummary[_rows.Count];
        for (int i = 0; i < rows.Length; i++) rows[i] = Row(i, laps);
        foreach (Alert alert in alerts)
        {
            int index = RowAt(rows, alert.Start);
            if (index >= 0) rows[index] = WithOil(rows[index], alert);
        }

        return ImmutableCollectionsMarshal.AsImmutableArray(rows);
    }

    /// <summary>The last row so far, with what the alerts add.</summary>
    /// <param name="laps">The counter's laps: their kinds as they stand.</param>
    /// <param name="alerts">The alerts that began in it; others are left aside.</param>
    /// <returns>Null while no lap is over.</returns>
    public LapSummary? LatestRow(IReadOnlyList<Lap> laps, IEnumerable<Alert> alerts)
    {
        ArgumentNullException.ThrowIfNull(laps);
        ArgumentNullException.ThrowIfNull(alerts);
        if (_rows.Count == 0) return null;
        LapSummary row = Row(_rows.Count - 1, laps);
        return alerts.Where(alert => alert.Start >= row.Start && alert.Start < row.End).Aggregate(row, WithOil);
    }

    private LapSummary Row(int index, IReadOnlyList<Lap> laps)
    {
        LapSummary row = index < laps.Count ? _rows[index] with { Kind = laps[index].Kind } : _rows[index];
        return _judged[index] ? row with { StarvationEvents = 0, StarvationS = 0, StarvationRevolutions = 0, LowPressureS = 0 } : row;
    }

    private static LapSummary WithOil(LapSummary row, Alert alert)
    {
        if (alert.Severity < Severity.Caution) return row;
        double seconds = alert.DurationS ?? alert.End.SecondsSince(alert.Start);
        return alert.Kind switch
        {
            AlertKind.LowOilPressure => row with { LowPressureS = (row.LowPressureS ?? 0) + seconds },
            AlertKind.OilStarvation => row with
            {
                StarvationEvents = (row.StarvationEvents ?? 0) + 1,
                StarvationS = (row.StarvationS ?? 0) + seconds,
                StarvationRevolutions = alert.Revolutions is null ? row.StarvationRevolutions : (row.StarvationRevolutions ?? 0) + alert.Revolutions,
            },
            _ => row,
        };
    }

    private static int RowAt(LapSummary[] rows, LogTime at)
    {
        int low = 0, high = rows.Length;     // the first row that begins after the instant
        while (low < high)
        {
            int middle = (low + high) / 2;
            if (rows[middle].Start <= at) low = middle + 1;
            else high = middle;
        }

        return low > 0 && (at < rows[low - 1].End || (low == rows.Length && at <= rows[low - 1].End)) ? low - 1 : -1;
    }

    private void Close(Lap lap)
    {
        if (_rows.Count < LapCounter.MaxLaps)
        {
            _rows.Add(_lap.Row(lap, _bands is not null));
            _judged.Add(_lap.Judged);
        }

        _lap = new Sums();
    }

    private struct Sums
    {
        private double _peakRpm = double.NaN, _peakG = double.NaN, _minKpa = double.NaN, _minRatio = double.NaN;
        private double _maxOilC = double.NaN, _maxCrankcaseKpa = double.NaN, _maxVibration = double.NaN;
        private double _crankcaseSum;
        private long _crankcaseCount;

        public Sums()
        {
        }

        public double Revolutions;
        public double BandS;

        public readonly bool Judged => !double.IsNaN(_minRatio);

        public void Add(in EngineFrame frame)
        {
            Raise(ref _peakRpm, frame.SpeedRpm);
            Raise(ref _peakG, Math.Abs(frame.LoadLateralG));
            Raise(ref _maxOilC, frame.OilTemperatureC);
            Raise(ref _maxCrankcaseKpa, frame.CrankcaseKpa);
            Raise(ref _maxVibration, frame.VibrationLevel);
            if (double.IsFinite(frame.CrankcaseKpa))
            {
                _crankcaseSum += frame.CrankcaseKpa;
                _crankcaseCount++;
            }

            if (!frame.CanJudgePressure || frame.ExpectedKpa <= 0 || !(frame.SpeedRpm > JudgedAboveRpm)) return;
            double ratio = frame.PressureKpa / frame.ExpectedKpa;
            if (!(frame.PressureKpa >= _minKpa)) _minKpa = frame.PressureKpa;
            if (!(ratio >= _minRatio)) _minRatio = ratio;
        }

        public readonly LapSummary Row(Lap lap, bool hasBands)
        {
            bool hasRpm = !double.IsNaN(_peakRpm);
            return new()
            {
                Lap = lap.Number,
                Kind = lap.Kind,
                Start = lap.Start,
                End = lap.End,
                EngineRevolutions = hasRpm ? Revolutions : null,
                PeakRpm = OrNull(_peakRpm),
                PeakLateralG = OrNull(_peakG),
                OilPressureMinKpa = OrNull(_minKpa),
                OilPressureMinRatio = OrNull(_minRatio),
                OilTemperatureMaxC = OrNull(_maxOilC),
                CrankcasePressureMeanKpa = _crankcaseCount > 0 ? _crankcaseSum / _crankcaseCount : null,
                CrankcasePressureMaxKpa = OrNull(_maxCrankcaseKpa),
                VibrationMax = OrNull(_maxVibration),
                BandDwellS = hasBands && hasRpm ? BandS : null,
            };
        }

        private static double? OrNull(double value) => double.IsNaN(value) ? null : value;

        private static void Raise(ref double most, double value)
        {
            if (double.IsFinite(value) && !(value <= most)) most = value;
        }
    }
}
