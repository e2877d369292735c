using OilWatch.Alerts;
using OilWatch.Causes;
using OilWatch.Channels;

namespace OilWatch.Tests.Causes;

public sealed class DropTallyTests
{
    [Theory]
    [InlineData(40, 3)]
    [InlineData(65, 2)]
    [InlineData(150, 1)]
    [InlineData(1500, 0)]
    public void Drops_are_counted_by_what_they_took(double kpa, int deeper)
    {
        var tally = new DropTally();
        foreach (double took in (double[])[55, 75, 402]) tally.AddDrop(Drop(took), default);
        Assert.Equal(deeper, tally.DeeperThan(kpa));
    }

    [Theory]
    [InlineData("steps", 0)]
    [InlineData("offset", 1)]
    public void Steps_of_a_sensor_mask_nothing_and_make_no_drop_doubtful_by_themselves(string detail, int doubtful)
    {
        var tally = new DropTally();
        tally.AddDrop(Drop(300), default);
        tally.AddFault(
            new Alert
            {
                Kind = AlertKind.SensorFault,
                Severity = Severity.Caution,
                Channel = Role.OilPressure,
                Detail = detail,
                Start = LogTime.FromSeconds(50),
                Raised = LogTime.FromSeconds(60),
                End = LogTime.FromSeconds(400),
            },
            ended: false);
        Assert.Equal((1, doubtful), (tally.FaultsOf(Role.OilPressure), tally.Doubtful));
    }

    [Theory]
    [InlineData(EventEnd.EngineSlowed, 6.0, 0.1, true)]
    [InlineData(EventEnd.LogEnded, 6.0, 0.1, true)]
    [InlineData(EventEnd.Recovered, 6.0, 0.1, false)]
    [InlineData(EventEnd.DataLost, 6.0, 0.1, false)]
    [InlineData(EventEnd.EngineSlowed, 2.0, 0.1, false)]
    [InlineData(EventEnd.EngineSlowed, 6.0, 0.7, false)]
    public void Pressure_is_lost_that_had_not_come_back_when_the_engine_slowed(EventEnd ending, double seconds, double ratio, bool lost)
    {
        var tally = new DropTally();
        tally.AddDrop(Drop(300) with { Ending = ending, DurationS = seconds, MinRatio = ratio }, default(DropShape) with { ErraticShare = 0.9 });
        Assert.Equal((lost, lost), (tally.LostAt is not null, tally.LostErratically));
    }

    [Fact]
    public void What_comes_back_in_a_later_drop_was_not_lost()
    {
        var tally = new DropTally();
        tally.AddDrop(Drop(300) with { Ending = EventEnd.EngineSlowed, DurationS = 6, MinRatio = 0.1 }, default);
        Assert.NotNull(tally.LostAt);
        tally.AddDrop(Drop(300) with { Ending = EventEnd.Recovered, DurationS = 2, MinRatio = 0.1 }, default);
        Assert.Null(tally.LostAt);
    }

    private static Alert Drop(double tookKpa) => new()
    {
        Kind = AlertKind.LowOilPressure,
        Severity = Severity.Caution,
        Channel = Role.OilPressure,
        ExpectedKpa = 450,
        MinKpa = 450 - tookKpa,
        Start = LogTime.FromSeconds(100),
        Raised = LogTime.FromSeconds(101),
        End = LogTime.FromSeconds(104),
    };
}
