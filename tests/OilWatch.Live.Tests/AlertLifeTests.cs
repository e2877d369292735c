using System.Collections.Immutable;
using CsCheck;
using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Live.Life;

namespace OilWatch.Live.Tests;

public sealed class AlertLifeTests
{
    private readonly List<string> _told = [];

    [Fact]
    public void Raised_graver_and_over_are_said_and_it_stays_in_sight_until_acknowledged()
    {
        AlertLife life = Make();
        life.Take(Step(AlertPhase.Raised, 1, 1, Severity.Advisory));
        life.Take(Step(AlertPhase.Escalated, 2, 1, Severity.Caution));
        life.Take(Step(AlertPhase.Ended, 3, 1, Severity.Caution));
        Assert.Equal(["Raised 1 Advisory", "Updated 1 Caution", "Over 1 Caution"], _told);
        Assert.True(Assert.Single(life.Standing).IsOver);
        Assert.True(life.Acknowledge(1));
        Assert.Equal("Cleared 1 Caution", _told[^1]);
        Assert.Empty(life.Standing);
        Assert.False(life.Acknowledge(1));
    }

    [Fact]
    public void Acknowledged_while_it_lasts_it_is_cleared_when_it_is_over()
    {
        AlertLife life = Make();
        life.Take(Step(AlertPhase.Raised, 1, 1, Severity.Caution));
        Assert.Equal(1, life.AcknowledgeAll());
        Assert.True(Assert.Single(life.Standing).IsAcknowledged);
        life.Take(Step(AlertPhase.Ended, 3, 1, Severity.Caution));
        Assert.Equal(["Raised 1 Caution", "Over 1 Caution", "Cleared 1 Caution"], _told);
    }

    [Fact]
    public void Becoming_graver_undoes_the_acknowledgement()
    {
        AlertLife life = Make();
        life.Take(Step(AlertPhase.Raised, 1, 1, Severity.Caution));
        life.AcknowledgeAll();
        life.Take(Step(AlertPhase.Escalated, 2, 1, Severity.Warning));
        Assert.False(Assert.Single(life.Standing).IsAcknowledged);
    }

    [Fact]
    public void Shorter_than_the_on_delay_nothing_is_said_but_a_warning_never_waits()
    {
        AlertLife life = Make(new KindLife(OnDelayS: 5));
        life.Take(Step(AlertPhase.Raised, 0, 1, Severity.Caution));
        life.Take(Step(AlertPhase.Ended, 4, 1, Severity.Caution));
        life.Tick(LogTime.FromSeconds(20));
        Assert.Empty(_told);
        life.Take(Step(AlertPhase.Raised, 30, 2, Severity.Caution));
        life.Tick(LogTime.FromSeconds(34.9));
        Assert.Empty(_told);
        life.Tick(LogTime.FromSeconds(35));
        life.Take(Step(AlertPhase.Raised, 36, 3, Severity.Warning, AlertKind.OverSpeed));
        Assert.Equal(["Raised 2 Caution", "Raised 3 Warning"], _told);
    }

    [Fact]
    public void Back_within_the_off_delay_it_is_the_same_alert()
    {
        AlertLife life = Make(new KindLife(OffDelayS: 10));
        life.Take(Step(AlertPhase.Raised, 0, 1, Severity.Caution));
        life.Take(Step(AlertPhase.Ended, 1, 1, Severity.Caution));
        life.Take(Step(AlertPhase.Raised, 5, 2, Severity.Caution));
        life.Take(Step(AlertPhase.Ended, 6, 2, Severity.Caution));
        life.Tick(LogTime.FromSeconds(15));
        Assert.Equal(["Raised 1 Caution"], _told);
        life.Tick(LogTime.FromSeconds(16));
        Assert.Equal(["Raised 1 Caution", "Over 1 Caution"], _told);
        Assert.Equal(2, Assert.Single(life.Standing).Times);
    }

    [Fact]
    public void Not_worse_by_more_than_the_deadband_it_is_only_counted()
    {
        AlertLife life = Make(new KindLife(Deadband: 0.05));
        foreach ((int id, double ratio) in (ReadOnlySpan<(int, double)>)[(1, 0.7), (2, 0.68), (3, 0.5)])
        {
            life.Take(Step(AlertPhase.Raised, 10 * id, id, Severity.Caution, ratio: ratio));
            life.Take(Step(AlertPhase.Ended, (10 * id) + 1, id, Severity.Caution, ratio: ratio));
        }
        Assert.Equal(["Raised 1 Caution", "Over 1 Caution", "Over 1 Caution", "Updated 1 Caution", "Over 1 Caution"], _told);
        Assert.Equal(3, Assert.Single(life.Standing).Times);
    }

