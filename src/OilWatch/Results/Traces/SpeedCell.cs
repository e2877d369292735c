namespace OilWatch.Results.Traces;

/// <summary>How long the engine ran in one cell of a <see cref="SpeedCloud"/>.</summary>
/// <param name="Column">Place along engine speed, counted from 0.</param>
/// <param name="Row">Place along the value, counted from 0.</param>
/// <param name="Seconds">How long, s, &gt; 0.</param>
public readonly record struct SpeedCell(int Column, int Row, float Seconds);
