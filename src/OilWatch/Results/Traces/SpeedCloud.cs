using System.Collections.Immutable;

namespace OilWatch.Results.Traces;

/// <summary>Where a quantity was over engine speed, as time spent in each cell of a grid.</summary>
/// <param name="StepRpm">Width of a cell, rpm; column 0 begins at 0 rpm.</param>
/// <param name="Floor">Where row 0 begins, in the quantity's unit; smaller values are counted in it.</param>
/// <param name="Step">Height of a cell, in the quantity's unit.</param>
/// <param name="Cells">The cells that are not empty, by column, then by row.</param>
public sealed record SpeedCloud(double StepRpm, double Floor, double Step, ImmutableArray<SpeedCell> Cells);
