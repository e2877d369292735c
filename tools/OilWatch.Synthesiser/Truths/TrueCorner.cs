namespace OilWatch.Synthesiser.Truths;

/// <summary>One corner of the circuit.</summary>
/// <param name="Label">Such as <c>C3L</c>: third of the lap, left.</param>
/// <param name="Direction"><c>left</c> or <c>right</c>.</param>
/// <param name="FromM">Where it begins, m after the line.</param>
/// <param name="ToM">Where it ends, m after the line.</param>
/// <param name="RadiusM">Radius of its tightest arc, m.</param>
/// <param name="PeakG">Largest lateral acceleration of a flying lap in it, g, as a magnitude.</param>
public sealed record TrueCorner(string Label, string Direction, double FromM, double ToM, double RadiusM, double PeakG);
