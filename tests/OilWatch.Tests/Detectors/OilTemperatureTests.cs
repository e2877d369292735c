using System.Reactive.Linq;
using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Detectors;
using OilWatch.Frames;

namespace OilWatch.Tests.Detectors;

public sealed class OilTemperatureTests
{
    [Theory]
    [InlineData(138, Severity.Caution)]
    [InlineData(152, Severity.Warning)]
    public void Oil_too_hot_is_called_by_how_hot(double hottest, Severity severity)
    {
        OilTemperatureEvent found = Only(Drive((10, 120, 6000), (30, hottest, 6000), (10, 125, 3000)));
        Assert.False(found.IsCold);
        Assert.Equal(severity, found.Severity);
        Assert.Equal(hottest, found.WorstC);
        Assert.InRange(found.Start.Seconds, 10, 10.1);
        Assert.InRange(found.Raised.Seconds, 13, 13.1);
        Assert.InRange(found.End.Seconds, 40, 40.1);
    }

    [Fact]
    public void Hovering_about_the_limit_is_one_event() =>
        Assert.Equal(2, Drive((10, 120, 6000), (10, 137, 6000), (5, 134, 6000), (10, 137, 6000), (5, 120, 6000)).Count);

    [Fact]
    public void High_engine_speed_with_cold_oil_is_an_advisory()
    {
        OilTemperatureEvent found = Only(Drive((10, 50, 2500), (5, 51, 6500), (60, 55, 2500)));
        Assert.True(found.IsCold);
        Assert.Equal((Severity.Advisory, 6500.0), (found.Severity, found.WorstRpm));
        Assert.InRange(found.DurationS, 4.9, 5.1);
        Assert.Equal(EventEnd.Recovered, found.Ending);
    }

    [Fact]
    public void Very_cold_oil_makes_it_a_caution() => Assert.Equal(Severity.Caution, Only(Drive((5, 30, 2500), (5, 30, 6500), (60, 35, 2500))).Severity);

    [Fact]
    public void A_blip_with_cold_oil_is_not_called() => Assert.Empty(Drive((10, 40, 2500), (1, 40, 6000), (30, 45, 2500)));

    [Fact]
    public void Shifts_do_not_split_it_and_warm_oil_ends_it() =>
        Assert.Equal(2, Drive((3, 50, 6500), (3, 51, 4000), (3, 52, 6500), (3, 53, 4000), (3, 54, 6500), (10, 61, 6500)).Count);

    [Fact]
    public void Lost_data_and_the_end_of_the_log_have_their_own_endings()
    {
        Assert.Equal(EventEnd.LogEnded, Only(Drive((10, 140, 6000))).Ending);
        Assert.Equal(EventEnd.DataLost, Only(Drive((10, 140, 6000), (60, double.NaN, 6000))).Ending);
    }

    [Fact]
    public void Without_a_temperature_nothing_is_said() => Assert.Empty(Drive((60, double.NaN, 7000)));

    [Fact]
    public void Options_out_of_order_are_told()
    {
        ArgumentException error = Assert.Throws<ArgumentException>(
            () => Observable.Never<EngineFrame>().DetectOilTemperature(new OilTemperatureOptions { CautionC = 160, HoldS = 99 }));
        Assert.Equal(
            "limits.oil_temperature.hold_s = 99 is out of range; 0 to 60 is allowed; limits.oil_temperature.caution_c = 160 must be below limits.oil_temperature.warning_c = 150 (Parameter 'options')",
            error.Message);
        Assert.Throws<ArgumentNullException>(() => DetectOilTemperatureOperator.DetectOilTemperature(null!));
    }

    private static OilTemperatureEvent Only(List<OilTemperatureChange> changes)
    {
        Assert.Equal(AlertPhase.Raised, changes[0].Phase);
        return Assert.Single(changes, change => change.Phase == AlertPhase.Ended).Event;
    }

    private static List<OilTemperatureChange> Drive(params (double Seconds, double Celsius, double Rpm)[] stretches) =>
        [.. Frames(stretches).ToObservable().DetectOilTemperature().ToEnumerable()];

    private static IEnumerable<EngineFrame> Frames((double Seconds, double Celsius, double Rpm)[] stretches)
    {
        long tick = 0;
        foreach ((double seconds, double celsius, double rpm) in stretches)
        {
            for (int i = 0; i < (int)Math.Round(seconds * 20); i++)
            {
                var frame = new EngineFrame(new LogTime(tick++ * 50_000_000)) { Fresh = uint.MaxValue };
                frame[Role.EngineSpeed] = rpm;
                frame[Role.OilTemperature] = celsius;
                yield return frame;
            }
        }
    }
}
