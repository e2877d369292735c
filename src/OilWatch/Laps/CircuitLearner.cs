using System.Collections.Immutable;
using OilWatch.Alerts;
using OilWatch.Frames;

namespace OilWatch.Laps;

/// <summary>Learns the corners of a circuit from its timed laps.</summary>
/// <remarks>
/// With distance: the median of lateral acceleration over the share of the lap, of the fastest few laps. Without: the commonest order of
/// lefts and rights. Memory is bounded however long the log.
/// </remarks>
public sealed class CircuitLearner
{
    private const int MaxLapsKept = 9;
    private const int MinCells = 40;
    private const int MaxCells = 8192;
    private const double CellM = 2.5;
    private const double LengthTolerance = 0.08;
    private const int MaxOrders = 64;
    private const int MaxTurns = 256;

    private readonly LoadOptions _options;
    private readonly bool _mapAtEachLap;
    private readonly LapProfile _profile = new();
    private readonly List<KeptLap> _kept = [];
    private readonly List<double> _lengths = [];
    private readonly List<CornerPass> _turns = [];
    private readonly List<Order> _orders = [];
    private Lap? _openOrder;
    private int _lapsUsed;

    /// <summary>A learner that knows nothing yet.</summary>
    /// <param name="options">Thresholds; null for the defaults.</param>
    /// <exception cref="ArgumentException">A threshold is out of range.</exception>
    public CircuitLearner(LoadOptions? options = null)
        : this(options, mapAtEachLap: true)
    {
    }

    /// <param name="options">Thresholds; null for the defaults.</param>
    /// <param name="mapAtEachLap">False where <see cref="Map"/> is not asked for as the laps go by, but <see cref="Build"/> once at the end.</param>
    internal CircuitLearner(LoadOptions? options, bool mapAtEachLap)
    {
        _mapAtEachLap = mapAtEachLap;
        _options = options ?? LoadOptions.Default;
        if (_options.Problems().ToList() is { Count: > 0 } problems)
            throw new ArgumentException(string.Join("; ", problems), nameof(options));
    }

    /// <summary>The map as known so far; null before the first timed lap with a corner.</summary>
    /// <remarks>Once there is a map its corners keep their labels: later laps only move their bounds. It may change at each completed lap.</remarks>
    public CircuitMap? Map { get; private set; }

    /// <summary>Takes a frame that has its lap and lap distance.</summary>
    public void Step(in EngineFrame frame) => _profile.Step(frame);

    /// <summary>Takes a pass as it is found; only the order of passes is learnt from it.</summary>
    public void Add(CornerPass pass)
    {
        ArgumentNullException.ThrowIfNull(pass);
        if (_openOrder is { } lap && pass.Entry >= lap.End) CloseOrder();
        if (_turns.Count < MaxTurns) _turns.Add(pass);
    }

    /// <summary>A lap is over; call before <see cref="Step"/> is given the first frame of the next.</summary>
    /// <param name="lap">The lap.</param>
    /// <param name="referenceLengthM">Length of the reference lap to whose scale frames are brought from now on, m, or NaN.</param>
    public void Close(Lap lap, double referenceLengthM)
    {
        ArgumentNullException.ThrowIfNull(lap);
        CloseOrder();
        _openOrder = lap;
        if (lap.Kind == LapKind.Timed && lap.LengthM > 0) Learn(lap);
        _profile.Begin();
        if (lap.Kind != LapKind.Timed || !_mapAtEachLap) return;
        CircuitMap? fresh = Build(referenceLengthM);
        if (fresh is not null) Map = Map is null || Map.ByOrder != fresh.ByOrder ? fresh : Refined(Map, fresh);
    }

    /// <summary>A map from everything learnt so far, with labels of its own; null where no lap had a corner.</summary>
    /// <param name="referenceLengthM">Length of the reference lap to whose scale the corners' places are brought, m; NaN for order only.</param>
    public CircuitMap? Build(double referenceLengthM) =>
        _kept.Count > 0 && referenceLengthM > 0 ? BuildByDistance(referenceLengthM) : BuildByOrder();

    private void Learn(Lap lap)
    {
        double median = Add(lap.LengthM);
        if (_lengths.Count >= 3 && Math.Abs((lap.LengthM / median) - 1) > LengthTolerance) return;
        // What was kept of laps that proved to be no usual laps goes.
        if (_lengths.Count >= 3) _kept.RemoveAll(kept => Math.Abs((kept.LengthM / median) - 1) > LengthTolerance);

        int cells = _kept.Count > 0 ? _kept[0].LateralG.Length : Math.Clamp((int)Math.Round(lap.LengthM / CellM), MinCells, MaxCells);
        bool full = _kept.Count == MaxLapsKept;
        int slowest = 0;
        for (int i = 1; i < _kept.Count; i++)
            if (_kept[i].DurationS > _kept[slowest].DurationS) slowest = i;
        if (full && lap.DurationS >= _kept[slowest].DurationS) return;

        KeptLap place = full ? _kept[slowest] : new KeptLap(new float[cells], new float[cells]);
        if (!_profile.Resample(lap.LengthM * lap.Scale, place.LateralG, place.SpeedMps))
        {
            if (full) _kept.RemoveAt(slowest);
            return;
        }

        place.LengthM = lap.LengthM;
        place.DurationS = lap.DurationS;
        if (!full) _kept.Add(place);
        _lapsUsed++;
    }

    private double Add(double length)
    {
        if (_lengths.Count < 1001)
        {
            int index = _lengths.BinarySearch(length);
            _lengths.Insert(index < 0 ? ~index : index, length);
        }

        return _lengths[_lengths.Count / 2];
    }

