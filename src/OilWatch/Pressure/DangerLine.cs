namespace OilWatch.Pressure;

/// <summary>The pressure below which bearings are in danger, whatever an engine is used to.</summary>
/// <param name="KpaPer1000Rpm">kPa gauge for each 1000 rpm; 0 for none.</param>
/// <param name="AboveRpm">Only above this engine speed, rpm.</param>
internal readonly record struct DangerLine(double KpaPer1000Rpm, double AboveRpm);
