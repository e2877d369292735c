using OilWatch.Alerts;
using OilWatch.Frames;

namespace OilWatch.Laps;

/// <summary>Follows the car through the corners: says in which one each frame is, and reports each pass under sustained load when it is over.</summary>
/// <remarks>
/// Causal; without allocation but for a pass. A pass is reported once it cannot grow any more: <see cref="LoadOptions.MergeS"/> after the load
/// ended, or when the car has left that corner of the circuit.
/// </remarks>
public sealed class CornerTracker
{
    // The load is low-passed and distance is off by a few metres late in a lap.
    private const double ToleranceM = 8;
    private const double NearestM = 50;
    private const double MaxWaitS = 10;

    private readonly LoadOptions _options;
    private StretchFinder _stretch;
    private Tally _tally, _pending;
    private bool _hasPending;
    private double[] _overlap = [];
    private OrderAligner? _aligner;
    private int _orderIndex = -1;
    private bool _atLine, _aligned;
    private LogTime _lapStart, _last;
    private bool _any;
    private double _lastG = double.NaN;

    /// <summary>A tracker at the start of a log.</summary>
    /// <param name="map">The circuit's corners, or null where not (yet) known.</param>
    /// <param name="options">Thresholds; null for the defaults.</param>
    /// <exception cref="ArgumentException">A threshold is out of range.</exception>
    public CornerTracker(CircuitMap? map = null, LoadOptions? options = null)
    {
        _options = options ?? LoadOptions.Default;
        if (_options.Problems().ToList() is { Count: > 0 } problems)
            throw new ArgumentException(string.Join("; ", problems), nameof(options));
        _stretch = new StretchFinder(_options);
        Use(map);
    }

    /// <summary>The circuit's corners in use, or null.</summary>
    public CircuitMap? Map { get; private set; }

    /// <summary>Which corner any instant so far belongs to.</summary>
    public CornerLabels Labels { get; } = new();

    /// <summary>Goes on with another map of the same circuit.</summary>
    public void Use(CircuitMap? map)
    {
        if (ReferenceEquals(map, Map)) return;
        Map = map;
        int count = map?.Corners.Length ?? 0;
        if (_overlap.Length != count) _overlap = new double[count];
        _aligner = map is { ByOrder: true } ? new OrderAligner(map) : null;
        _atLine = _aligned = false;     // with a new order the lap under way cannot be aligned
        _orderIndex = -1;
    }

    /// <summary>A lap is over and the next has begun; call before <see cref="Step"/> is given the first frame of the next.</summary>
    public void Close(Lap lap)
    {
        ArgumentNullException.ThrowIfNull(lap);
        _atLine = lap.EndsAtLine;
        _lapStart = lap.End;
        _aligned = false;     // a turn under way at the line was of the lap before
        _aligner?.Begin();
    }

    /// <summary>Takes a frame that has its lap and lap distance, and fills in its <see cref="EngineFrame.CornerIndex"/>.</summary>
    /// <returns>A pass that is over, or null.</returns>
    public CornerPass? Step(ref EngineFrame frame)
    {
        if (_any && frame.At <= _last)
        {
            frame.CornerIndex = Index(frame);
            return null;
        }

        double g = frame.LoadLateralG;
        double stepS = _any ? Math.Min(frame.At.SecondsSince(_last), StretchFinder.HoldS) : 0;
        bool wasOn = _stretch.On;
        _stretch.Step(frame.At, g, out bool left, out bool entered);
        if (wasOn && !left) _tally.Add(frame, stepS, _lastG, g, _options.LoadOnG);

        CornerPass? over = null;
        if (left) over = Leave(frame, g);
        if (entered) over = Enter(frame) ?? over;
        int index = Index(frame);
        frame.CornerIndex = index;
        if (_stretch.On && index >= 0 && Map!.Corners[index].Direction == (_stretch.Left ? LoadDirection.Left : LoadDirection.Right))
            _overlap[index] += stepS;
        if (_hasPending && !_stretch.On)
        {
            _pending.AddPressure(frame, stepS);
            double waited = frame.At.SecondsSince(_pending.Exit);
            bool same = index >= 0 && index == _pending.Corner;
            if (waited > _options.MergeS && (!same || waited > MaxWaitS)) over = Emit() ?? over;
        }

        Labels.Step(frame.At, index, Map);
        if (double.IsFinite(g)) _lastG = g;
        _last = frame.At;
        _any = true;
        return over;
    }

    /// <summary>The log is over.</summary>
    /// <returns>The pass that it ended in or just after, or null.</returns>
    public CornerPass? Finish()
    {
        if (_stretch.On)
        {
            _tally.Exit = _last;
            if (_tally.Exit.SecondsSince(_tally.Entry) >= _options.MinLoadS) Keep(double.NaN);
        }

        return _hasPending ? Emit() : null;
    }

    private CornerPass? Leave(in EngineFrame frame, double g)
    {
        // A pass ends where the load fell below the lower threshold; what the frame itself shows comes after.
        _tally.Exit = _stretch.Exit;
        double tailS = Math.Max(0, _tally.Exit.SecondsSince(_last));
        if (tailS > 0 && double.IsFinite(g)) _tally.Add(frame, Math.Min(tailS, StretchFinder.HoldS), _lastG, _options.LoadOffG * Math.Sign(_lastG), _options.LoadOnG);
        if (_tally.Exit.SecondsSince(_tally.Entry) < _options.MinLoadS && !_tally.Merged)
        {
            if (_aligned) _aligner?.TakeBack();
            _aligned = false;
            _orderIndex = -1;
            return null;
        }

        Keep(frame.LapDistanceM);
        return null;
    }

