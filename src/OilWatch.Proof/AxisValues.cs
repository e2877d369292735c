namespace OilWatch.Proof;

/// <summary>One number for each condition that groups are matched on.</summary>
/// <param name="LoadG">Load, g.</param>
/// <param name="HoldS">Hold time, s.</param>
/// <param name="SpeedRpm">Engine speed, rpm.</param>
/// <param name="OilTemperatureC">Oil temperature, °C.</param>
public readonly record struct AxisValues(double LoadG, double HoldS, double SpeedRpm, double OilTemperatureC);
