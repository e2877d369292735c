namespace OilWatch.Cars;

/// <summary>How the oil is kept.</summary>
public enum Lubrication
{
    /// <summary>In a pan under the crankshaft, with the pickup in it.</summary>
    WetSump,

    /// <summary>In a tank of its own, fed back by scavenge stages.</summary>
    DrySump,
}
