using System.Collections.Immutable;
using OilWatch.Alerts;
using OilWatch.Channels;

namespace OilWatch.Live.Life;

/// <summary>The life of alerts in the pit: said, added up, over, and in sight until acknowledged; the gravest first, and no more than can be read.</summary>
/// <remarks>
/// <para>Time is the log's, so the same stream gives the same steps at any pace. Nothing here changes what is found or written: files hold every alert.</para>
/// <list type="table">
/// <item>quiet, raised: waits for the on-delay (a warning does not), then is said</item>
/// <item>waiting, ended: nothing was said and nothing will be</item>
/// <item>standing, graver: said again</item>
/// <item>standing, ended: waits for the off-delay; raised again within it, it goes on; then it is over</item>
/// <item>over, not acknowledged: stays in sight; another like it is added to it, aloud only when it is worse by more than the deadband</item>
/// <item>over and acknowledged, in whichever order: cleared</item>
/// </list>
/// Calls may come from several threads; steps are told under a lock and must not call back.
/// </remarks>
public sealed class AlertLife
{
    private readonly Lock _gate = new();
    private readonly AlertLifeOptions _options;
    private readonly Action<LifePhase, StandingAlert> _told;
    private readonly List<Entry> _entries = [];
    private readonly Queue<LogTime> _said = new();
    private long _held;

    /// <summary>Nothing stands yet.</summary>
    /// <param name="options">The rules.</param>
    /// <param name="told">Told each step that is to be said.</param>
    public AlertLife(AlertLifeOptions options, Action<LifePhase, StandingAlert> told)
    {
        ArgumentNullException.ThrowIfNull(options);
        ArgumentNullException.ThrowIfNull(told);
        ArgumentOutOfRangeException.ThrowIfLessThan(options.MostStanding, 1, nameof(options));
        ArgumentOutOfRangeException.ThrowIfLessThan(options.FloodCount, 1, nameof(options));
        _options = options;
        _told = told;
    }

    /// <summary>How many alerts were not said because too many were; they stand all the same.</summary>
    public long Held
    {
        get { lock (_gate) return _held; }
    }

    /// <summary>What stands: not over before over, not acknowledged before acknowledged, the gravest first, then the latest.</summary>
    public ImmutableArray<StandingAlert> Standing
    {
        get
        {
            lock (_gate)
            {
                return
                [
                    .. _entries.Where(entry => !entry.IsWaiting).Select(entry => entry.Shown)
                        .OrderByDescending(alert => alert.Alert.Severity)
                        .ThenBy(alert => alert.IsAcknowledged).ThenBy(alert => alert.IsOver).ThenByDescending(alert => alert.At),
                ];
            }
        }
    }

    /// <summary>Takes a step of an alert.</summary>
    public void Take(AlertChange change)
    {
        ArgumentNullException.ThrowIfNull(change);
        lock (_gate)
        {
            Pass(change.At);
            switch (change.Phase)
            {
                case AlertPhase.Raised:
                    Raise(change);
                    break;
                case AlertPhase.Escalated:
                    if (Find(change.Id) is { } graver) Worsen(graver, change);
                    else Raise(change);
                    break;
                default:
                    if (Find(change.Id) is { } ended) End(ended, change);
                    break;
            }
        }
    }

    /// <summary>The log's time went on: delays run out by it.</summary>
    public void Tick(LogTime now)
    {
        lock (_gate) Pass(now);
    }

    /// <summary>Somebody has seen an alert.</summary>
    /// <param name="id">Its number.</param>
    /// <returns>False when no such alert stands.</returns>
    public bool Acknowledge(int id)
    {
        lock (_gate)
        {
            if (_entries.Find(entry => entry.Shown.Id == id && !entry.IsWaiting) is not { } entry) return false;
            Acknowledge(entry);
            return true;
        }
    }

    /// <summary>Somebody has seen them all.</summary>
    /// <returns>How many were not acknowledged before.</returns>
    public int AcknowledgeAll()
    {
        lock (_gate)
        {
            Entry[] open = [.. _entries.Where(entry => !entry.IsWaiting && !entry.Shown.IsAcknowledged)];
            foreach (Entry entry in open) Acknowledge(entry);
            return open.Length;
        }
    }

    private void Raise(AlertChange change)
    {
        KindLife life = _options.Of(change.Alert.Kind);
        if (_entries.Find(entry => entry.IsEnding && IsLike(entry.Shown.Alert, change.Alert)) is { } back)
        {
            back.EndsAt = null;                                          // it never was over
            bool graver = change.Alert.Severity > back.Shown.Alert.Severity;
            back.LastId = change.Id;
            back.Shown = Added(back.Shown, change);
            if (graver) Say(LifePhase.Updated, back, change.At);
            return;
        }
        if (_entries.Find(entry => entry.Shown is { IsOver: true, IsAcknowledged: false } && IsLike(entry.Shown.Alert, change.Alert)) is { } latched)
        {
            bool worse = IsWorse(latched.Shown.Alert, change.Alert, life.Deadband);
            latched.LastId = change.Id;
            latched.Shown = Added(latched.Shown, change) with { IsOver = false };
            // Without a deadband each is said; with one, what is no worse than was seen is only counted.
            if (worse || life.Deadband <= 0) Say(LifePhase.Updated, latched, change.At);
            return;
        }
        var entry = new Entry(new StandingAlert { Id = change.Id, Alert = change.Alert, At = change.At }) { LastId = change.Id };
        _entries.Add(entry);
        MakeRoom();
        if (life.OnDelayS > 0 && change.Alert.Severity < Severity.Warning) entry.SaidAt = Later(change.At, life.OnDelayS);
        else Say(LifePhase.Raised, entry, change.At);
    }

