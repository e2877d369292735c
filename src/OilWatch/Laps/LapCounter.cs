using System.Collections.Immutable;
using OilWatch.Cars;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Positions;

namespace OilWatch.Laps;

/// <summary>Cuts a stream of frames into laps as they come, and says where in the lap each frame is.</summary>
/// <remarks>
/// Causal, without allocation but at the end of a lap. Frames that do not come later than the one before are labelled like it and
/// otherwise left out. The rules are in <c>docs/laps-and-corners.md</c>.
/// </remarks>
public sealed class LapCounter
{
    /// <summary>Laps kept at most; later ones are not counted, and <see cref="Note"/> says so.</summary>
    public const int MaxLaps = 100_000;

    // A gap as long as this is another outing, not a hole in a lap.
    private const double OutingGapS = 30;
    private const double SourceLostS = 5;
    private const double AtSpeedKmh = 30;
    private const double MovingKmh = 20;

    private readonly LapSource _source;
    private readonly LapOptions _options;
    private readonly IReadOnlyList<Lap> _known;
    private readonly double _knownReferenceM;
    private readonly FixTrack _track;
    private readonly List<Lap> _laps = [];
    private readonly List<double> _lengths = [];
    private GateWatch _gate;
    private LapChannelWatch _channel;
    private BeaconWatch _beacon;
    private Odometer _odometer;

    private bool _any, _inLap, _firstBeganMoving;
    private LogTime _last;
    private Current _lap;
    private double _referenceM = double.NaN;
    private double _lastSpeedKmh = double.NaN;
    private LogTime _lastSpeedAt;
    private LogTime? _standingSince;

    /// <summary>A counter at the start of a log.</summary>
    /// <param name="source">What tells the laps apart.</param>
    /// <param name="gate">The gate line; needed for <see cref="LapSource.Gate"/>.</param>
    /// <param name="options">Thresholds; null for the defaults.</param>
    /// <param name="known">The same log's counter after an earlier pass, so that distances can be scaled to each lap's own length and out laps
    /// counted back from the line; null for a single, causal pass.</param>
    /// <exception cref="ArgumentException">A threshold is out of range, or a gate is needed and missing.</exception>
    public LapCounter(LapSource source, LapGate? gate = null, LapOptions? options = null, LapCounter? known = null)
    {
        _options = options ?? LapOptions.Default;
        if (_options.Problems().ToList() is { Count: > 0 } problems)
            throw new ArgumentException(string.Join("; ", problems), nameof(options));
        if (source == LapSource.Gate && gate is null)
            throw new ArgumentException("a gate is needed to tell laps by it", nameof(gate));
        _source = source;
        _known = known?._laps.ToImmutableArray() ?? [];
        _knownReferenceM = known?.MedianLengthM ?? double.NaN;
        _referenceM = _knownReferenceM;
        _track = new FixTrack(gate is null ? null : new LocalPlane(gate.LatitudeDeg, gate.LongitudeDeg));
        if (gate is not null) _gate = new GateWatch(gate);
        _beacon = new BeaconWatch(_options.MinLapS);
        _odometer = new Odometer(_options.MaxGapS);
    }

    /// <summary>What tells the laps apart.</summary>
    public LapSource Source => _source;

    /// <summary>Laps that are over, in order.</summary>
    public IReadOnlyList<Lap> Laps => _laps;

    /// <summary>Length of the reference lap, m, to whose scale distances are brought; NaN before one is known.</summary>
    public double ReferenceLengthM => _referenceM;

    /// <summary>Median length of the timed laps so far, m; NaN before the first.</summary>
    public double MedianLengthM => _lengths.Count == 0 ? double.NaN : _lengths[_lengths.Count / 2];

    /// <summary>What had to be left out, a sentence; null when nothing.</summary>
    public string? Note => _laps.Count >= MaxLaps
        ? FormattableString.Invariant($"only the first {MaxLaps} laps are counted")
        : null;

