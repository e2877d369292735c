using System.Collections.Immutable;
using OilWatch.Alerts;
using OilWatch.Cars;
using OilWatch.Frames;

namespace OilWatch.Vibration;

/// <summary>Counts dwell and passes in engine-speed bands and calls stays that are too long: no Rx, no clock.</summary>
/// <remarks>
/// | state   | sees                                       | does                                     | next    |
/// |---------|--------------------------------------------|------------------------------------------|---------|
/// | outside | engine speed inside                        | begins a stay at the crossing            | inside  |
/// | inside  | longer than the longest stay               | **Raised**, start dated back             | staying |
/// | staying | longer than the caution stay               | **Escalated**                            | staying |
/// | inside  | outside for the leave hold                 | forgets                                  | outside |
/// | staying | outside for the leave hold                 | **Ended: recovered**, at the crossing    | outside |
/// | staying | no engine speed for the longest gap        | **Ended: data-lost**                     | outside |
/// | staying | the log ends                               | **Ended: log-ended**                     | -       |
/// Between two readings engine speed is a straight line; a band that lies between them was passed.
/// </remarks>
public sealed class BandDwell
{
    private const int MostLaps = 10_000;
    private const int MostChanges = 1000;
    private readonly SpeedBandOptions _options;
    private readonly Inside[] _bands;
    private readonly List<BandLap> _laps = [];
    private readonly Queue<BandStayChange> _changes = new();
    private bool _begun;
    private LogTime _last;
    private double _lastRpm = double.NaN;
    private LogTime _lastKnown;
    private int _lap = EngineFrame.NoLap;
    private double _lapS;

    /// <summary>Watches the engine-speed bands among <paramref name="bands"/>; the others are left to the waveform.</summary>
    /// <param name="bands">Bands of the car file.</param>
    /// <param name="options">Thresholds; the defaults when null.</param>
    /// <exception cref="ArgumentException">An option is out of range; the message names all that are.</exception>
    public BandDwell(ImmutableArray<Band> bands, SpeedBandOptions? options = null)
    {
        _options = options ?? SpeedBandOptions.Default;
        if (_options.Problems().ToList() is { Count: > 0 } problems)
            throw new ArgumentException(string.Join("; ", problems), nameof(options));
        _bands = [.. bands.Where(band => band.Kind == BandKind.EngineSpeed).Select(band => new Inside(band))];
    }

    /// <summary>Totals over the run so far, a band each.</summary>
    public ImmutableArray<BandTotal> Totals =>
        [.. _bands.Select(band => new BandTotal(band.Band.Name, band.TotalS, band.Passes, band.BelowS, band.AboveS, band.TotalRevolutions))];

    /// <summary>Laps so far in their order, the current one last; at most ten thousand are kept.</summary>
    public ImmutableArray<BandLap> Laps => _begun && _laps.Count < MostLaps ? [.. _laps, new BandLap(_lap, _lapS)] : [.. _laps];

    /// <summary>Looks at one frame; what changed is taken with <see cref="TryTake"/>.</summary>
    public void Step(in EngineFrame frame)
    {
        if (_begun && frame.At <= _last) return;
        if (frame.LapNumber != _lap) NextLap(frame.LapNumber);
        _begun = true;
        _last = frame.At;
        double rpm = frame.SpeedRpm;
        if (!(rpm >= 0 && double.IsFinite(rpm)))
        {
            if (double.IsFinite(_lastRpm) && frame.At.SecondsSince(_lastKnown) > _options.LongestGapS) Lose(frame.At);
            return;
        }
        double step = frame.At.SecondsSince(_lastKnown);
        bool follows = double.IsFinite(_lastRpm) && step <= _options.LongestGapS;
        if (!follows && double.IsFinite(_lastRpm)) Lose(frame.At);
        double union = 0;
        foreach (Inside band in _bands)
        {
            double inside = follows ? Cross(band, _lastRpm, rpm, step, frame.At) : 0;
            union = Math.Max(union, inside);
            if (!follows && band.Holds(rpm)) Enter(band, frame.At);
            Judge(band, frame.At);
        }
        if (follows) _lapS += _bands.Length > 1 ? Union(_lastRpm, rpm) * step : union;
        _lastRpm = rpm;
        _lastKnown = frame.At;
    }

