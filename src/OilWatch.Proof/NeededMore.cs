namespace OilWatch.Proof;

/// <summary>What more would settle the question.</summary>
/// <param name="Exposures">Further comparable exposures after the change; 0 when it is settled, null when no sensible number would.</param>
/// <param name="Before">Further comparable exposures in the state before, as well; mostly 0.</param>
/// <param name="Laps">The exposures after as laps like those driven, or null.</param>
/// <param name="Sessions">The same as sessions like those driven, or null.</param>
/// <param name="Sentence">For people.</param>
public sealed record NeededMore(int? Exposures, int Before, int? Laps, int? Sessions, string Sentence);
