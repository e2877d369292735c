using OilWatch.Reading;

namespace OilWatch.Analysis;

/// <summary>Hands a table's rows from the thread that reads them to a worker, which passes them on.</summary>
/// <remarks>What does not come row by row is passed on at once, after the rows before it.</remarks>
internal sealed class RowRelay(IRowSink inner) : IRowSink, IDisposable
{
    private const int BatchRows = 256;
    private BatchRing<Batch>? _ring;
    private int[] _channels = [];
    private bool _waits;

    public void AddRow(LogTime at, int[] channels, ReadOnlySpan<double> values)
    {
        if (_channels != channels)
        {
            Drain();
            _channels = channels;
        }
        Batch making = Making;
        if (making.Values.Length < BatchRows * values.Length) making.Values = new double[BatchRows * values.Length];
        values.CopyTo(making.Values.AsSpan(making.Count * values.Length));
        Send(making, at, double.NaN);
    }

    public void StampedBehind(LogTime at, double seconds) => Send(Making, at, seconds);

    public void Add(LogTime at, int channel, double value)
    {
        Drain();
        inner.Add(at, channel, value);
    }

    public void EndRecord(LogTime at)
    {
        Drain();
        inner.EndRecord(at);
    }

    public void Passed(LogTime at)
    {
        Drain();
        inner.Passed(at);
    }

    public void DataLost(LogTime at)
    {
        Drain();
        inner.DataLost(at);
    }

    /// <summary>Waits until everything was passed on.</summary>
    /// <exception cref="InvalidOperationException">Passing it on failed; the cause is inside.</exception>
    public void Complete() => _ring?.Complete();

    public void Dispose() => _ring?.Dispose();

    private Batch Making => (_ring ??= new BatchRing<Batch>(() => new Batch(), Give, "aligning the readings failed")).Making;

    private void Send(Batch making, LogTime at, double behindS)
    {
        making.At[making.Count] = at;
        making.BehindS[making.Count++] = behindS;
        _waits = true;
        if (making.Count == BatchRows) _ring!.Pass();
    }

    private void Drain()
    {
        if (!_waits) return;
        _waits = false;
        _ring!.Drain();
    }

    private void Give(Batch batch)
    {
        int[] channels = _channels;                // changed only when nothing waits
        for (int i = 0; i < batch.Count; i++)
        {
            if (double.IsNaN(batch.BehindS[i])) inner.AddRow(batch.At[i], channels, batch.Values.AsSpan(i * channels.Length, channels.Length));
            else inner.StampedBehind(batch.At[i], batch.BehindS[i]);
        }
    }

    private sealed class Batch : IBatch
    {
        public readonly LogTime[] At = new LogTime[BatchRows];
        public readonly double[] BehindS = new double[BatchRows];      // NaN for a row
        public double[] Values = [];

        public int Count { get; set; }

        public void Clear() => Count = 0;
    }
}