    /// <summary>The log is over: what is open ends.</summary>
    public void Finish()
    {
        foreach (Inside band in _bands) Leave(band, EventEnd.LogEnded, band.OutSince ?? _lastKnown, _last);
    }

    /// <summary>Takes the next change, oldest first. Of changes that nobody takes the latest thousand are kept.</summary>
    /// <param name="change">The change.</param>
    public bool TryTake(out BandStayChange change) => _changes.TryDequeue(out change);

    /// <summary>Seconds inside any of the bands while engine speed goes in a straight line from one reading to the next; 0 across a gap.</summary>
    /// <param name="fromRpm">Engine speed at the earlier reading, rpm, or NaN.</param>
    /// <param name="toRpm">At the later one, rpm, or NaN.</param>
    /// <param name="stepS">Time between them, s.</param>
    internal double InsideS(double fromRpm, double toRpm, double stepS) =>
        fromRpm >= 0 && toRpm >= 0 && stepS <= _options.LongestGapS ? Union(fromRpm, toRpm) * stepS : 0;

    private void NextLap(int lap)
    {
        if (_begun && _laps.Count < MostLaps) _laps.Add(new BandLap(_lap, _lapS));
        _lap = lap;
        _lapS = 0;
        foreach (Inside band in _bands) band.LapS = 0;
    }

    /// <summary>Adds one straight piece of engine speed; seconds inside.</summary>
    private double Cross(Inside band, double from, double to, double step, LogTime at)
    {
        double enters = ShareAt(from, to, from < band.Band.From ? band.Band.From : band.Band.To);
        double leaves = ShareAt(from, to, to > band.Band.To ? band.Band.To : band.Band.From);
        bool was = band.Holds(from);
        bool stays = band.Holds(to);
        double share = Share(from, to, band.Band.From, band.Band.To);
        double inside = share * step;
        bool through = !was && !stays && (from < band.Band.From) != (to < band.Band.From);
        if ((!was && stays) || through)
        {
            band.Passes++;
            Enter(band, at.AddSeconds(-step * (1 - enters)));
        }
        if (inside > 0)
        {
            // Mean speed of the piece that lies inside.
            double low = Math.Clamp(from, band.Band.From, band.Band.To);
            double high = Math.Clamp(to, band.Band.From, band.Band.To);
            double revolutions = 0.5 * (low + high) / 60 * inside;
            band.TotalS += inside;
            band.LapS += inside;
            band.TotalRevolutions += revolutions;
            band.StayS += inside;
            band.StayRevolutions += revolutions;
        }
        double outside = step - inside;
        if (0.5 * (from + to) < band.Band.From || (!was && from < band.Band.From)) band.BelowS += from > 0 || to > 0 ? outside : 0;
        else band.AboveS += outside;
        if ((was && !stays) || through) band.OutSince = at.AddSeconds(-step * (1 - leaves));
        return inside;
    }

    private double Union(double from, double to)
    {
        // Bands may overlap: the share of the piece that lies in any of them, by walking their edges in order.
        double low = Math.Min(from, to), high = Math.Max(from, to);
        if (high == low)
        {
            foreach (Inside band in _bands)
                if (band.Holds(low)) return 1;
            return 0;
        }
        double covered = 0, reached = low;
        while (true)
        {
            Inside? next = null;
            foreach (Inside band in _bands)
                if (band.Band.To > reached && (next is null || band.Band.From < next.Band.From)) next = band;
            if (next is null || next.Band.From >= high) return covered / (high - low);
            double start = Math.Max(next.Band.From, reached);
            double end = Math.Min(next.Band.To, high);
            covered += Math.Max(0, end - start);
            reached = Math.Max(reached, next.Band.To);
        }
    }

