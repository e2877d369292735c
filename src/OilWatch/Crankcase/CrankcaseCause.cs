namespace OilWatch.Crankcase;

/// <summary>What is wrong with the crankcase.</summary>
public enum CrankcaseCause
{
    /// <summary>The vacuum that the pump makes is lost, in part or whole.</summary>
    VacuumLost,

    /// <summary>Pressure under load, more than there should be.</summary>
    BlowBy,

    /// <summary>Vacuum too deep for seals and pin oiling.</summary>
    TooDeep,
}
