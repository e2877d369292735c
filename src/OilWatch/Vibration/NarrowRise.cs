namespace OilWatch.Vibration;

/// <summary>A narrow band of the spectrum whose level has risen while the others have not.</summary>
/// <param name="Hz">Its middle.</param>
/// <param name="Ratio">Its level over healthy.</param>
/// <param name="Since">When the evidence began.</param>
/// <param name="SpeedRpm">Engine speed at which it was seen last.</param>
internal readonly record struct NarrowRise(double Hz, double Ratio, LogTime Since, double SpeedRpm);
