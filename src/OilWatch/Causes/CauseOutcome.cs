namespace OilWatch.Causes;

/// <summary>What came of reading a cause.</summary>
public enum CauseOutcome
{
    /// <summary>There is nothing to explain.</summary>
    NothingFound,

    /// <summary>One cause fits clearly better than every other.</summary>
    Named,

    /// <summary>The measurements do not tell the candidates apart, or fit none.</summary>
    CannotTell,

    /// <summary>Oil pressure could not be judged.</summary>
    NotJudged,
}
