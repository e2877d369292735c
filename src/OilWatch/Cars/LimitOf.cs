namespace OilWatch.Cars;

/// <summary>One threshold of an options record, with how to read and change it; no reflection.</summary>
/// <typeparam name="TOptions">The options record it belongs to.</typeparam>
public sealed record LimitOf<TOptions> : Limit
{
    /// <summary>Reads it.</summary>
    public required Func<TOptions, double> Get { get; init; }

    /// <summary>The options with it changed.</summary>
    public required Func<TOptions, double, TOptions> With { get; init; }

    /// <summary>A threshold in a line.</summary>
    internal static LimitOf<TOptions> Of(
        string key, string unit, double min, double max, string meaning, string source, Func<TOptions, double> get, Func<TOptions, double, TOptions> with) => new()
        {
            Key = key,
            Unit = unit,
            Min = min,
            Max = max,
            Meaning = meaning,
            Source = source,
            Get = get,
            With = with,
        };

    /// <summary>The problem with its value in <paramref name="options"/>, or null when it is in range.</summary>
    /// <param name="section">The section's name in the car file, such as <c>pressure_drop</c>.</param>
    /// <param name="options">The options to look at.</param>
    public string? ProblemIn(string section, TOptions options)
    {
        double value = Get(options);
        return value >= Min && value <= Max
            ? null
            : FormattableString.Invariant($"limits.{section}.{Key} = {value} is out of range; {Min} to {Max} is allowed");
    }
}
