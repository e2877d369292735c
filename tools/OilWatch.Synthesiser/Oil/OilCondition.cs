namespace OilWatch.Synthesiser.Oil;

/// <summary>A lasting problem of the oil system, the crankcase or the engine.</summary>
public enum OilCondition
{
    /// <summary>None.</summary>
    None,

    /// <summary>Larger clearances and a tired relief spring for the whole run: uniformly lower.</summary>
    Worn,

    /// <summary>Oil far thinner than it should be, for the whole run.</summary>
    ThinOil,

    /// <summary>Air in the oil from some point on: flutter.</summary>
    Aeration,

    /// <summary>The pump loses delivery from some point on.</summary>
    PumpFailing,

    /// <summary>The pickup breaks: it draws air from then on, under load most.</summary>
    PickupBroken,

    /// <summary>The relief valve sticks partly open from some point on.</summary>
    ReliefOpen,
}
