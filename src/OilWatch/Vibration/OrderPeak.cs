namespace OilWatch.Vibration;

/// <summary>A line in the order spectrum, wherever it lies.</summary>
/// <param name="Order">Its place, cycles per crank revolution; resolved to 1/16, interpolated to about 0.01.</param>
/// <param name="RmsG">Its RMS over the run, g; broadband noise under it is taken off.</param>
public readonly record struct OrderPeak(double Order, double RmsG);
