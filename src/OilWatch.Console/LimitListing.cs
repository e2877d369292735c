namespace OilWatch.Console;

/// <summary>One threshold as <c>channels --limits</c> lists it.</summary>
/// <param name="Section">The section of the car file, after <c>limits.</c>.</param>
/// <param name="Key">Its key there.</param>
/// <param name="Unit">Its unit in words.</param>
/// <param name="Value">Its value with the car file given.</param>
/// <param name="Default">Its value without a car file.</param>
/// <param name="Min">Smallest value allowed.</param>
/// <param name="Max">Largest value allowed.</param>
/// <param name="Meaning">What it does, in one sentence.</param>
/// <param name="Source">Where the default comes from.</param>
internal sealed record LimitListing(
    string Section, string Key, string Unit, double Value, double Default, double Min, double Max, string Meaning, string Source);
