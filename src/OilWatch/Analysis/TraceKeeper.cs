using OilWatch.Alerts;
using OilWatch.Frames;
using OilWatch.Results;
using OilWatch.Results.Traces;

namespace OilWatch.Analysis;

/// <summary>Keeps what the report's pictures are drawn from, as the frames go by and in bounded memory.</summary>
/// <remarks>A ring holds the last seconds, so that a close-up can begin before its alert was raised. Of many alerts the worst are kept.</remarks>
internal sealed class TraceKeeper
{
    /// <summary>Most close-ups kept.</summary>
    public const int MostAlerts = 40;

    private const double BeforeS = 4;
    private const double AfterS = 3;
    private const double RingStepS = 0.01;
    private const int RingPoints = 1024;                   // at least 10 s, for an alert is raised later than it began
    private const double HoldS = 1;
    private const double RunningRpm = 400;
    private static readonly Comparer<AlertTraceTally> WorstFirst =
        Comparer<AlertTraceTally>.Create((left, right) => AlertOrder.WorstFirst.Compare(left.Ended, right.Ended) is not 0 and var order ? order : left.Id.CompareTo(right.Id));

    private readonly TracePoint[] _ring = new TracePoint[RingPoints];
    private readonly List<AlertTraceTally> _open = [];
    private readonly List<AlertTraceTally> _closed = [];
    private readonly RunStripTally _strip = new();
    private readonly SpeedCloudTally _pressure = new(floor: 0, step: 10);
    private readonly SpeedCloudTally _crankcase = new(floor: -100, step: 0.5, rowCount: 240);
    private readonly SpeedCloudTally _vibration = new(floor: 0, step: 0.05);
    private long _seen;
    private LogTime _last;

    /// <summary>Takes a frame with everything filled in.</summary>
    public void Step(in EngineFrame frame)
    {
        double stepS = _seen > 0 ? Math.Min(frame.At.SecondsSince(_last), HoldS) : 0;
        _last = frame.At;
        TracePoint point = Point(in frame);
        Remember(in point);
        for (int i = _open.Count - 1; i >= 0; i--)
        {
            if (_open[i].Ended is { } ended && frame.At.SecondsSince(ended.End) > AfterS) Close(i);
            else _open[i].Add(in point);
        }
        if (frame.CanJudgePressure) _strip.Add(frame.At, frame.PressureKpa / frame.ExpectedKpa);
        if (frame.SpeedRpm is not (>= RunningRpm)) return;
        _pressure.Add(frame.SpeedRpm, frame.PressureKpa, stepS);
        _crankcase.Add(frame.SpeedRpm, frame.CrankcaseKpa, stepS);
        _vibration.Add(frame.SpeedRpm, frame.VibrationLevel, stepS);
    }

    /// <summary>Takes a step in the life of an alert.</summary>
    public void Note(AlertChange change)
    {
        AlertTraceTally? tally = _open.Find(open => open.Id == change.Id);
        if (tally is null)
        {
            tally = new AlertTraceTally(change.Id);
            _open.Add(tally);
            LogTime from = change.Alert.Start.AddSeconds(-BeforeS);
            for (long i = Math.Max(0, _seen - RingPoints); i < _seen; i++)
                if (_ring[i % RingPoints].At >= from) tally.Add(in _ring[i % RingPoints]);
        }
        if (change.Phase == AlertPhase.Ended) tally.Ended = change.Alert;
    }

    /// <summary>The log is over: everything that was kept.</summary>
    public SessionTraces Finish()
    {
        for (int i = _open.Count - 1; i >= 0; i--)
            if (_open[i].Ended is not null) Close(i);
        _closed.Sort(WorstFirst);
        return new SessionTraces
        {
            Alerts = [.. _closed.Select(closed => closed.Trace())],
            PressureRatio = _strip.Strip(),
            Pressure = _pressure.Cloud(),
            Crankcase = _crankcase.Cloud(),
            Vibration = _vibration.Cloud(),
        };
    }

    private void Close(int index)
    {
        _closed.Add(_open[index]);
        _open.RemoveAt(index);
        if (_closed.Count <= MostAlerts) return;
        _closed.Sort(WorstFirst);
        _closed.RemoveAt(MostAlerts);
    }

    private void Remember(in TracePoint point)
    {
        if (_seen > 0)
        {
            ref TracePoint latest = ref _ring[(_seen - 1) % RingPoints];
            if (point.At.SecondsSince(latest.At) < RingStepS)
            {
                latest = AlertTraceTally.Lower(latest, in point);
                return;
            }
        }
        _ring[_seen++ % RingPoints] = point;
    }

    private static TracePoint Point(in EngineFrame frame) => new()
    {
        At = frame.At,
        PressureKpa = (float)frame.PressureKpa,
        ExpectedKpa = (float)frame.ExpectedKpa,
        SpreadKpa = (float)frame.SpreadKpa,
        LateralG = (float)frame.LoadLateralG,
        LongitudinalG = (float)frame.LoadLongitudinalG,
        SpeedRpm = (float)frame.SpeedRpm,
        CrankcaseKpa = (float)frame.CrankcaseKpa,
        VibrationLevel = (float)frame.VibrationLevel,
        OilTemperatureC = (float)frame.OilTemperatureC,
    };
}