    private void Keep(double lapDistanceM)
    {
        _pending = _tally;
        _hasPending = true;
        _pending.Corner = BestCorner(lapDistanceM);
        _orderIndex = -1;
    }

    private CornerPass? Enter(in EngineFrame frame)
    {
        CornerPass? over = null;
        double share = Math.Max(0, frame.At.SecondsSince(_stretch.Entry));
        if (_hasPending && _pending.Left == _stretch.Left)
        {
            // The same corner again: nothing was reported in between.
            _hasPending = false;
            _tally = _pending;
            _tally.Merged = true;
            _orderIndex = _pending.OrderIndex;
        }
        else
        {
            if (_hasPending) over = Emit();
            Array.Clear(_overlap);
            _aligned = _aligner is not null && _atLine;
            _orderIndex = _aligned ? _aligner!.Next(_stretch.Left, _stretch.Entry.SecondsSince(_lapStart)) : -1;
            _tally = new Tally(_stretch.Entry, _stretch.Left, frame.LapNumber, _orderIndex);
        }

        _tally.Add(frame, share, _options.LoadOnG, frame.LoadLateralG, _options.LoadOnG);
        return over;
    }

    private int BestCorner(double lapDistanceM)
    {
        if (Map is null) return -1;
        if (Map.ByOrder) return _tally.OrderIndex;
        int best = -1;
        for (int i = 0; i < _overlap.Length; i++)
            if (_overlap[i] > 0 && (best < 0 || _overlap[i] > _overlap[best])) best = i;
        return best >= 0 ? best : Map.Nearest(lapDistanceM, _tally.Left ? LoadDirection.Left : LoadDirection.Right, NearestM);
    }

    private int Index(in EngineFrame frame) =>
        Map is null ? -1 : Map.ByOrder ? (_stretch.On ? _orderIndex : -1) : Map.CornerAt(frame.LapDistanceM, ToleranceM);

    private CornerPass? Emit()
    {
        _hasPending = false;
        return _pending.Pass(_pending.Corner >= 0 && Map is not null && _pending.Corner < Map.Corners.Length ? Map.Corners[_pending.Corner].Label : null);
    }

    private struct Tally(LogTime entry, bool left, int lap, int orderIndex)
    {
        private double _s, _sustainedS, _gS, _peak, _rpmS, _rpmTime, _temperatureS, _temperatureTime, _judgedS;
        private double _minKpa = double.NaN, _minRatio = double.NaN;

        public LogTime Entry = entry;
        public LogTime Exit = entry;
        public readonly bool Left = left;
        public readonly int OrderIndex = orderIndex;
        public int Corner = -1;
        public bool Merged;

        public void Add(in EngineFrame frame, double stepS, double gBefore, double g, double threshold)
        {
            AddPressure(frame, stepS);
            double from = Math.Abs(gBefore), to = Math.Abs(g);
            if (!double.IsFinite(to)) to = from;
            if (!double.IsFinite(from)) from = to;
            _peak = Math.Max(_peak, Math.Max(from, to));
            _s += stepS;
            _gS += (from + to) / 2 * stepS;
            double high = Math.Max(from, to), low = Math.Min(from, to);
            _sustainedS += low >= threshold ? stepS : high <= threshold ? 0 : (high - threshold) / (high - low) * stepS;
            if (double.IsFinite(frame.SpeedRpm))
            {
                _rpmS += frame.SpeedRpm * stepS;
                _rpmTime += stepS;
            }

            if (double.IsFinite(frame.OilTemperatureC))
            {
                _temperatureS += frame.OilTemperatureC * stepS;
                _temperatureTime += stepS;
            }
        }

        public void AddPressure(in EngineFrame frame, double stepS)
        {
            double pressure = frame.PressureKpa;
            if (!double.IsFinite(pressure)) return;
            _minKpa = double.IsNaN(_minKpa) ? pressure : Math.Min(_minKpa, pressure);
            if (!frame.CanJudgePressure || frame.ExpectedKpa <= 0) return;
            double ratio = pressure / frame.ExpectedKpa;
            _minRatio = double.IsNaN(_minRatio) ? ratio : Math.Min(_minRatio, ratio);
            _judgedS += stepS;
        }

        public readonly CornerPass Pass(string? label) => new()
        {
            Lap = lap == EngineFrame.NoLap ? null : lap,
            Corner = label,
            Direction = Left ? LoadDirection.Left : LoadDirection.Right,
            Entry = Entry,
            Exit = Exit,
            SustainedS = _sustainedS,
            PeakLateralG = _s > 0 ? _peak : null,
            MeanLateralG = _s > 0 ? _gS / _s : null,
            MeanRpm = _rpmTime > 0 ? _rpmS / _rpmTime : null,
            OilTemperatureC = _temperatureTime > 0 ? _temperatureS / _temperatureTime : null,
            OilPressureMinKpa = double.IsNaN(_minKpa) ? null : _minKpa,
            OilPressureMinRatio = double.IsNaN(_minRatio) ? null : _minRatio,
            JudgedS = _judgedS,
        };
    }
}
