using System.Collections.Immutable;
using OilWatch.Vibration;

namespace OilWatch.Results.Traces;

/// <summary>Vibration level over engine speed and frequency.</summary>
/// <param name="FromRpm">Where the first column begins, rpm.</param>
/// <param name="StepRpm">Width of a column, rpm.</param>
/// <param name="StepHz">Height of a row, Hz; row 0 begins at 0 Hz.</param>
/// <param name="Rows">Rows in each column.</param>
/// <param name="LevelsG">RMS acceleration, g, column by column, each from low to high frequency; <see cref="float.NaN"/> where the engine never held that speed.</param>
/// <param name="Orders">The orders that matter for this engine, in cycles a crank revolution, in the order in which they are named.</param>
public sealed record VibrationMap(
    double FromRpm, double StepRpm, double StepHz, int Rows, ImmutableArray<float> LevelsG, ImmutableArray<double> Orders)
{
    private const int MostRows = 128;                      // more cannot be told apart on a page

    /// <summary>The picture of a waveform's map, from the lowest to the highest speed that was held; of frequencies drawn together the strongest stays.</summary>
    /// <param name="map">The map.</param>
    /// <param name="orders">The orders to draw, in cycles a crank revolution.</param>
    /// <returns>The picture, or null when no speed was held.</returns>
    public static VibrationMap? Of(LevelMap map, IEnumerable<double> orders)
    {
        ArgumentNullException.ThrowIfNull(map);
        int[] held = [.. Enumerable.Range(0, LevelMap.Rows).Where(speed => map.Segments(speed) > 0)];
        if (held.Length == 0 || map.Columns == 0) return null;
        int together = (map.Columns + MostRows - 1) / MostRows;
        int rows = (map.Columns + together - 1) / together;
        var levels = ImmutableArray.CreateBuilder<float>();
        for (int speed = held[0]; speed <= held[^1]; speed++)
        {
            for (int row = 0; row < rows; row++)
            {
                double most = double.NaN;
                for (int bin = row * together; bin < Math.Min(map.Columns, (row + 1) * together); bin++)
                {
                    double level = map.RmsG(speed, bin);
                    if (!(most >= level)) most = level;
                }
                levels.Add((float)most);
            }
        }
        // A row of the map has its speed in its middle.
        return new VibrationMap((held[0] - 0.5) * LevelMap.StepRpm, LevelMap.StepRpm, map.StepHz * together, rows, levels.ToImmutable(), [.. orders]);
    }
}
