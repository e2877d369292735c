using OilWatch.Alerts;
using OilWatch.Channels;

namespace OilWatch.Detectors;

/// <summary>Time stamps that ran backwards, as faults: stamps within a second of each other are one.</summary>
/// <remarks>The fault is placed where the log's time stood while they came.</remarks>
internal sealed class ClockWatch
{
    private const double TogetherS = 1;
    private const int Most = 1000;                     // a hostile log cannot make it large; the count goes on in the last one
    private readonly List<Episode> _episodes = [];
    private int _next;
    private bool _open;

    /// <summary>Faults seen.</summary>
    public int Count => _episodes.Count;

    /// <summary>Takes a stamp that ran backwards.</summary>
    public void Add(LogTime at, double seconds, Role pace)
    {
        if (_episodes.Count > 0)
        {
            Episode last = _episodes[^1];
            if (at.SecondsSince(last.Until) <= TogetherS || _episodes.Count == Most)
            {
                _episodes[^1] = last with { Until = at, Readings = last.Readings + 1, FarthestS = Math.Max(last.FarthestS, seconds) };
                return;
            }
        }
        _episodes.Add(new Episode(pace, at, at, 1, seconds));
    }

    /// <summary>Takes over what a look at the whole run found.</summary>
    public void LearnFrom(ClockWatch other)
    {
        _episodes.Clear();
        _episodes.AddRange(other._episodes);
        _next = 0;
        _open = false;
    }

    /// <summary>Tells what began or ended by an instant.</summary>
    public void Step(LogTime at, ref FaultChanges changes)
    {
        while (_next < _episodes.Count)
        {
            Episode episode = _episodes[_next];
            if (!_open)
            {
                if (at < episode.From) return;
                _open = true;
                changes.Add(Fault(episode, at, at, EventEnd.Open));
            }
            if (at.SecondsSince(episode.Until) <= TogetherS) return;
            End(EventEnd.Recovered, ref changes);
        }
    }

    /// <summary>The log is over.</summary>
    public void Finish(LogTime at, ref FaultChanges changes)
    {
        Step(at, ref changes);
        if (_open) End(EventEnd.LogEnded, ref changes);
    }

    private LogTime Raised { get; set; }

    private void End(EventEnd ending, ref FaultChanges changes)
    {
        Episode episode = _episodes[_next++];
        _open = false;
        changes.Add(Fault(episode, Raised, episode.Until, ending));
    }

    private SensorFault Fault(Episode episode, LogTime raised, LogTime end, EventEnd ending)
    {
        Raised = raised;
        return new SensorFault(episode.Pace, SensorFaultKind.Time, episode.From, raised, end, ending, episode.FarthestS, episode.Readings);
    }

    private readonly record struct Episode(Role Pace, LogTime From, LogTime Until, int Readings, double FarthestS);
}
