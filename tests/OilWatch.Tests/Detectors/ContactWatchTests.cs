using System.Reactive.Linq;
using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Detectors;
using OilWatch.Frames;

namespace OilWatch.Tests.Detectors;

/// <summary>An engine at 20 or 25 readings a second whose pressure follows its speed; then what is done to the reading, behind the sensor or before it.</summary>
public sealed class ContactWatchTests
{
    private const double Plateau = 450;

    [Theory]
    [InlineData(20, 35)]
    [InlineData(25, -60)]
    public void A_reading_that_steps_to_and_fro_within_single_readings_is_a_loose_contact_and_nothing_of_it_is_masked(int hz, double stepKpa)
    {
        Run run = Play(hz, 150, (t, kpa) => kpa + Square(t, stepKpa));
        SensorFault fault = Assert.Single(run.Faults, one => one.Ending != EventEnd.Open);
        Assert.Equal((Role.OilPressure, SensorFaultKind.Offset), (fault.Role, fault.Kind));
        Assert.InRange(fault.Count, 6, 9);
        Assert.InRange(Math.Abs(fault.Level), Math.Abs(stepKpa) - 6, Math.Abs(stepKpa) + 6);
        Assert.InRange(fault.Start.Seconds, 20, 50);
        Assert.All(run.Frames, frame => Assert.False(frame.IsMasked(Role.OilPressure)));
        Alert alert = SensorAlertText.Alert(in fault);
        Assert.Equal(("steps", "loose connector, chafed wire or bad ground of the sensor", Severity.Caution), (alert.Detail, alert.Reading, alert.Severity));
        Assert.StartsWith("oil pressure stepped to other levels", Assert.Single(alert.Evidence), StringComparison.Ordinal);
        Assert.True(run.Guard.Contact.IsLoose);
    }

    [Theory]
    [InlineData(0.05)]
    [InlineData(0.10)]
    public void The_same_steps_through_the_lag_of_gallery_and_line_are_pressure(double lagS)
    {
        double lagged = 0;
        Run run = Play(20, 150, (t, kpa) => kpa + (lagged += (1 - Math.Exp(-0.05 / lagS)) * (Square(t, -60) - lagged)));
        Assert.Empty(run.Faults);
        Assert.False(run.Guard.Contact.IsLoose);
    }

    [Theory]
    [InlineData(new double[] { 30 })]
    [InlineData(new double[] { 30, 60 })]
    [InlineData(new double[] { 30, 60, 90 })]
    public void Steps_down_alone_are_no_contact(double[] downAtS)
    {
        Run run = Play(20, 150, (t, kpa) => kpa - (40 * downAtS.Count(at => t >= at)));
        Assert.Empty(run.Faults);
    }

    [Fact]
    public void Pressure_that_steps_with_engine_speed_is_pressure()
    {
        Run run = Play(20, 150, (t, kpa) => kpa + Square(t, 60), t => 5000 + Square(t, 900));
        Assert.Empty(run.Faults);
    }

    [Fact]
    public void A_channel_that_is_written_more_often_than_it_is_read_steps_by_itself()
    {
        double held = 0, lagged = 0;
        int reading = 0;
        Run run = Play(25, 150, (t, kpa) =>
        {
            lagged += (1 - Math.Exp(-0.04 / 0.05)) * (Square(t, -60) - lagged);
            if (reading++ % 3 == 0) held = kpa + lagged;
            return held;
        });
        Assert.DoesNotContain(run.Faults, fault => fault.Count > 1);
    }

    [Fact]
    public void A_knock_of_a_single_reading_is_no_step()
    {
        int reading = 0;
        Run run = Play(20, 150, (t, kpa) => kpa + (reading++ % 200 == 0 ? 35 : 0));
        Assert.Empty(run.Faults);
    }

    [Fact]
    public void A_contact_that_holds_again_ends_the_fault_at_its_last_step()
    {
        Run run = Play(20, 260, (t, kpa) => kpa + (t < 100 ? Square(t, 40) : 0));
        SensorFault fault = Assert.Single(run.Faults, one => one.Ending != EventEnd.Open);
        Assert.Equal(EventEnd.Recovered, fault.Ending);
        Assert.InRange(fault.End.Seconds, 80, 101);
    }

    [Fact]
    public void Oil_that_is_lost_through_the_lag_while_a_contact_is_loose_is_still_called()
    {
        Run run = Play(20, 160, (t, kpa) => (kpa + Square(t, -40)) * (t < 120 ? 1 : Math.Exp(-(t - 120) / 0.1)));
        Assert.True(run.Guard.Contact.IsLoose);
        Assert.All(run.Frames, frame => Assert.False(frame.IsMasked(Role.OilPressure)));
        PressureDropChange drop = Assert.Single(
            Judged(run).ToObservable().DetectPressureDrops().ToEnumerable(), change => change.Phase == AlertPhase.Ended && change.Drop.Start.Seconds > 119);
        Assert.Equal((Severity.Warning, EventEnd.LogEnded), (drop.Drop.Severity, drop.Drop.Ending));
    }

