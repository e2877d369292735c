using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Laps;
using OilWatch.Live.Life;
using OilWatch.Reading;
using OilWatch.Results;

namespace OilWatch.Live.Listening;

/// <summary>Is told what the pit is to know. Every call comes from the analysing thread or the source's and must return at once: hand on to a queue what takes longer.</summary>
/// <remarks>One that throws is left out from then on, with a notice; it never disturbs the judging or the others.</remarks>
public interface ILiveListener
{
    /// <summary>A short name for notices, such as "board".</summary>
    string Name { get; }

    /// <summary>What the stream is and which channel plays which role are known.</summary>
    void OnPlanned(ILogReader reader, ChannelPlan plan)
    {
    }

    /// <summary>An alert was raised, became more severe or ended: every step, as it is found.</summary>
    void OnChange(AlertChange change)
    {
    }

    /// <summary>An alert is to be said, or is over, or is gone: what the pit sees. Told under a lock: do not call the <see cref="AlertLife"/> back.</summary>
    void OnStanding(LifePhase phase, StandingAlert alert)
    {
    }

    /// <summary>A lap is over.</summary>
    void OnLap(LapSummary lap)
    {
    }

    /// <summary>How the engine is, once a second of the log's time.</summary>
    void OnHealth(EngineHealth health)
    {
    }

    /// <summary>The log's time went on, at most ten times a second of it.</summary>
    void OnTick(LogTime at)
    {
    }

    /// <summary>Something about the source, the recording or the buffers.</summary>
    void OnNotice(LiveNotice notice)
    {
    }

    /// <summary>The watch is over; no call follows.</summary>
    /// <param name="result">What was found, or null when it failed.</param>
    void OnOver(SessionResult? result)
    {
    }
}
