using OilWatch.Laps;
using OilWatch.Results;

namespace OilWatch.Proof;

/// <summary>From analysed logs to a proof: what <c>oilwatch prove</c> does between reading and writing.</summary>
public static class ProofRun
{
    /// <summary>Compares the logs before a change with the logs after it.</summary>
    /// <param name="before">Analysed logs before; none is allowed and gives <see cref="ProofVerdict.NotComparable"/>.</param>
    /// <param name="after">Analysed logs after.</param>
    /// <param name="options">Null for the defaults.</param>
    /// <param name="other">Trials of a log that are neither corners nor braking zones; null for none.</param>
    /// <exception cref="ArgumentException">Bad options; the message names all of them.</exception>
    public static ProofResult Prove(
        IReadOnlyList<SessionResult> before, IReadOnlyList<SessionResult> after, ProofOptions? options = null, Func<SessionResult, IReadOnlyList<Exposure>>? other = null)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        ProofResult result = ProofAnalysis.Compare(GroupOf("before", before, other), GroupOf("after", after, other), options);
        return result with { Reasons = [.. result.Reasons, .. Doubts([.. before, .. after])] };
    }

    /// <summary>Compares any number of groups with the first.</summary>
    /// <param name="groups">Name and analysed logs of each, two or more groups.</param>
    /// <param name="options">Null for the defaults.</param>
    /// <param name="other">Trials of a log that are neither corners nor braking zones; null for none.</param>
    /// <exception cref="ArgumentException">Fewer than two groups, or bad options.</exception>
    public static ProofComparison ProveAll(
        IReadOnlyList<(string Name, IReadOnlyList<SessionResult> Sessions)> groups, ProofOptions? options = null, Func<SessionResult, IReadOnlyList<Exposure>>? other = null)
    {
        ArgumentNullException.ThrowIfNull(groups);
        ProofComparison comparison = ProofAnalysis.CompareAll([.. groups.Select(g => GroupOf(g.Name, g.Sessions, other))], options);
        return comparison with
        {
            Pairs = [.. comparison.Pairs.Select((p, i) => p with { Reasons = [.. p.Reasons, .. Doubts([.. groups[0].Sessions, .. groups[i + 1].Sessions])] })],
        };
    }

    /// <summary>A group out of analysed logs.</summary>
    /// <param name="name">For people.</param>
    /// <param name="sessions">Analysed logs.</param>
    /// <param name="other">Trials of a log that are neither corners nor braking zones; null for none.</param>
    public static ProofGroup GroupOf(string name, IReadOnlyList<SessionResult> sessions, Func<SessionResult, IReadOnlyList<Exposure>>? other = null)
    {
        ArgumentNullException.ThrowIfNull(sessions);
        return new(name, [.. sessions.Select(s => new ProofSession(s.LogName, (IReadOnlyList<CornerPass>)s.CornerPasses, [.. s.BrakingZones.Select(Exposure.From).OfType<Exposure>(), .. other?.Invoke(s) ?? []]))]);
    }

    /// <summary>What about the logs themselves weakens the proof.</summary>
    private static IEnumerable<string> Doubts(IReadOnlyList<SessionResult> sessions)
    {
        string[] low = [.. sessions.Where(s => s.Baseline is null or { Confidence: "low" }).Select(s => s.LogName).Distinct(StringComparer.Ordinal)];
        if (low.Length > 0)
            yield return $"What healthy pressure is was known only with low confidence in {string.Join(", ", low)}; a learned baseline would make drops there surer.";
        string[] origins = [.. sessions.Select(s => s.Baseline?.Origin).OfType<string>().Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal)];
        if (origins.Length > 1)
            yield return $"The logs were judged against healthy pressure of different origin ({string.Join(", ", origins)}), which can shift what counts as a drop.";
    }
}
