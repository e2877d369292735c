namespace OilWatch.Proof;

/// <summary>The words of this project in files and on pages.</summary>
public static class ProofWords
{
    /// <summary>Such as <c>no-change-shown</c>.</summary>
    public static string Word(this ProofVerdict verdict) => verdict switch
    {
        ProofVerdict.NotComparable => "not-comparable",
        ProofVerdict.NoChangeShown => "no-change-shown",
        ProofVerdict.Improved => "improved",
        ProofVerdict.Fixed => "fixed",
        ProofVerdict.Worse => "worse",
        _ => throw new ArgumentOutOfRangeException(nameof(verdict)),
    };
}
