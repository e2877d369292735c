using OilWatch.Laps;

namespace OilWatch.Proof;

/// <summary>What one session adds to a group.</summary>
/// <param name="Name">For people: the log's name.</param>
/// <param name="Passes">Its passes through corners.</param>
/// <param name="Other">Trials that are no corners, such as braking zones.</param>
public sealed record ProofSession(string Name, IReadOnlyList<CornerPass> Passes, IReadOnlyList<Exposure>? Other = null)
{
    /// <summary>All trials of the session, corners first, those that could not be judged included.</summary>
    public IReadOnlyList<Exposure> Exposures() =>
        [.. Passes.Select(Exposure.From).OfType<Exposure>(), .. (Other ?? []).Where(e => e.LoadG > 0 && e.HoldS > 0)];
}
