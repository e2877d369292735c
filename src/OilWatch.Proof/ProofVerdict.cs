namespace OilWatch.Proof;

/// <summary>What the data prove about a change. Written to files as the text of <see cref="ProofWords"/>.</summary>
public enum ProofVerdict
{
    /// <summary>Conditions differ too much; no number is given.</summary>
    NotComparable,

    /// <summary>Neither better nor worse is shown; which is not the same as no change.</summary>
    NoChangeShown,

    /// <summary>Fewer drops than before beyond chance, but not proven to be over.</summary>
    Improved,

    /// <summary>Significantly fewer, none after at matched load, and at most a fifth of the old rate still possible.</summary>
    Fixed,

    /// <summary>More drops than before beyond chance.</summary>
    Worse,
}