    [Fact]
    public void In_a_flood_only_the_gravest_are_said_and_they_stand_on_top()
    {
        AlertLife life = Make();
        AlertKind[] kinds = [AlertKind.SensorFault, AlertKind.OverSpeed, AlertKind.VibrationBand];
        for (int id = 1; id <= 30; id++) life.Take(Step(AlertPhase.Raised, id, id, Severity.Advisory, kinds[id % 3], detail: FormattableString.Invariant($"{id}")));
        Assert.Equal(10, _told.Count);
        Assert.Equal(20, life.Held);
        life.Take(Step(AlertPhase.Raised, 31, 31, Severity.Caution));
        life.Take(Step(AlertPhase.Raised, 32, 32, Severity.Warning, AlertKind.LowOilPressure));
        Assert.Equal(["Raised 31 Caution", "Raised 32 Warning"], _told[10..]);
        Assert.Equal([32, 31], life.Standing[..2].Select(alert => alert.Id));
        Assert.Equal(32, life.Standing.Length);
        life.Take(Step(AlertPhase.Raised, 1000, 33, Severity.Advisory, detail: "later"));
        Assert.Equal("Raised 33 Advisory", _told[^1]);
    }

    [Fact]
    public void More_than_can_stand_and_the_least_go()
    {
        var life = new AlertLife(new AlertLifeOptions { MostStanding = 3, FloodCount = 1000 }, (_, _) => { });
        life.Take(Step(AlertPhase.Raised, 0, 1, Severity.Warning));
        for (int id = 2; id < 100; id++) life.Take(Step(AlertPhase.Raised, id, id, Severity.Advisory, AlertKind.SensorFault, detail: FormattableString.Invariant($"{id}")));
        Assert.Equal(3, life.Standing.Length);
        Assert.Equal(1, life.Standing[0].Id);
    }

    [Fact]
    public void Whatever_comes_each_that_is_said_is_said_to_be_over_once_and_a_warning_is_always_said() => Gen.Select(
        Gen.Int[0, 3], Gen.Int[1, 4], Gen.Int[0, 2], Gen.Double[0, 20]).Array[0, 80].Sample(
        steps =>
        {
            var said = new List<(LifePhase Phase, int Id)>();
            var life = new AlertLife(
                new AlertLifeOptions { Usual = new KindLife(OnDelayS: 3, OffDelayS: 4, Deadband: 0.1), FloodCount = 4 }, (phase, alert) => said.Add((phase, alert.Id)));
            double now = 0;
            int last = 0;
            var open = new Dictionary<int, (int Id, Severity Severity)>();
            foreach ((int what, int place, int severity, double wait) in steps)
            {
                now += wait;
                string detail = FormattableString.Invariant($"{place}");
                if (what == 3) life.AcknowledgeAll();
                else if (open.Remove(place, out (int Id, Severity Severity) old)) life.Take(Step(AlertPhase.Ended, now, old.Id, old.Severity, detail: detail));
                else life.Take(Step(AlertPhase.Raised, now, (open[place] = (++last, (Severity)severity)).Id, (Severity)severity, detail: detail));
                if (what != 3 && severity == 2 && open.ContainsKey(place)) Assert.Contains(life.Standing, alert => alert.Alert.Severity == Severity.Warning && !alert.IsHeld && !alert.IsOver);
            }
            foreach ((int place, (int id, Severity severity)) in open) life.Take(Step(AlertPhase.Ended, now, id, severity, detail: FormattableString.Invariant($"{place}")));
            life.Tick(LogTime.FromSeconds(now + 100));
            life.AcknowledgeAll();
            Assert.Empty(life.Standing);
            Assert.All(said.GroupBy(step => step.Id), steps => Assert.True(steps.Count(step => step.Phase == LifePhase.Cleared) <= 1));
        },
        seed: "0000Y6Tlpaz0", iter: 2000, threads: 1);

    private AlertLife Make(KindLife usual = default) =>
        new(new AlertLifeOptions { Usual = usual }, (phase, alert) => _told.Add(FormattableString.Invariant($"{phase} {alert.Id} {alert.Alert.Severity}")));

    private static AlertChange Step(
        AlertPhase phase, double at, int id, Severity severity, AlertKind kind = AlertKind.OilStarvation, string? detail = null, double? ratio = null) =>
        new(phase, LogTime.FromSeconds(at), id, new Alert
        {
            Kind = kind,
            Severity = severity,
            Start = LogTime.FromSeconds(at),
            Raised = LogTime.FromSeconds(at),
            End = LogTime.FromSeconds(at),
            Channel = Role.OilPressure,
            Detail = detail,
            MinRatio = ratio,
            Evidence = ImmutableArray<string>.Empty,
        });
}
