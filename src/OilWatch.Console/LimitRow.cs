using OilWatch.Cars;

namespace OilWatch.Console;

/// <summary>One threshold as <c>channels --limits</c> lists it.</summary>
/// <param name="Section">The section's name in the car file, after <c>limits.</c>.</param>
/// <param name="Limit">The threshold.</param>
/// <param name="Default">Its value without a car file.</param>
/// <param name="Value">Its value with the car file given.</param>
internal sealed record LimitRow(string Section, Limit Limit, double Default, double Value);
