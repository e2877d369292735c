namespace OilWatch.Vibration;

/// <summary>How long and how often engine speed was in a band, over the run.</summary>
/// <param name="Name">What the owner calls the band.</param>
/// <param name="InsideS">Seconds inside.</param>
/// <param name="Passes">How many times it came in, or went through between two readings.</param>
/// <param name="BelowS">Seconds below, engine turning.</param>
/// <param name="AboveS">Seconds above.</param>
/// <param name="Revolutions">Crank revolutions turned inside.</param>
public sealed record BandTotal(string Name, double InsideS, int Passes, double BelowS, double AboveS, double Revolutions);
