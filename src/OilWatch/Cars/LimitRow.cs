namespace OilWatch.Cars;

/// <summary>A threshold as it is listed for people.</summary>
/// <param name="Section">The section after <c>limits.</c>, such as <c>pressure_drop</c>.</param>
/// <param name="Key">The key in the section, such as <c>caution_ratio</c>.</param>
/// <param name="Unit">Its unit in words.</param>
/// <param name="Default">Its value when the car file does not say.</param>
/// <param name="Min">Smallest value allowed.</param>
/// <param name="Max">Largest value allowed.</param>
/// <param name="Meaning">What it does, in one sentence.</param>
/// <param name="Source">Where the default comes from.</param>
public sealed record LimitRow(
    string Section, string Key, string Unit, double Default, double Min, double Max, string Meaning, string Source);
