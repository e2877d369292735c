using System.Collections.Immutable;
using System.Text;
using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Console.Text;
using OilWatch.Live;
using OilWatch.Live.Life;
using OilWatch.Live.Listening;
using OilWatch.Reading;
using OilWatch.Results;

namespace OilWatch.Console.Verbs;

/// <summary>What a watch says on standard output and standard error while it goes on.</summary>
internal sealed class WatchSayings(AnswerSettings answer, Surroundings around, Outbox outbox) : ILiveListener
{
    private const double ReminderS = 30;

    private AlertLife? _acknowledged;
    private LogTime? _reminded;

    public string Name => "console";

    private bool ForPeople => answer is { Json: false, Quiet: false };

    public void OnPlanned(ILogReader reader, ChannelPlan plan) => OnNotice(new LiveNotice(null, WatchLines.Planned(reader, plan)));

    public void OnChange(AlertChange change)
    {
        if (!answer.Json) return;
        using var line = new MemoryStream();
        ResultFiles.WriteAlertChangeJsonLine(change, line);
        outbox.Answer(Encoding.UTF8.GetString(line.ToArray()));
    }

    public void OnStanding(LifePhase phase, StandingAlert alert)
    {
        if (ForPeople && phase != LifePhase.Cleared) outbox.Answer(WatchLines.Of(phase, alert, around.Colour, bell: around.Terminal));
    }

    /// <summary>Reminds of cautions and warnings that nobody has acknowledged, where somebody can.</summary>
    public void OnTick(LogTime at)
    {
        if (_acknowledged is not { } life || (_reminded is { } last && at.SecondsSince(last) < ReminderS)) return;
        _reminded = at;
        ImmutableArray<StandingAlert> open = [.. life.Standing.Where(alert => !alert.IsAcknowledged && alert.Alert.Severity >= Severity.Caution)];
        if (!open.IsEmpty) outbox.Answer(WatchLines.Reminder(at, open, around.Colour, bell: around.Terminal));
    }

    public void OnNotice(LiveNotice notice)
    {
        if (notice.Severity is not null || !answer.Quiet) outbox.Problem(notice.Text);
    }

    /// <summary>Enter acknowledges everything that stands.</summary>
    public void HearKeys(AlertLife life)
    {
        if (around.Keys is not { } keys) return;
        _acknowledged = life;
        var listening = new Thread(() =>
        {
            while (keys.ReadLine() is not null) life.AcknowledgeAll();
        })
        { IsBackground = true, Name = "keys" };
        listening.Start();
    }
}