    private void Worsen(Entry entry, AlertChange change)
    {
        bool graver = change.Alert.Severity > entry.Shown.Alert.Severity;
        entry.Shown = entry.Shown with { Alert = Worst(entry.Shown.Alert, change.Alert), At = change.At };
        if (entry.IsWaiting)
        {
            if (change.Alert.Severity < Severity.Warning) return;
            entry.SaidAt = null;
            Say(LifePhase.Raised, entry, change.At);
        }
        else if (graver)
        {
            Say(LifePhase.Updated, entry, change.At);
        }
    }

    private void End(Entry entry, AlertChange change)
    {
        if (entry.IsWaiting)
        {
            _entries.Remove(entry);
            return;
        }
        entry.Shown = entry.Shown with { Alert = Worst(entry.Shown.Alert, change.Alert), At = change.At };
        entry.EndsAt = Later(change.At, _options.Of(change.Alert.Kind).OffDelayS);
        Pass(change.At);
    }

    /// <summary>Everything that is due by now.</summary>
    private void Pass(LogTime now)
    {
        for (int i = 0; i < _entries.Count; i++)
        {
            Entry entry = _entries[i];
            if (entry.SaidAt is { } due && due <= now)
            {
                entry.SaidAt = null;
                Say(LifePhase.Raised, entry, now);
            }
            if (entry.EndsAt is not { } ends || ends > now) continue;
            entry.EndsAt = null;
            entry.Shown = entry.Shown with { IsOver = true };
            Tell(LifePhase.Over, entry);
            if (!entry.Shown.IsAcknowledged) continue;
            _entries.RemoveAt(i--);
            Tell(LifePhase.Cleared, entry);
        }
    }

    private void Acknowledge(Entry entry)
    {
        entry.Shown = entry.Shown with { IsAcknowledged = true };
        if (!entry.Shown.IsOver) return;
        _entries.Remove(entry);
        Tell(LifePhase.Cleared, entry);
    }

    /// <summary>Says it, unless too much was said; what is graver than all else that stands is always said.</summary>
    private void Say(LifePhase phase, Entry entry, LogTime now)
    {
        while (_said.TryPeek(out LogTime first) && now.SecondsSince(first) > _options.FloodWindowS) _said.Dequeue();
        Severity severity = entry.Shown.Alert.Severity;
        bool gravest = !_entries.Exists(other => other != entry && !other.IsWaiting && !other.Shown.IsOver && other.Shown.Alert.Severity >= severity);
        bool flood = _said.Count >= _options.FloodCount;
        if (flood && severity < Severity.Warning && !(gravest && severity > Severity.Advisory))
        {
            if (!entry.Shown.IsHeld) _held++;
            entry.Shown = entry.Shown with { IsHeld = true };
            return;
        }
        if (!flood) _said.Enqueue(now);
        entry.Shown = entry.Shown with { IsHeld = false, IsAcknowledged = false };          // what is said anew has not been seen
        _told(phase, entry.Shown);
    }

    /// <summary>Tells the end of what was said.</summary>
    private void Tell(LifePhase phase, Entry entry)
    {
        if (!entry.Shown.IsHeld) _told(phase, entry.Shown);
    }

    private void MakeRoom()
    {
        if (_entries.Count <= _options.MostStanding) return;
        Entry least = _entries.OrderByDescending(entry => entry.Shown.IsOver).ThenBy(entry => entry.Shown.Alert.Severity).ThenBy(entry => entry.Shown.At).First();
        _entries.Remove(least);
    }

    private Entry? Find(int id) => _entries.Find(entry => entry.LastId == id && !entry.Shown.IsOver);

    private static StandingAlert Added(StandingAlert before, AlertChange change) =>
        before with { Alert = Worst(before.Alert, change.Alert), At = change.At, Times = before.Times + 1 };

    /// <summary>The later of two alerts, with the graver severity.</summary>
    private static Alert Worst(Alert before, Alert after) => after.Severity >= before.Severity ? after : after with { Severity = before.Severity };

    private static bool IsWorse(Alert before, Alert after, double deadband) =>
        after.Severity > before.Severity || (after.MinRatio is { } now && before.MinRatio is { } then && now < then - deadband);

    /// <summary>Alike: of the same kind, about the same channel and, where there is one, the same detail.</summary>
    private static bool IsLike(Alert one, Alert other) =>
        one.Kind == other.Kind && one.Channel == other.Channel && string.Equals(one.Detail, other.Detail, StringComparison.Ordinal);

    private static LogTime Later(LogTime at, double seconds) => new(at.Nanoseconds + (long)(seconds * LogTime.NanosecondsPerSecond));

    private sealed class Entry(StandingAlert shown)
    {
        public StandingAlert Shown { get; set; } = shown;

        /// <summary>The number of the latest change that belongs to it.</summary>
        public int LastId { get; set; }

        /// <summary>When it will be said; null when it has been.</summary>
        public LogTime? SaidAt { get; set; }

        /// <summary>When it will be over; null while it lasts or when it is.</summary>
        public LogTime? EndsAt { get; set; }

        public bool IsWaiting => SaidAt is not null;

        public bool IsEnding => EndsAt is not null;
    }
}