    [Theory]
    [InlineData(1125, 0.3)]
    [InlineData(1000, 0.9)]
    [InlineData(900, 0.5)]
    public void A_broken_wire_that_reads_full_scale_and_flickers_by_a_count_is_at_the_end_of_its_range(double fullKpa, double countKpa)
    {
        var random = new Random(3);
        Run run = Play(25, 120, (t, kpa) => t < 60 ? kpa : fullKpa - (countKpa * random.Next(3)));
        SensorFault fault = Assert.Single(run.Faults, one => one.Ending != EventEnd.Open);
        Assert.Equal((Role.OilPressure, SensorFaultKind.Rail, EventEnd.LogEnded), (fault.Role, fault.Kind, fault.Ending));
        Assert.InRange(fault.Start.Seconds, 59.9, 60.1);
        Assert.InRange(fault.Raised.Seconds, 60.1, 60.5);
        Assert.All(run.Frames.Where(frame => frame.At.Seconds > 60.1), frame => Assert.True(frame.IsMasked(Role.OilPressure)));
    }

    [Fact]
    public void One_that_has_contact_again_is_believed_again()
    {
        var random = new Random(3);
        Run run = Play(25, 120, (t, kpa) => t is >= 60 and < 70 ? 1125 - (0.3 * random.Next(3)) : kpa);
        SensorFault fault = Assert.Single(run.Faults, one => one.Ending != EventEnd.Open);
        Assert.Equal((SensorFaultKind.Rail, EventEnd.Recovered), (fault.Kind, fault.Ending));
        Assert.InRange(fault.End.Seconds, 69.9, 70.2);
    }

    [Fact]
    public void Pressure_that_rises_through_its_lag_to_a_valve_that_holds_it_steady_is_pressure()
    {
        // Cold oil: far above all that the run showed before, and within a converter's count of it from then on.
        double kpa = 300;
        var random = new Random(3);
        Run run = Play(25, 120, (t, _) =>
        {
            kpa += (1 - Math.Exp(-0.04 / 0.06)) * ((t < 60 ? 300 : 800) - kpa);
            return Math.Round(kpa + (random.NextDouble() * 3), 1);
        });
        Assert.Empty(run.Faults);
    }

    /// <summary>Fifteen seconds on, fifteen off, from 20 s on.</summary>
    private static double Square(double t, double kpa) => t >= 20 && (int)((t - 20) / 15) % 2 == 0 ? kpa : 0;

    private static Run Play(int hz, double seconds, Func<double, double, double> reading, Func<double, double>? speed = null)
    {
        var run = new Run(new SensorGuard(SensorGuardOptions.Default), [], []);
        var random = new Random(20261125);
        for (int tick = 0; tick < seconds * hz; tick++)
        {
            double t = (double)tick / hz;
            var frame = new EngineFrame(new LogTime(tick * (1_000_000_000L / hz))) { Fresh = uint.MaxValue };
            double rpm = speed?.Invoke(t) ?? 5500 + (700 * Math.Sin(t / 3));
            frame[Role.EngineSpeed] = Math.Round(rpm + Noise(8), 1);
            frame[Role.OilPressure] = Math.Round(reading(t, Plateau + (0.01 * (rpm - 5500)) + Noise(4)), 1);
            frame[Role.LateralG] = Math.Round((1.1 * Math.Sin(t / 3)) + Noise(0.02), 3);
            frame[Role.LongitudinalG] = Math.Round((0.6 * Math.Cos(t / 2)) + Noise(0.02), 3);
            run.Guard.Apply(ref frame);
            run.Frames.Add(frame);
            for (int i = 0; i < run.Guard.Changes.Count; i++) run.Faults.Add(run.Guard.Changes[i]);
        }
        run.Guard.Finish();
        for (int i = 0; i < run.Guard.Changes.Count; i++) run.Faults.Add(run.Guard.Changes[i]);
        return run;

        double Noise(double size) => size * ((2 * random.NextDouble()) - 1);
    }

    private static IEnumerable<EngineFrame> Judged(Run run) => run.Frames.Select(frame =>
    {
        frame.ExpectedKpa = frame.SurelyExpectedKpa = Plateau;
        frame.SpreadKpa = 8;
        frame.LoadLateralG = frame.LateralG;
        frame.LoadLongitudinalG = frame.LongitudinalG;
        return frame;
    });

    private sealed record Run(SensorGuard Guard, List<EngineFrame> Frames, List<SensorFault> Faults);
}
