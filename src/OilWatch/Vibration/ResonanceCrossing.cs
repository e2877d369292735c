namespace OilWatch.Vibration;

/// <summary>An order that meets a resonance.</summary>
/// <param name="Order">Cycles per crank revolution.</param>
/// <param name="Name">What the trade calls the order.</param>
/// <param name="AtRpm">Engine speed at which it peaks, rpm.</param>
/// <param name="RmsG">Its RMS there, g.</param>
/// <param name="Rise">How many times what it is on either side of the peak.</param>
public readonly record struct ResonanceCrossing(double Order, string Name, double AtRpm, double RmsG, double Rise);
