namespace OilWatch.Alerts;

/// <summary>Which way the sustained load acted, named by what the car was doing.</summary>
public enum LoadDirection
{
    /// <summary>No sustained load.</summary>
    None,

    /// <summary>A left-hand corner.</summary>
    Left,

    /// <summary>A right-hand corner.</summary>
    Right,

    /// <summary>Slowing down.</summary>
    Braking,

    /// <summary>Gaining speed.</summary>
    Accelerating,
}
