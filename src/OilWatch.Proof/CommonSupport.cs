using System.Collections.Immutable;
using System.Globalization;
using OilWatch.Alerts;

namespace OilWatch.Proof;

/// <summary>The region of load, hold time, engine speed and oil temperature that all groups cover, in strata, and what was left out.</summary>
/// <remarks>
/// First by place: corner label and direction where the groups know the same corners, direction and hold band otherwise. Within a place every axis is cut to the
/// range that all groups reach, a little tolerance added. What is left is split into load bands, and bands that not every group has are left out.
/// </remarks>
internal sealed class CommonSupport
{
    private readonly ProofOptions _options;
    private readonly int _groups;
    private readonly SortedDictionary<string, int[]> _leftOut = new(StringComparer.Ordinal);

    public CommonSupport(IReadOnlyList<Trial> trials, int groups, ProofOptions options)
    {
        (_options, _groups) = (options, groups);
        UsesCorners = KnowsTheSameCorners(trials);
        Axes = [.. MatchAxis.All.Where(a => Enumerable.Range(0, groups).All(g => trials.Any(t => t.Group == g && a.Value(t.Exposure) is not null)))];

        var strata = new List<IReadOnlyList<Trial>>();
        var labels = new List<string>();
        foreach (IGrouping<Place, Trial> place in trials.GroupBy(PlaceOf).OrderBy(p => p.Key))
        {
            if (!InAll(place))
            {
                LeaveOut(place, UsesCorners ? "corner or direction that the other group does not have" : "direction or hold time that the other group does not have");
                continue;
            }
            foreach (IGrouping<int, Trial> band in Within(place).GroupBy(BandOf).OrderBy(b => b.Key))
            {
                if (!InAll(band))
                {
                    LeaveOut(band, "load that the other group does not reach there");
                    continue;
                }
                strata.Add([.. band]);
                labels.Add(Label(place.Key, band.Key));
            }
        }
        Trials = strata;
        Strata = [.. strata.Zip(labels, (s, label) => new ProofStratum(
            label,
            [.. Enumerable.Range(0, groups).Select(g => s.Count(t => t.Group == g))],
            [.. Enumerable.Range(0, groups).Select(g => s.Count(t => t.Group == g && t.Event))]))];
        Covers = [.. MatchAxis.All.Select(a => Cover(a, trials))];
    }

    /// <summary>Whether corners are compared with themselves.</summary>
    public bool UsesCorners { get; }

    /// <summary>Axes that every group has.</summary>
    public IReadOnlyList<MatchAxis> Axes { get; }

    /// <summary>What is in the region, stratum by stratum.</summary>
    public IReadOnlyList<IReadOnlyList<Trial>> Trials { get; }

    /// <summary>Counts of the same.</summary>
    public ImmutableArray<ProofStratum> Strata { get; }

    /// <summary>Every condition over the groups.</summary>
    public ImmutableArray<AxisCover> Covers { get; }

    /// <summary>Why exposures were left out, with the number in each group.</summary>
    public IEnumerable<LeftOut> LeftOut => _leftOut.Select(l => new LeftOut(l.Key, [.. l.Value]));

    private bool KnowsTheSameCorners(IReadOnlyList<Trial> trials)
    {
        HashSet<string>[] corners =
            [.. Enumerable.Range(0, _groups).Select(g => trials.Where(t => t.Group == g).Select(t => t.Exposure.Corner).OfType<string>().ToHashSet(StringComparer.Ordinal))];
        return Enumerable.Range(0, _groups).All(g =>
        {
            Trial[] own = [.. trials.Where(t => t.Group == g)];
            int shared = own.Count(t => t.Exposure.Corner is { } c && corners.All(set => set.Contains(c)));
            return own.Length > 0 && shared * 2 >= own.Length;
        });
    }

    private Place PlaceOf(Trial trial) => UsesCorners
        ? new(trial.Exposure.Corner ?? "", trial.Exposure.Direction, 0)
        : new("", trial.Exposure.Direction, (int)Math.Min(1000, Math.Floor(trial.Exposure.HoldS / _options.HoldBandS)));

    private int BandOf(Trial trial) => (int)Math.Min(1000, Math.Floor((trial.Exposure.LoadG / _options.LoadBandG) + 1e-9));

