namespace OilWatch.Vibration;

/// <summary>How strong one order was.</summary>
/// <param name="Order">Cycles per crank revolution.</param>
/// <param name="Name">What the trade calls it.</param>
/// <param name="RmsG">RMS over the run, g; broadband noise under it is taken off.</param>
/// <param name="PeakRmsG">Highest RMS over the engine speeds that were held long enough, g.</param>
/// <param name="PeakAtRpm">Engine speed of that, rpm.</param>
public sealed record OrderLevel(double Order, string Name, double RmsG, double PeakRmsG, double PeakAtRpm);
