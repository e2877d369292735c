namespace OilWatch.Proof.Statistics;

/// <summary>Lower and upper confidence limit of a number, in its own unit.</summary>
/// <param name="Low">Lower limit; minus infinity where there is none.</param>
/// <param name="High">Upper limit; plus infinity where there is none.</param>
public readonly record struct Limits(double Low, double High)
{
    /// <summary>Limits that exclude nothing that is a number.</summary>
    public static Limits Unknown { get; } = new(double.NaN, double.NaN);

    /// <summary>True when the value lies within, ends included. False for NaN.</summary>
    /// <param name="value">In the unit of the limits.</param>
    public bool Contain(double value) => value >= Low && value <= High;

    /// <summary>Both limits times a positive factor, for a change of unit.</summary>
    /// <param name="factor">More than 0.</param>
    public Limits Times(double factor) => new(Low * factor, High * factor);
}
