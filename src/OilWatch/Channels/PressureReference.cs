namespace OilWatch.Channels;

/// <summary>What a pressure is measured from.</summary>
internal enum PressureReference
{
    /// <summary>The unit does not say; taken as gauge.</summary>
    Unsaid,

    /// <summary>From the ambient.</summary>
    Gauge,

    /// <summary>From vacuum.</summary>
    Absolute,

    /// <summary>From the ambient downwards.</summary>
    Vacuum,
}
