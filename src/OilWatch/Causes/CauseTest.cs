namespace OilWatch.Causes;

/// <summary>One test of a cause against what a run showed.</summary>
/// <param name="Must">True when the cause is out unless this holds.</param>
/// <param name="Weight">How much it counts towards the score, 0 or more.</param>
/// <param name="Holds">Whether it holds; null where the run does not show it.</param>
/// <param name="Says">The sentence, with its numbers, for a run in which it holds; null for a test that says nothing a person needs.</param>
internal sealed record CauseTest(bool Must, double Weight, Func<Signature, bool?> Holds, Func<Signature, string>? Says);