    private string Label(Place place, int band)
    {
        string way = place.Direction.Word() ?? "no direction";
        string where = place.Corner.Length == 0 ? way : place.Direction is LoadDirection.Left or LoadDirection.Right ? place.Corner : $"{place.Corner} {way}";
        string hold = UsesCorners ? "" : string.Create(CultureInfo.InvariantCulture, $", held {place.HoldBand * _options.HoldBandS:0.##} to {(place.HoldBand + 1) * _options.HoldBandS:0.##} s");
        return string.Create(CultureInfo.InvariantCulture, $"{where}{hold}, {band * _options.LoadBandG:0.##} to {(band + 1) * _options.LoadBandG:0.##} g");
    }

    private bool InAll(IEnumerable<Trial> trials) => trials.Select(t => t.Group).Distinct().Count() == _groups;

    /// <summary>Cuts every axis of a place to what all groups reach.</summary>
    private List<Trial> Within(IEnumerable<Trial> place)
    {
        List<Trial> kept = [.. place];
        foreach (MatchAxis axis in Axes)
        {
            LeaveOut(kept.Where(t => axis.Value(t.Exposure) is null), $"{axis.Name} not known");
            kept.RemoveAll(t => axis.Value(t.Exposure) is null);
        }
        if (!InAll(kept))
        {
            LeaveOut(kept, "the other group's exposures there lack a condition to match on");
            return [];
        }
        List<(MatchAxis Axis, double Low, double High)> box = [.. Axes.Select(axis =>
        {
            double slack = axis.Of(_options.Tolerance);
            var ranges = kept.GroupBy(t => t.Group).Select(g => (Low: g.Min(t => axis.Value(t.Exposure)!.Value), High: g.Max(t => axis.Value(t.Exposure)!.Value))).ToList();
            return (axis, ranges.Max(r => r.Low) - slack, ranges.Min(r => r.High) + slack);
        })];
        var within = new List<Trial>();
        foreach (Trial trial in kept)
        {
            MatchAxis? outside = box.FirstOrDefault(b => !(b.Axis.Value(trial.Exposure) >= b.Low && b.Axis.Value(trial.Exposure) <= b.High)).Axis;
            if (outside is null) within.Add(trial);
            else LeaveOut([trial], $"{outside.Name} outside what the other group covers there");
        }
        return within;
    }

    private void LeaveOut(IEnumerable<Trial> trials, string why)
    {
        foreach (Trial trial in trials)
        {
            if (!_leftOut.TryGetValue(why, out int[]? counts)) _leftOut[why] = counts = new int[_groups];
            counts[trial.Group]++;
        }
    }

    private AxisCover Cover(MatchAxis axis, IReadOnlyList<Trial> all)
    {
        var ranges = ImmutableArray.CreateBuilder<(double, double)?>();
        var means = ImmutableArray.CreateBuilder<double?>();
        for (int g = 0; g < _groups; g++)
        {
            double[] values = [.. all.Where(t => t.Group == g).Select(t => axis.Value(t.Exposure)).OfType<double>()];
            ranges.Add(values.Length == 0 ? null : (values.Min(), values.Max()));
            means.Add(Mean(axis, g));
        }
        return new(axis.Name, axis.Unit, Axes.Contains(axis), ranges.ToImmutable(), means.ToImmutable());
    }

    /// <summary>Mean over the strata, each weighted as it weighs in the comparison.</summary>
    private double? Mean(MatchAxis axis, int group)
    {
        double sum = 0, weight = 0;
        foreach (IReadOnlyList<Trial> stratum in Trials)
        {
            double[] own = [.. stratum.Where(t => t.Group == group).Select(t => axis.Value(t.Exposure)).OfType<double>()];
            if (own.Length == 0) continue;
            double w = 1 / stratum.GroupBy(t => t.Group).Sum(g => 1.0 / g.Count());
            sum += w * own.Average();
            weight += w;
        }
        return weight > 0 ? sum / weight : null;
    }

    private readonly record struct Place(string Corner, LoadDirection Direction, int HoldBand) : IComparable<Place>
    {
        public int CompareTo(Place other)
        {
            int byCorner = CornerNumber(Corner).CompareTo(CornerNumber(other.Corner));
            if (byCorner == 0) byCorner = string.CompareOrdinal(Corner, other.Corner);
            if (byCorner == 0) byCorner = Direction.CompareTo(other.Direction);
            return byCorner == 0 ? HoldBand.CompareTo(other.HoldBand) : byCorner;
        }

        /// <summary>So that C10R comes after C9L.</summary>
        private static int CornerNumber(string corner)
        {
            int number = 0;
            foreach (char c in corner)
            {
                if (char.IsAsciiDigit(c)) number = Math.Min(number, 100_000) * 10 + (c - '0');
                else if (number > 0) break;
            }
            return number;
        }
    }
}
