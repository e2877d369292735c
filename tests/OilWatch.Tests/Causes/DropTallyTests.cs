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
