namespace OilWatch.Vibration;

/// <summary>Seconds in the engine-speed bands within one lap.</summary>
/// <param name="Lap">Lap number, or <see cref="Frames.EngineFrame.NoLap"/>.</param>
/// <param name="InsideS">Seconds inside any of the bands; an instant in two bands counts once.</param>
public readonly record struct BandLap(int Lap, double InsideS);