    /// <summary>What can tell the laps of a log apart, best first; a gate needs its place in the car file and a position in the log.</summary>
    public static ImmutableArray<LapSource> SourcesFor(ChannelPlan plan, LapGate? gate)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ImmutableArray<LapSource>.Builder sources = ImmutableArray.CreateBuilder<LapSource>();
        if (gate is not null && plan.Has(Role.Latitude) && plan.Has(Role.Longitude)) sources.Add(LapSource.Gate);
        if (plan.Has(Role.Lap)) sources.Add(LapSource.LapChannel);
        if (plan.Has(Role.Beacon)) sources.Add(LapSource.Beacon);
        return sources.DrainToImmutable();
    }

    /// <summary>Takes a frame and fills in its <see cref="EngineFrame.LapNumber"/> and <see cref="EngineFrame.LapDistanceM"/>.</summary>
    /// <returns>The lap that was found to be over with this frame, or null. The frame itself belongs to the next lap.</returns>
    public Lap? Step(ref EngineFrame frame)
    {
        if (_any && frame.At <= _last)
        {
            Label(ref frame);
            return null;
        }

        double stepS = _any ? frame.At.SecondsSince(_last) : 0;
        // Positions cost most of a frame: they are followed only where they are the gate or the only speed.
        bool newFix = (_source == LapSource.Gate || !double.IsFinite(frame.VehicleSpeedKmh)) && _track.Step(frame);
        _odometer.Step(frame, stepS, _track.SpeedMps(frame.At));
        Lap? ended = stepS > _options.MaxGapS ? AfterGap(frame, stepS) : null;
        if (!_any && (_source is LapSource.Gate or LapSource.Beacon)) Begin(0, frame.At, atLine: false);
        Lap? passed = Passing(frame, newFix, stepS);
        Watch(frame, stepS);
        _last = frame.At;
        _any = true;
        Label(ref frame);
        return passed ?? ended;
    }

    /// <summary>The log is over.</summary>
    /// <returns>The lap that it ended in, or null.</returns>
    /// <remarks>With a lap channel this also settles whether the log began at the line: its first lap is then a timed one in <see cref="Laps"/>.</remarks>
    public Lap? Finish()
    {
        Lap? last = _inLap && _last > _lap.Start ? End(_last, _odometer.TotalM, atLine: false) : null;
        _inLap = false;
        SettleFirst();
        return last;
    }

    /// <summary>The number of the lap under way when an instant lies in it, or null.</summary>
    internal int? Under(LogTime at) => _inLap && at >= _lap.Start ? _lap.Number : null;

    private Lap? Passing(in EngineFrame frame, bool newFix, double stepS)
    {
        switch (_source)
        {
            case LapSource.Gate when newFix && _gate.Step(_track, out LogTime at):
                return Pass(at, frame.At);
            case LapSource.Beacon when _beacon.Step(frame.At, frame[Role.Beacon], out LogTime at):
                return Pass(at, frame.At);
            case LapSource.LapChannel:
                LapChannelWatch.Change change = _channel.Step(frame.At, frame[Role.Lap], out LogTime seen);
                return change == LapChannelWatch.Change.None ? null : Renumber(change, seen, frame.At, stepS);
            default:
                return null;
        }
    }

    private Lap? Pass(LogTime at, LogTime now)
    {
        if (_inLap && _lap.StartsAtLine && at.SecondsSince(_lap.Start) < _options.MinLapS) return null;
        if (_inLap && at <= _lap.Start) return null;
        int number = _lap.Number + 1;
        Lap? ended = _inLap ? End(at, TotalAt(at, now), atLine: true) : null;
        Begin(number, at, atLine: true, TotalAt(at, now));
        return ended;
    }

    private Lap? Renumber(LapChannelWatch.Change change, LogTime at, LogTime now, double stepS)
    {
        if (change == LapChannelWatch.Change.First)
        {
            Begin(_channel.Number, at, atLine: false);
            return null;
        }

        // A number that does not follow, early in the lap: the channel woke up late.
        if (change == LapChannelWatch.Change.Jump && at.SecondsSince(_lap.Start) < _options.MinLapS && !_lap.StartsAtLine)
        {
            _lap.Number = _channel.Number;
            return null;
        }

        if (at <= _lap.Start) return null;
        bool acrossGap = change == LapChannelWatch.Change.Next && stepS > _options.MaxGapS;
        if (change == LapChannelWatch.Change.Jump) _lap.Broken = true;
        Lap ended = acrossGap
            ? End(_last, _odometer.TotalM, atLine: false, atGap: true)
            : End(at, TotalAt(at, now), atLine: true);
        Begin(_channel.Number, at, atLine: !acrossGap, TotalAt(at, now));
        if (acrossGap) _lap.Broken = stepS <= OutingGapS;
        return ended;
    }

    private Lap? AfterGap(in EngineFrame frame, double stepS)
    {
        if (!_inLap) return null;
        _lap.Broken = true;
        _standingSince = null;
        if (stepS <= OutingGapS || _source == LapSource.LapChannel) return null;
        int number = _lap.Number + 1;
        Lap ended = End(_last, _odometer.TotalM, atLine: false, atGap: true);
        Begin(number, frame.At, atLine: false);
        return ended;
    }

    private void Begin(int number, LogTime at, bool atLine) => Begin(number, at, atLine, _odometer.TotalM);

    private void Begin(int number, LogTime at, bool atLine, double totalM)
    {
        _odometer.Begin();
        _standingSince = null;
        _inLap = true;
        _lap = new()
        {
            Number = number,
            Start = at,
            StartM = totalM,
            StartsAtLine = atLine,
            Scale = NextScale(),
            OffsetM = atLine ? 0 : double.NaN,
        };

        if (_laps.Count >= _known.Count || !(_knownReferenceM > 0)) return;
        Lap known = _known[_laps.Count];
        if (known.Start != at || !known.EndsAtLine || !(known.LengthM > 0)) return;
        if (known.Kind == LapKind.Timed)
        {
            _lap.Scale = _knownReferenceM / known.LengthM;
            _lap.OffsetM = 0;
        }
        else if (!atLine) _lap.OffsetM = _knownReferenceM - (known.LengthM * _lap.Scale);
    }

    private Lap End(LogTime at, double totalM, bool atLine, bool atGap = false)
    {
        double length = _odometer.Known ? totalM - _lap.StartM : double.NaN;
        var lap = new Lap(_lap.Number, Kind(atLine, atGap), _lap.Start, at, length)
        {
            StartsAtLine = _lap.StartsAtLine,
            EndsAtLine = atLine,
            Scale = _lap.Scale,
            OffsetM = _lap.OffsetM,
        };
        _inLap = false;
        if (_laps.Count == 0) _firstBeganMoving = _lap.BeganMoving;
        if (_laps.Count < MaxLaps) _laps.Add(lap);
        if (lap.Kind == LapKind.Timed) Learn(length);
        return lap;
    }

    private LapKind Kind(bool atLine, bool atGap)
    {
        bool atSpeed = _last.SecondsSince(_lastSpeedAt) <= 2 && _lastSpeedKmh > AtSpeedKmh;
        if (atLine)
        {
            if (!_lap.StartsAtLine) return LapKind.Out;
            if (_lap.Stood) return _lap.DrivenAfterStandS > _lap.DrivenBeforeStandS ? LapKind.Out : LapKind.In;
            return _lap.Broken ? LapKind.Incomplete : LapKind.Timed;
        }

        if (!_lap.StartsAtLine && !_lap.BeganMoving) return LapKind.Out;
        return atSpeed && !_lap.Stood ? LapKind.Incomplete : LapKind.In;
    }

    private void Learn(double length)
    {
        if (!(length > 0)) return;
        if (_lengths.Count < 1001)
        {
            int index = _lengths.BinarySearch(length);
            _lengths.Insert(index < 0 ? ~index : index, length);
        }

        if (_knownReferenceM > 0) return;
        // The first lap sets the scale, so that places do not move under the corners learnt there, unless it proves to be no usual lap.
        double median = MedianLengthM;
        if (double.IsNaN(_referenceM) || (_lengths.Count >= 3 && Math.Abs((median / _referenceM) - 1) > 0.02)) _referenceM = median;
    }

    private double NextScale()
    {
        if (!(_referenceM > 0)) return 1;
        double median = MedianLengthM, sum = 0;
        int taken = 0;
        for (int i = _laps.Count - 1; i >= 0 && i >= _laps.Count - 8 && taken < 3; i--)
        {
            Lap lap = _laps[i];
            if (lap.Kind != LapKind.Timed || Math.Abs((lap.LengthM / median) - 1) is not (< 0.05)) continue;
            sum += lap.LengthM;
            taken++;
        }

        return taken == 0 ? 1 : _referenceM / (sum / taken);
    }

    // What a lap's kind hangs on: standing, moving, and losing sight of what tells the laps apart.
    private void Watch(in EngineFrame frame, double stepS)
    {
        double kmh = frame.VehicleSpeedKmh;
        if (!double.IsFinite(kmh)) kmh = _track.SpeedMps(frame.At) * 3.6;
        if (double.IsFinite(kmh))
        {
            _lastSpeedKmh = kmh;
            _lastSpeedAt = frame.At;
        }

        if (!_inLap) return;
        if (frame.At.SecondsSince(_lap.Start) <= 2 && kmh > MovingKmh) _lap.BeganMoving = true;
        if (_source == LapSource.Gate && _track.LastSeen is { } seen && frame.At.SecondsSince(seen) > SourceLostS) _lap.Broken = true;

        bool standing = double.IsFinite(kmh) ? kmh < _options.StandKmh : frame.SpeedRpm < 300;
        if (standing)
        {
            _standingSince ??= frame.At;
            if (frame.At.SecondsSince(_standingSince.Value) > _options.StandS)
            {
                _lap.Stood = true;
                _lap.DrivenBeforeStandS += _lap.DrivenAfterStandS;     // the last stop of several is what counts
                _lap.DrivenAfterStandS = 0;
            }

            return;
        }

        _standingSince = null;
        if (stepS > _options.MaxGapS) return;
        if (_lap.Stood) _lap.DrivenAfterStandS += stepS;
        else _lap.DrivenBeforeStandS += stepS;
    }

    private void SettleFirst()
    {
        if (_source != LapSource.LapChannel || _laps.Count < 2) return;
        Lap first = _laps[0];
        if (first.Kind != LapKind.Out || !first.EndsAtLine || !_firstBeganMoving) return;
        double[] durations = [.. _laps.Where(lap => lap.Kind == LapKind.Timed).Select(lap => lap.DurationS).Order()];
        if (durations.Length == 0) return;
        double median = durations[durations.Length / 2];
        if (Math.Abs(first.DurationS - median) <= 0.05 * median) _laps[0] = first with { Kind = LapKind.Timed };
    }

    private double TotalAt(LogTime at, LogTime now) => _odometer.TotalM - (_odometer.RateMps * now.SecondsSince(at));

    private void Label(ref EngineFrame frame)
    {
        frame.LapNumber = _inLap ? _lap.Number : EngineFrame.NoLap;
        double distance = _inLap && _odometer.Known
            ? ((_odometer.TotalM - _lap.StartM) * _lap.Scale) + _lap.OffsetM
            : double.NaN;
        frame.LapDistanceM = distance >= 0 ? distance : double.NaN;
    }

    private struct Current
    {
        public int Number;
        public LogTime Start;
        public double StartM;
        public bool StartsAtLine;
        public double Scale;
        public double OffsetM;
        public bool Broken;
        public bool Stood;
        public bool BeganMoving;
        public double DrivenBeforeStandS;
        public double DrivenAfterStandS;
    }
}
