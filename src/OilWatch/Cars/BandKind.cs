namespace OilWatch.Cars;

/// <summary>What a band's limits measure.</summary>
public enum BandKind
{
    /// <summary>Engine speed, rpm: a band to stay out of.</summary>
    EngineSpeed,

    /// <summary>Vibration frequency, Hz.</summary>
    Frequency,

    /// <summary>Vibration order, cycles per crank revolution.</summary>
    Order,
}
