using System.Collections.Immutable;
using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Laps;
using OilWatch.Live.Life;
using OilWatch.Reading;
using OilWatch.Results;

namespace OilWatch.Live.Listening;

/// <summary>Hands what a watch finds to everybody who listens, and keeps what stands.</summary>
/// <remarks>One a watch: <c>LiveWatch.RunAsync(source, desk.Into(request))</c>, then <see cref="Over"/>.</remarks>
public sealed class LiveDesk
{
    private readonly HealthMeter _meter = new();
    private readonly Func<EngineState> _state;
    private ImmutableArray<ILiveListener> _listeners;

    /// <summary>Nobody has heard anything yet.</summary>
    /// <param name="life">The rules by which alerts are said.</param>
    /// <param name="listeners">Who is told, in this order.</param>
    public LiveDesk(AlertLifeOptions life, params ReadOnlySpan<ILiveListener> listeners)
    {
        _listeners = [.. listeners];
        _state = () => State;
        Alerts = new AlertLife(life, (phase, alert) => Tell((phase, alert), static (listener, what) => listener.OnStanding(what.phase, what.alert)));
    }

    /// <summary>What stands, and acknowledging it.</summary>
    public AlertLife Alerts { get; }

    /// <summary>The state of the engine in a word.</summary>
    public EngineState State
    {
        get
        {
            ImmutableArray<StandingAlert> standing = Alerts.Standing;
            if (standing.Any(alert => alert.Alert.Severity == Severity.Warning && !(alert.IsOver && alert.IsAcknowledged))) return EngineState.Stop;
            if (_meter.IsUnknown) return EngineState.Unknown;
            if (!standing.IsEmpty) return EngineState.Watch;
            return _meter.Judged ? EngineState.Clear : EngineState.Waiting;
        }
    }

    /// <summary>A request that tells the listeners, and whoever it told already.</summary>
    public LiveRequest Into(LiveRequest request)
    {
        ArgumentNullException.ThrowIfNull(request);
        return request with
        {
            Planned = request.Planned + Planned,
            Changed = request.Changed + Changed,
            Ticked = request.Ticked + Ticked,
            Said = request.Said + Say,
            LapEnded = request.LapEnded + LapEnded,
            Judged = request.Judged + Judged,
        };
    }

    /// <summary>Tells everybody something about source, recording or buffers.</summary>
    public void Say(LiveNotice notice) => Tell(notice, static (listener, what) => listener.OnNotice(what));

    /// <summary>Tells everybody that the watch is over.</summary>
    public void Over(SessionResult? result) => Tell(result, static (listener, what) => listener.OnOver(what));

    private void Planned(ILogReader reader, ChannelPlan plan) => Tell((reader, plan), static (listener, what) => listener.OnPlanned(what.reader, what.plan));

    private void Changed(AlertChange change)
    {
        Tell(change, static (listener, what) => listener.OnChange(what));
        Alerts.Take(change);
    }

    private void Ticked(LogTime at)
    {
        _meter.Tick(at);
        Alerts.Tick(at);
        Tell(at, static (listener, what) => listener.OnTick(what));
    }

    private void LapEnded(LapSummary lap) => Tell(lap, static (listener, what) => listener.OnLap(what));

    private void Judged(EngineFrame frame)
    {
        if (_meter.Step(in frame, _state) is { } health) Tell(health, static (listener, what) => listener.OnHealth(what));
    }

    private void Tell<T>(T what, Action<ILiveListener, T> tell)
    {
        foreach (ILiveListener listener in _listeners)
        {
            try
            {
                tell(listener, what);
            }
            catch (Exception error) when (error is not OutOfMemoryException)
            {
                if (ImmutableInterlocked.Update(ref _listeners, (all, gone) => all.Remove(gone), listener))
                    Say(new LiveNotice(Severity.Advisory, $"{listener.Name}: left out from now on: {error.Message}"));
            }
        }
    }
}
