using OilWatch.Reading;

namespace OilWatch.Fuzz;

/// <summary>Takes readings and refuses what no reader may give: infinite values, and records that go back in time.</summary>
internal sealed class OrderedSink : IReadingSink
{
    private LogTime? _last;

    public void Add(LogTime at, int channel, double value)
    {
        if (double.IsInfinity(value)) throw new InvalidOperationException("an infinite reading");
    }

    public void EndRecord(LogTime at)
    {
        if (_last > at) throw new InvalidOperationException("time went back");
        _last = at;
    }

    public void DataLost(LogTime at)
    {
        // Nothing to check.
    }
}
