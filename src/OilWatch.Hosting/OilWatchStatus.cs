using OilWatch.Live;
using OilWatch.Live.Listening;
using OilWatch.Live.Recording;
using OilWatch.Mqtt;
using OilWatch.Results;

namespace OilWatch.Hosting;

/// <summary>How a watch is getting on; may be asked from any thread.</summary>
public sealed class OilWatchStatus
{
    /// <summary>What has gone through so far.</summary>
    public LiveCounts Counts { get; internal set; } = new();

    /// <summary>What stands, the state of the engine, and acknowledging; null before the watch has begun.</summary>
    public LiveDesk? Desk { get; internal set; }

    /// <summary>True while it runs.</summary>
    public bool IsRunning { get; private set; }

    /// <summary>True when it has run and does no more.</summary>
    public bool IsOver { get; private set; }

    /// <summary>What was found, once it is over; null before, and when it failed.</summary>
    public SessionResult? Result { get; private set; }

    /// <summary>Why it failed; null while it has not.</summary>
    public Exception? Failure { get; private set; }

    /// <summary>The exit code that belongs to how it ended: 0 done or stopped, 2 wrong options or a results folder that cannot be written to, 3 nothing could be read.</summary>
    public int ExitCode { get; internal set; }

    /// <summary>When bytes came last; null where there is no source.</summary>
    internal Heartbeat? Heartbeat { get; set; }

    internal Recorder? Recorder { get; set; }

    internal MqttPublisher? Mqtt { get; set; }

    internal void Begin() => IsRunning = true;

    internal void End(SessionResult? result, Exception? failure, int exitCode)
    {
        (Result, Failure, ExitCode) = (result, failure, exitCode);
        IsOver = true;
        IsRunning = false;
    }
}
