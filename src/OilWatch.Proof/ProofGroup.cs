namespace OilWatch.Proof;

/// <summary>Sessions in one state of the car.</summary>
/// <param name="Name">For people, such as <c>before</c> or <c>one litre more</c>.</param>
/// <param name="Sessions">At least one.</param>
public sealed record ProofGroup(string Name, IReadOnlyList<ProofSession> Sessions);
