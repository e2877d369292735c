using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Detectors;
using OilWatch.Frames;

namespace OilWatch.Tests.Detectors;

/// <summary>Slow channels that fall silent, and slow channels that the log repeats on every record. Truth: a battery and a thermometer of the test's own in a log of 25 records a second.</summary>
public sealed class SensorGuardSlowTests
{
    private const double Hz = 25;
    private const uint Oil = 1u << (int)Role.OilTemperature;

    [Theory]
    [InlineData(12, 2.5)]
    [InlineData(12, 7)]
    [InlineData(5, 1.6)]
    public void A_slow_channel_that_stops_ticking_is_silent_once_two_readings_are_left_out(int records, double lengthS)
    {
        var noise = new Gauss(4);
        GuardBench bench = GuardBench.Run(Hz, 160, (double at, ref EngineFrame frame) => Tick(ref frame, Role.BatteryVoltage, 13.8 + (0.04 * noise.Next()), (int)Math.Round(at * Hz) % records == 0 && !(at > 120 && at < 120 + lengthS)));
        SensorFault fault = Assert.Single(bench.Ended);
        Assert.Equal((Role.BatteryVoltage, SensorFaultKind.Dropout, EventEnd.Recovered), (fault.Role, fault.Kind, fault.Ending));
        Assert.InRange(fault.Start.Seconds, 119.4, 120.1);
        Assert.InRange(fault.End.Seconds, 120 + lengthS, 121.1 + lengthS);
    }

    [Fact]
    public void A_channel_that_is_written_when_it_changes_is_never_silent()
    {
        var random = new Random(9);
        double next = 0;
        Assert.Empty(GuardBench.Run(Hz, 300, (double at, ref EngineFrame frame) =>
        {
            bool ticks = at >= next;
            if (ticks) next = at - (1.2 * Math.Log(1 - random.NextDouble()));
            Tick(ref frame, Role.BatteryVoltage, 13.8 + (0.1 * random.NextDouble()), ticks);
        }).Raised);
    }

    [Fact]
    public void A_reading_repeated_on_every_record_stands_no_longer_than_it_is_repeated()
    {
        // Half a second a reading; the starter takes the voltage down at 40 s and lets it go within one reading.
        var noise = new Gauss(6);
        double held = 12.5;
        var learned = new SensorGuard(SensorGuardOptions.Default);
        Assert.Empty(Drive(learned).Raised);
        var second = new SensorGuard(SensorGuardOptions.Default);
        second.LearnFrom(learned, new ClockWatch());
        Assert.Empty(Drive(second).Raised);

        GuardBench Drive(SensorGuard guard) => GuardBench.Run(Hz, 300, (double at, ref EngineFrame frame) =>
        {
            int record = (int)Math.Round(at * Hz);
            if (record % 12 == 0) held = Math.Round(at % 60 is > 40 and < 41 ? 10.6 + (0.04 * noise.Next()) : at % 60 < 40 ? 12.5 + (0.04 * noise.Next()) : 13.9 + (0.04 * noise.Next()), 2);
            frame[Role.BatteryVoltage] = held;
        }, guard: guard);
    }

    [Fact]
    public void A_channel_found_to_be_repeated_is_not_silent_between_its_readings()
    {
        var noise = new Gauss(8);
        double held = 90;
        Assert.Empty(GuardBench.Run(Hz, 120, (double at, ref EngineFrame frame) =>
        {
            int record = (int)Math.Round(at * Hz);
            if (record % 12 == 0) held = Math.Round(90 + (0.1 * noise.Next()), 1);
            frame[Role.OilTemperature] = held;
            if (at <= 20) return;
            frame.Held = Oil;
            if (record % 12 != 0) frame.Fresh &= ~Oil;
        }).Raised);
    }

    private static void Tick(ref EngineFrame frame, Role role, double value, bool ticks)
    {
        frame[role] = Math.Round(value, 2);
        if (!ticks) frame.Fresh &= ~(1u << (int)role);
    }
}
