using System.Collections.Immutable;

namespace OilWatch.Causes;

/// <summary>The tests of one cause.</summary>
/// <param name="Cause">The cause.</param>
/// <param name="Tests">Its tests, the most telling first.</param>
internal sealed record CauseRule(Cause Cause, ImmutableArray<CauseTest> Tests)
{
    /// <summary>Weight of the tests that hold, as a share of those that could be made; 0 when one that must hold does not, or is not known to.</summary>
    public double Score(Signature signature)
    {
        double held = 0, made = 0;
        foreach (CauseTest test in Tests)
        {
            bool? holds = test.Holds(signature);
            if (test.Must && holds != true) return 0;
            if (holds is null) continue;
            made += test.Weight;
            if (holds.Value) held += test.Weight;
        }
        return made > 0 ? held / made : 0;
    }

    /// <summary>The sentences of the tests that hold.</summary>
    public IEnumerable<string> Evidence(Signature signature) =>
        Tests.Where(test => test.Says is not null && test.Holds(signature) == true).Select(test => test.Says!(signature));
}
