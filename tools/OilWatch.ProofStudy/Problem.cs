namespace OilWatch.ProofStudy;

/// <summary>Where pressure is lost before the change.</summary>
internal enum Problem
{
    /// <summary>At one corner, on nearly every lap.</summary>
    EveryLap,

    /// <summary>At three corners, on a fifth to three fifths of the laps.</summary>
    Often,

    /// <summary>Anywhere, in a few of a hundred exposures.</summary>
    Rare,

    /// <summary>At most corners, on about half of the laps.</summary>
    Everywhere,
}
