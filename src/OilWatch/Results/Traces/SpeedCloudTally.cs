using System.Collections.Immutable;

namespace OilWatch.Results.Traces;

/// <summary>Adds up a <see cref="SpeedCloud"/> in bounded memory: rows double their height when a value lies above them.</summary>
internal sealed class SpeedCloudTally(double floor, double step, int rowCount = 96)
{
    private const int Columns = 128;
    private const double StepRpm = 125;                    // 128 columns: up to 16,000 rpm
    private const double Most = 1e9;                       // no quantity kept here is larger
    private readonly float[] _seconds = new float[Columns * rowCount];
    private double _step = step;
    private bool _any;

    /// <summary>Counts a value that stood for a time.</summary>
    public void Add(double rpm, double value, double seconds)
    {
        if (rpm is not (>= 0 and < Columns * StepRpm) || value is not (> -Most and < Most) || !(seconds > 0)) return;
        while (value >= floor + (_step * rowCount)) Widen();
        int row = Math.Max(0, (int)((value - floor) / _step));
        _seconds[((int)(rpm / StepRpm) * rowCount) + Math.Min(row, rowCount - 1)] += (float)seconds;
        _any = true;
    }

    /// <summary>The cloud, or null when nothing was added.</summary>
    public SpeedCloud? Cloud()
    {
        if (!_any) return null;
        ImmutableArray<SpeedCell>.Builder cells = ImmutableArray.CreateBuilder<SpeedCell>();
        for (int i = 0; i < _seconds.Length; i++)
            if (_seconds[i] > 0) cells.Add(new SpeedCell(i / rowCount, i % rowCount, _seconds[i]));
        return new SpeedCloud(StepRpm, floor, _step, cells.ToImmutable());
    }

    private void Widen()
    {
        _step *= 2;
        for (int column = 0; column < Columns; column++)
        {
            Span<float> rows = _seconds.AsSpan(column * rowCount, rowCount);
            for (int row = 0; row < rowCount / 2; row++) rows[row] = rows[2 * row] + rows[(2 * row) + 1];
            rows[(rowCount / 2)..].Clear();
        }
    }
}
