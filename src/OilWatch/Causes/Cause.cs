namespace OilWatch.Causes;

/// <summary>What can be behind a loss of oil pressure. Written to files as the text of <see cref="CauseWords"/>.</summary>
public enum Cause
{
    /// <summary>The pickup draws air while a load moves the oil away from it: fill level, baffle, pickup position.</summary>
    PickupUncovered,

    /// <summary>Air mixed into the oil: pressure flutters and falls with speed.</summary>
    AirInOil,

    /// <summary>Oil thinner than before: fuel in it, the wrong grade, or heat.</summary>
    ThinOil,

    /// <summary>Clearances larger than before: worn bearings.</summary>
    Wear,

    /// <summary>The relief valve stays open or its spring is weak.</summary>
    ReliefValve,

    /// <summary>The pump or its drive delivers less.</summary>
    PumpDamage,

    /// <summary>The pickup is broken, cracked or has come off.</summary>
    PickupBroken,

    /// <summary>The pump starves at high speed: cavitation or a restricted pickup.</summary>
    RestrictedPickup,

    /// <summary>A sensor, its connector or its wiring.</summary>
    Sensor,
}
