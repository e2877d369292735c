using OilWatch.Alerts;

namespace OilWatch.Detectors;

/// <summary>Stretches of a run, as a look at the whole of it found them; asked about in order of time.</summary>
internal sealed class Stretches
{
    private const int Few = 128;                       // a run with more than this may allocate
    private const int Most = 100_000;                  // a hostile log cannot make it large
    private readonly List<(LogTime From, LogTime To)> _all = new(Few);
    private int _next;

    /// <summary>Adds a stretch that began no earlier than the last one, or joins it to the last where they meet.</summary>
    public void Add(LogTime from, LogTime to)
    {
        if (_all.Count > 0 && from <= _all[^1].To) _all[^1] = (_all[^1].From < from ? _all[^1].From : from, _all[^1].To > to ? _all[^1].To : to);
        else if (_all.Count < Most) _all.Add((from, to));
    }

    /// <summary>Takes over another's stretches and starts before the first of them.</summary>
    public void LearnFrom(Stretches other)
    {
        _all.Clear();
        _all.AddRange(other._all);
        _next = 0;
    }

    /// <summary>True inside a stretch, its end left out. Instants asked about never go back.</summary>
    public bool Hold(LogTime at)
    {
        while (_next < _all.Count && at >= _all[_next].To) _next++;
        return _next < _all.Count && at >= _all[_next].From;
    }
}
