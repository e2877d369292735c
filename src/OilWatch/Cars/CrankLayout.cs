namespace OilWatch.Cars;

/// <summary>Crankshaft layout; names the orders that matter.</summary>
public enum CrankLayout
{
    /// <summary>All crank pins in one plane.</summary>
    FlatPlane,

    /// <summary>Crank pins in two planes at a right angle.</summary>
    CrossPlane,
}
