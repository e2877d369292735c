using System.Collections.Immutable;
using OilWatch.Results.Traces;

namespace OilWatch.Vibration;

/// <summary>Vibration over engine speed and frequency. Size does not grow with the run.</summary>
public sealed class LevelMap
{
    /// <summary>Width of a row, rpm.</summary>
    public const double StepRpm = 100;

    /// <summary>How many rows there are: up to 16,000 rpm.</summary>
    public const int Rows = 160;

    private const int MostColumns = 256;
    private const int TraceRows = 100;
    private const double HighestHz = 3200;             // order 8 at 24,000 rpm
    private const double WidestRpm = 250;              // speed may move this much within what is put under one speed
    private readonly float[]?[] _rows = new float[Rows][];
    private readonly int[] _segments = new int[Rows];
    private readonly int _binsPerColumn;
    private readonly double _binHz;

    internal LevelMap(double rateHz, int segment)
    {
        _binHz = rateHz / segment;
        int bins = (int)(Math.Min(HighestHz, rateHz / 2) / _binHz);
        _binsPerColumn = Math.Max(1, (bins + MostColumns - 1) / MostColumns);
        Columns = bins / _binsPerColumn;
    }

    /// <summary>How many columns there are.</summary>
    public int Columns { get; }

    /// <summary>Width of a column, Hz.</summary>
    public double StepHz => _binsPerColumn * _binHz;

    /// <summary>Spectra that were left out, because engine speed moved too much in them or is not known.</summary>
    public long LeftOut { get; private set; }

    /// <summary>RMS acceleration in a cell, g; NaN where that speed was not held.</summary>
    /// <param name="row">Engine speed: its middle is <c>row · StepRpm</c>.</param>
    /// <param name="column">Frequency: from <c>column · StepHz</c> to the next.</param>
    public double RmsG(int row, int column) => _rows[row] is { } sums ? Math.Sqrt(sums[column] / _segments[row]) : double.NaN;

    /// <summary>Spectra behind a row.</summary>
    public int Segments(int row) => _segments[row];

    /// <summary>What the report draws: the engine speeds that were run, up to a little above order 8, in at most about a hundred rows of frequency.</summary>
    /// <param name="orders">The orders to draw lines for.</param>
    internal VibrationMap? Trace(ImmutableArray<double> orders)
    {
        int first = Array.FindIndex(_segments, count => count > 0), last = Array.FindLastIndex(_segments, count => count > 0);
        if (first < 0 || Columns == 0) return null;
        int used = Math.Clamp((int)Math.Ceiling(1.1 * EngineOrders.FrequencyHz(EngineOrders.Highest, last * StepRpm) / StepHz), 1, Columns);
        int together = (used + TraceRows - 1) / TraceRows;
        int rows = used / together;
        var levels = ImmutableArray.CreateBuilder<float>((last - first + 1) * rows);
        for (int speed = first; speed <= last; speed++)
        {
            for (int row = 0; row < rows; row++)
            {
                double square = 0;
                for (int column = row * together; column < (row + 1) * together; column++) square += Math.Pow(RmsG(speed, column), 2);
                levels.Add((float)Math.Sqrt(square));
            }
        }
        return new VibrationMap((first - 0.5) * StepRpm, StepRpm, together * StepHz, rows, levels.ToImmutable(), orders);
    }

    internal void Add(ReadOnlySpan<float> power, int segments, double speedRpm, double spanRpm)
    {
        int row = double.IsFinite(speedRpm) ? (int)Math.Round(speedRpm / StepRpm) : -1;
        if (row is < 0 or >= Rows || !(spanRpm <= WidestRpm))
        {
            LeftOut += segments;
            return;
        }
        float[] sums = _rows[row] ??= new float[Columns];
        _segments[row] += segments;
        for (int column = 0; column < sums.Length; column++)
        {
            float sum = 0;
            foreach (float bin in power.Slice(column * _binsPerColumn, _binsPerColumn)) sum += bin;
            sums[column] += sum;
        }
    }
}
