using OilWatch.Reading;

namespace OilWatch.Live;

/// <summary>Passes readings on and says how the log's time goes on.</summary>
/// <param name="inner">Takes the readings.</param>
/// <param name="ticked">Told the time, at most ten times a second of it.</param>
/// <param name="counts">Counts the readings; null when nobody asks.</param>
internal sealed class TickingSink(IReadingSink inner, Action<LogTime> ticked, LiveCounts? counts = null) : IReadingSink
{
    private const double StepS = 0.1;

    private LogTime? _said;
    private long _readings;

    public void Add(LogTime at, int channel, double value)
    {
        _readings++;
        inner.Add(at, channel, value);
    }

    public void EndRecord(LogTime at)
    {
        counts?.AddRecord(_readings);
        _readings = 0;
        inner.EndRecord(at);
        if (_said is { } said && at.SecondsSince(said) < StepS) return;
        _said = at;
        ticked(at);
    }

    public void Passed(LogTime at) => inner.Passed(at);

    public void DataLost(LogTime at) => inner.DataLost(at);

    public void StampedBehind(LogTime at, double seconds) => inner.StampedBehind(at, seconds);
}
