namespace OilWatch.Synthesiser.Sensing;

/// <summary>One logged channel: its readings in the logged unit with their logged times.</summary>
/// <param name="Role">The role's key, such as <c>oil_pressure</c>.</param>
/// <param name="Name">The channel's name in the log.</param>
/// <param name="Unit">The logged unit.</param>
/// <param name="Scale">Logged value times this ...</param>
/// <param name="Offset">... plus this is the value in the role's unit.</param>
/// <param name="RateHz">Readings a second.</param>
/// <param name="Quantum">Step of the logged value, &gt; 0.</param>
/// <param name="TimesS">When each reading was truly taken, s, ascending.</param>
/// <param name="LoggedTimesS">When the log says it was taken, s; differs where the clock was at fault.</param>
/// <param name="Values">The readings in the logged unit; NaN is no reading.</param>
public sealed record SampledChannel(
    string Role, string Name, string Unit, double Scale, double Offset, double RateHz, double Quantum,
    double[] TimesS, double[] LoggedTimesS, double[] Values)
{
    /// <summary>A reading in the role's unit.</summary>
    public double InRoleUnit(int index) => (Values[index] * Scale) + Offset;

    /// <summary>The last reading taken at or before a true time, in the logged unit; NaN before the first.</summary>
    public double HeldAt(double timeS)
    {
        int index = IndexAt(timeS);
        return index < 0 ? double.NaN : Values[index];
    }

    /// <summary>Index of the last reading taken at or before a true time; -1 before the first.</summary>
    public int IndexAt(double timeS)
    {
        int index = Array.BinarySearch(TimesS, timeS + 1e-9);
        return index >= 0 ? index : ~index - 1;
    }
}