    private static double ShareAt(double from, double to, double level) =>
        from == to ? 0 : Math.Clamp((level - from) / (to - from), 0, 1);

    private static double Share(double from, double to, double low, double high)
    {
        double bottom = Math.Min(from, to), top = Math.Max(from, to);
        if (top == bottom) return bottom >= low && bottom <= high ? 1 : 0;
        return Math.Max(0, Math.Min(top, high) - Math.Max(bottom, low)) / (top - bottom);
    }

    private void Enter(Inside band, LogTime at)
    {
        if (band.Since is not null && band.OutSince is { } left && at.SecondsSince(left) < _options.LeaveHoldS)
        {
            band.OutSince = null;          // it was away for less than the hold: the same stay
            return;
        }
        if (band.Since is not null) Leave(band, EventEnd.Recovered, band.OutSince ?? at, at);
        band.Since = at;
        band.OutSince = null;
        band.StayS = band.StayRevolutions = 0;
    }

    private void Judge(Inside band, LogTime at)
    {
        if (band.Since is not { } since) return;
        if (band.OutSince is { } left)
        {
            if (at.SecondsSince(left) >= _options.LeaveHoldS) Leave(band, EventEnd.Recovered, left, at);
            return;
        }
        double stayed = at.SecondsSince(since);
        if (stayed <= _options.LongestStayS) return;
        bool caution = stayed > _options.CautionStayS;
        if (!band.Open)
        {
            band.Open = true;
            band.Stay = new BandStay
            {
                Band = Array.IndexOf(_bands, band),
                Name = band.Band.Name,
                Start = since,
                Raised = at,
                Severity = caution ? Severity.Caution : Severity.Advisory,
                SeverityAt = at,
                Ending = EventEnd.Open,
                Lap = _lap,
            };
            Tell(band, AlertPhase.Raised, at, at);
        }
        else if (caution && band.Stay.Severity < Severity.Caution)
        {
            band.Stay = band.Stay with { Severity = Severity.Caution, SeverityAt = at };
            Tell(band, AlertPhase.Escalated, at, at);
        }
    }

    private void Lose(LogTime at)
    {
        foreach (Inside band in _bands) Leave(band, EventEnd.DataLost, band.OutSince ?? _lastKnown, at);
        _lastRpm = double.NaN;
    }

    private void Leave(Inside band, EventEnd ending, LogTime end, LogTime known)
    {
        if (band.Since is null) return;
        if (band.Open)
        {
            band.Stay = band.Stay with { Ending = band.OutSince is null ? ending : EventEnd.Recovered };
            Tell(band, AlertPhase.Ended, end, known);
        }
        band.Open = false;
        band.Since = null;
        band.OutSince = null;
    }

    private void Tell(Inside band, AlertPhase phase, LogTime end, LogTime known)
    {
        band.Stay = band.Stay with { End = end, InsideS = band.StayS, Revolutions = band.StayRevolutions, LapInsideS = band.LapS };
        if (_changes.Count >= MostChanges) _changes.Dequeue();
        _changes.Enqueue(new BandStayChange(phase, known, band.Stay));
    }

    /// <summary>One band and what is going on in it.</summary>
    private sealed class Inside(Band band)
    {
        public Band Band { get; } = band;
        public double TotalS { get; set; }
        public double BelowS { get; set; }
        public double AboveS { get; set; }
        public double TotalRevolutions { get; set; }
        public double LapS { get; set; }
        public int Passes { get; set; }
        public LogTime? Since { get; set; }
        public LogTime? OutSince { get; set; }
        public double StayS { get; set; }
        public double StayRevolutions { get; set; }
        public bool Open { get; set; }
        public BandStay Stay { get; set; }

        public bool Holds(double rpm) => rpm >= Band.From && rpm <= Band.To;
    }
}
