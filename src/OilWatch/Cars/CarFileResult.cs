using System.Collections.Immutable;
using OilWatch.Reading;

namespace OilWatch.Cars;

/// <summary>What a car file says, and everything that is wrong with it.</summary>
/// <param name="Options">What could be read; the defaults for the rest. Not to be used while there are problems.</param>
/// <param name="Problems">Every problem with its line and column, in the order of the file; empty when the file can be used.</param>
public sealed record CarFileResult(AnalysisOptions Options, ImmutableArray<ReadingProblem> Problems)
{
    /// <summary>True when the file can be used.</summary>
    public bool IsUsable => Problems.IsEmpty;
}
