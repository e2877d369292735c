using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Frames;

namespace OilWatch.Tests.Detectors;

/// <summary>A crankcase pressure that falls within one reading, and beside it what pumps and hoses do. Truth: a crankcase of the test's own behind a lag of 0.3 s.</summary>
public sealed class SensorGuardSunkLevelTests
{
    private const double FromS = 60;
    private delegate double Change(double atS, double kpa);

    [Theory]
    [InlineData(-44, 10)]
    [InlineData(-44, 50)]
    [InlineData(-8.5, 20)]
    public void A_fall_within_one_reading_that_lasts_is_one_fault_masked_until_it_leaps_back(double error, double hz)
    {
        GuardBench bench = Drive(hz, (at, kpa) => at is >= FromS and < FromS + 78 ? kpa + error : kpa);
        SensorFault fault = Assert.Single(bench.Ended);
        Assert.Equal((Role.CrankcasePressure, SensorFaultKind.Offset, EventEnd.Recovered), (fault.Role, fault.Kind, fault.Ending));
        Assert.InRange(fault.Start.Seconds, FromS - 0.11, FromS + 0.11);
        Assert.InRange(fault.End.Seconds, FromS + 77.8, FromS + 78.2);
        Assert.InRange(bench.Masked(Role.CrankcasePressure).Count() / hz, 77, 79);
    }

    [Fact]
    public void One_that_lasts_to_the_end_of_the_log_is_told_as_well()
    {
        SensorFault fault = Assert.Single(Drive(20, (at, kpa) => at >= FromS ? kpa - 30 : kpa).Ended);
        Assert.Equal((Role.CrankcasePressure, EventEnd.LogEnded), (fault.Role, fault.Ending));
    }

    [Theory]
    [InlineData(10)]
    [InlineData(20)]
    [InlineData(50)]
    public void A_pump_that_draws_the_crankcase_down_through_a_lag_is_none(double hz)
    {
        double shown = 0;
        Assert.Empty(Drive(hz, (at, kpa) => shown += ((at % 12 < 6 ? -2 : -45) - shown) * (1 - Math.Exp(-1 / (hz * 0.3)))).Raised);
    }

    [Theory]
    [InlineData(10)]
    [InlineData(20)]
    public void A_hose_that_comes_off_at_once_is_none_and_its_loss_is_seen(double hz)
    {
        GuardBench bench = Drive(hz, (at, kpa) => at >= FromS ? 0.5 + (0.05 * (kpa + 20)) : kpa);
        Assert.Empty(bench.Raised);
        Assert.DoesNotContain(bench.Masked(Role.CrankcasePressure), frame => frame.At.Seconds > FromS + 0.3);
    }

    [Fact]
    public void A_reading_that_shows_a_loss_of_vacuum_after_all_is_believed_again()
    {
        GuardBench bench = Drive(20, (at, kpa) => at < FromS ? -2 + (0.1 * (kpa + 20)) : at < FromS + 20 ? kpa - 25 : 0.5 + ((kpa - 25.5) * Math.Exp((FromS + 20 - at) / 0.3)));
        SensorFault fault = Assert.Single(bench.Ended);
        Assert.Equal(EventEnd.DataLost, fault.Ending);
        Assert.DoesNotContain(bench.Masked(Role.CrankcasePressure), frame => frame.At.Seconds > FromS + 23);
    }

    private static GuardBench Drive(double hz, Change change)
    {
        var noise = new Gauss(23);
        double lagged = -20;
        return GuardBench.Run(hz, 180, (double at, ref EngineFrame frame) =>
        {
            lagged += (-12 - (0.003 * frame.SpeedRpm) - lagged) * (1 - Math.Exp(-1 / (hz * 0.3)));
            frame[Role.CrankcasePressure] = Math.Round(change(at, lagged) + (0.3 * noise.Next()), 2);
        });
    }
}
