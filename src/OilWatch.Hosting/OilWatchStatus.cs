using OilWatch.Live;
using OilWatch.Live.Listening;
using OilWatch.Live.Recording;
using OilWatch.Mqtt;
using OilWatch.Results;

namespace OilWatch.Hosting;

/// <summary>How a watch is getting on; may be asked from any thread.</summary>
public sealed class OilWatchStatus
{
    private readonly TimeProvider _time;
    private long _begunAt;
    private long _heardBytes = -1;
    private long _heardAt;

    /// <summary>Nothing runs yet.</summary>
    /// <param name="time">Measures silence.</param>
    public OilWatchStatus(TimeProvider time)
    {
        ArgumentNullException.ThrowIfNull(time);
        _time = time;
    }

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

    /// <summary>True when nothing has come from the source for so long, while there is one.</summary>
    internal bool IsSilentFor(TimeSpan length)
    {
        long bytes = Counts.SourceBytes;
        if (bytes != _heardBytes)
        {
            _heardBytes = bytes;
            _heardAt = bytes == 0 ? _begunAt : _time.GetTimestamp();
        }
        return HasSource && _time.GetElapsedTime(_heardAt) >= length;
    }

    internal bool HasSource { get; set; }

    internal Recorder? Recorder { get; set; }

    internal MqttPublisher? Mqtt { get; set; }

    internal void Begin()
    {
        _begunAt = _time.GetTimestamp();
        IsRunning = true;
    }

    internal void End(SessionResult? result, Exception? failure, int exitCode)
    {
        (Result, Failure, ExitCode) = (result, failure, exitCode);
        IsOver = true;
        IsRunning = false;
    }
}
