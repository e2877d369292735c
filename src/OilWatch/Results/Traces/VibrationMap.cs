using System.Collections.Immutable;

namespace OilWatch.Results.Traces;

/// <summary>Vibration level over engine speed and frequency.</summary>
/// <param name="FromRpm">Where the first column begins, rpm.</param>
/// <param name="StepRpm">Width of a column, rpm.</param>
/// <param name="StepHz">Height of a row, Hz; row 0 begins at 0 Hz.</param>
/// <param name="Rows">Rows in each column.</param>
/// <param name="LevelsG">Amplitude, g (RMS), column by column, each from low to high frequency; <see cref="float.NaN"/> where the engine never ran.</param>
/// <param name="Orders">The orders that matter for this engine, in cycles a crank revolution, in the order in which they are named.</param>
public sealed record VibrationMap(
    double FromRpm, double StepRpm, double StepHz, int Rows, ImmutableArray<float> LevelsG, ImmutableArray<double> Orders);