    private CircuitMap? BuildByDistance(double referenceLengthM)
    {
        int cells = _kept[0].LateralG.Length;
        var g = new double[cells];
        var speed = new double[cells];
        Span<float> column = stackalloc float[MaxLapsKept];
        for (int i = 0; i < cells; i++)
        {
            for (int k = 0; k < _kept.Count; k++) column[k] = _kept[k].LateralG[i];
            g[i] = Median(column[.._kept.Count]);
            for (int k = 0; k < _kept.Count; k++) column[k] = _kept[k].SpeedMps[i];
            speed[i] = Median(column[.._kept.Count]);
        }

        ImmutableArray<Corner> corners = CornerFinder.Find(Smooth(g), speed, referenceLengthM, _options);
        return corners.IsEmpty ? null : new CircuitMap { ReferenceLengthM = referenceLengthM, Corners = corners, LapsUsed = _lapsUsed };
    }

    private static double Median(Span<float> values)
    {
        int count = 0;
        foreach (float value in values)
            if (float.IsFinite(value)) values[count++] = value;
        if (count == 0) return double.NaN;
        values = values[..count];
        values.Sort();
        return count % 2 == 1 ? values[count / 2] : ((double)values[(count / 2) - 1] + values[count / 2]) / 2;
    }

    // Over five cells, about 12 m: shorter than any corner, long enough to take a single lap's noise.
    private static double[] Smooth(double[] g)
    {
        var smooth = new double[g.Length];
        for (int i = 0; i < g.Length; i++)
        {
            double sum = 0;
            int count = 0;
            for (int k = -2; k <= 2; k++)
            {
                double value = g[(i + k + g.Length) % g.Length];
                if (double.IsNaN(value)) continue;
                sum += value;
                count++;
            }

            smooth[i] = count == 0 ? double.NaN : sum / count;
        }

        return smooth;
    }

    private void CloseOrder()
    {
        if (_openOrder is not { } lap) return;
        _openOrder = null;
        int past = _turns.FindIndex(pass => pass.Entry >= lap.End);
        int until = past < 0 ? _turns.Count : past;
        if (lap.Kind == LapKind.Timed)
        {
            CornerPass[] turns = [.. _turns.Take(until).Where(pass => pass.Entry >= lap.Start)];
            if (turns.Length > 0) Learn(lap, turns);
        }

        _turns.RemoveRange(0, until);
    }

    private void Learn(Lap lap, CornerPass[] turns)
    {
        string word = string.Concat(turns.Select(turn => turn.Direction == LoadDirection.Left ? 'L' : 'R'));
        Order? order = _orders.Find(known => string.Equals(known.Word, word, StringComparison.Ordinal));
        if (order is null)
        {
            if (_orders.Count == MaxOrders) _orders.Remove(_orders.MinBy(known => known.Laps)!);
            order = new Order(word);
            _orders.Add(order);
        }

        order.Laps++;
        order.DurationS += lap.DurationS;
        for (int i = 0; i < turns.Length; i++) order.EntryShares[i] += turns[i].Entry.SecondsSince(lap.Start) / lap.DurationS;
    }

    private CircuitMap? BuildByOrder()
    {
        // The lap that has just ended may still lack its last pass, which is known when the car leaves the corner.
        Order? order = _orders.MaxBy(known => known.Laps);
        if (order is null) return null;
        return new CircuitMap
        {
            ReferenceLengthM = double.NaN,
            Corners = [.. order.Word.Select((turn, index) => CornerFinder.Named(
                index, turn == 'L' ? LoadDirection.Left : LoadDirection.Right, double.NaN, double.NaN))],
            LapsUsed = order.Laps,
            EntryShares = [.. order.EntryShares.Select(sum => sum / order.Laps)],
            ReferenceS = order.DurationS / order.Laps,
        };
    }

    private static CircuitMap Refined(CircuitMap old, CircuitMap fresh)
    {
        // In order, labels could only be kept by keeping the order.
        if (old.ByOrder) return old;
        double scale = fresh.ReferenceLengthM / old.ReferenceLengthM;
        return fresh with
        {
            Corners = [.. old.Corners.Select(corner =>
            {
                Corner before = corner with { FromM = corner.FromM * scale, ToM = corner.ToM * scale };
                Corner? now = null;
                foreach (Corner candidate in fresh.Corners)
                {
                    if (candidate.Direction != before.Direction || !Meet(before, candidate)) continue;
                    if (now is not null || old.Corners.Count(other => other.Direction == candidate.Direction
                        && Meet(other with { FromM = other.FromM * scale, ToM = other.ToM * scale }, candidate)) > 1) return before;
                    now = candidate;
                }

                return now is null ? before : before with { FromM = now.FromM, ToM = now.ToM };
            })],
        };
    }

    private static bool Meet(Corner a, Corner b) =>
        Holds(a, b.FromM) || Holds(a, b.ToM) || Holds(b, a.FromM) || Holds(b, a.ToM);

    private static bool Holds(Corner corner, double at) => corner.FromM <= corner.ToM
        ? at >= corner.FromM && at <= corner.ToM
        : at >= corner.FromM || at <= corner.ToM;

    /// <summary>Closes what is open at the end of the log, so that <see cref="Build"/> has it.</summary>
    internal void Finish() => CloseOrder();

    private sealed class KeptLap(float[] lateralG, float[] speedMps)
    {
        public float[] LateralG { get; } = lateralG;

        public float[] SpeedMps { get; } = speedMps;

        public double LengthM { get; set; }

        public double DurationS { get; set; }
    }

    private sealed class Order(string word)
    {
        public string Word { get; } = word;

        public int Laps { get; set; }

        public double DurationS { get; set; }

        public double[] EntryShares { get; } = new double[word.Length];
    }
}
