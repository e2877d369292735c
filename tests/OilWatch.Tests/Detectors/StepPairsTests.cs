using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Detectors;

namespace OilWatch.Tests.Detectors;

/// <summary>Levels of vibration that leap within one reading and back, against what an engine does.</summary>
public sealed class StepPairsTests
{
    private const double IntervalS = 0.02;

    [Theory]
    [InlineData(2)]
    [InlineData(20)]
    [InlineData(90)]
    public void A_level_that_leaps_up_and_back_within_one_reading_each_is_the_sensors(double lastsS)
    {
        SensorFault? fault = Watch(t => Engine(t) + (t >= 30 && t < 30 + lastsS ? 8 : 0));
        Assert.NotNull(fault);
        Assert.Equal((Role.Vibration, SensorFaultKind.Offset), (fault.Value.Role, fault.Value.Kind));
        Assert.InRange(fault.Value.Start.Seconds, 29.95, 30.05);
        Assert.InRange(fault.Value.End.Seconds, 29.95 + lastsS, 30.1 + lastsS);
    }

    [Fact]
    public void What_breaks_and_stays_so_is_not() => Assert.Null(Watch(t => Engine(t) + (t >= 30 ? 8 : 0)));

    [Fact]
    public void What_grows_and_goes_over_a_few_tenths_is_not() =>
        Assert.Null(Watch(t => Engine(t) + (8 * (1 - Math.Exp(-Math.Max(0, t - 30) / 0.15)) * (t < 50 ? 1 : Math.Exp(-(t - 50) / 0.15)))));

    [Fact]
    public void A_kerb_is_over_sooner() => Assert.Null(Watch(t => Engine(t) + (t is >= 30 and < 30.8 ? 8 : 0)));

    [Fact]
    public void A_level_that_hardly_trebles_is_an_engines() => Assert.Null(Watch(t => Engine(t) + (t is >= 30 and < 40 ? 3 : 0)));

    /// <summary>From 1 to 2 units with engine speed.</summary>
    private static double Engine(double t) => 1.5 + (0.5 * Math.Sin(t)) + (0.03 * Math.Sin(47 * t));

    private static SensorFault? Watch(Func<double, double> level)
    {
        var pairs = new StepPairs(Array.Find(GuardRules.StepsFor(SensorGuardOptions.Default), rule => rule.Role == Role.Vibration));
        SensorFault? found = null;
        for (double t = 0; t < 150; t += IntervalS)
        {
            if (!pairs.Step(LogTime.FromSeconds(t), level(t), double.NaN, shaken: false, out SensorFault fault)) continue;
            Assert.Null(found);
            found = fault;
        }
        return found;
    }
}
