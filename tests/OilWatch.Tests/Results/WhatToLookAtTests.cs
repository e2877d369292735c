using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Results;

namespace OilWatch.Tests.Results;

public sealed class WhatToLookAtTests
{
    [Fact]
    public void What_the_gravest_and_most_alerts_name_early_comes_first()
    {
        SessionResult result = Sessions.Bare with
        {
            Alerts =
            [
                Asks(Severity.Advisory, "filter", "level"), Asks(Severity.Advisory, "filter", "level"), Asks(Severity.Warning, "pickup", "level"),
                Asks(Severity.Caution, "level"),
            ],
        };
        Assert.Equal([new("pickup", 1), new("level", 4), new("filter", 2)], Inspections.First(result));
    }

    [Fact]
    public void Sensors_are_asked_after_apart_from_the_engine()
    {
        SessionResult result = Sessions.Bare with
        {
            Alerts = [Asks(Severity.Caution, "level"), Asks(Severity.Caution, "wiring") with { Kind = AlertKind.SensorFault, Channel = Role.OilPressure }],
        };
        Assert.Equal([new("level", 1)], Inspections.First(result));
        Assert.Equal([new("wiring", 1)], Inspections.OfSensors(result));
        Assert.Empty(Inspections.First(Sessions.Bare));
    }

    [Fact]
    public void The_worst_alert_is_the_gravest_then_the_deepest_then_the_earliest_and_sensors_come_last()
    {
        Alert sensor = Sessions.Starvation with { Kind = AlertKind.SensorFault, Severity = Severity.Warning };
        Alert shallow = Sessions.Starvation with { Severity = Severity.Warning, MinRatio = 0.6 };
        Alert deep = Sessions.Starvation with { Severity = Severity.Warning, MinRatio = 0.3 };
        Alert later = deep with { Start = deep.Start.AddSeconds(1) };
        Alert noRatio = Sessions.Starvation with { Severity = Severity.Warning, MinRatio = null };
        Alert advisory = Sessions.Starvation with { Severity = Severity.Advisory, MinRatio = 0.1 };
        Assert.Equal([deep, later, shallow, noRatio, advisory, sensor], new[] { advisory, sensor, noRatio, later, shallow, deep }.Order(AlertOrder.WorstFirst));
    }

    [Fact]
    public void Starvation_is_added_up_and_what_is_not_known_is_null()
    {
        Assert.Equal(new StarvationTotal(0, 0, null, null, null), StarvationTotal.Of(Sessions.Bare));
        SessionResult result = Sessions.Bare with
        {
            Alerts =
            [
                Sessions.Starvation with { DurationS = 2, Revolutions = 100, DeficitKpaS = null }, Sessions.Starvation with { DurationS = 3, Revolutions = null, DeficitKpaS = null },
                Sessions.Starvation with { Kind = AlertKind.LowOilPressure, DurationS = 50 },
            ],
        };
        Assert.Equal(new StarvationTotal(2, 5, 3, 100, null), StarvationTotal.Of(result));
    }

    private static Alert Asks(Severity severity, params string[] inspect) => Sessions.Starvation with { Severity = severity, Inspect = [.. inspect] };
}
