using OilWatch.Causes;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Pressure;

namespace OilWatch.Tests.Causes;

/// <summary>How pressure went between two runs, against engines by the formula of the trade: a ramp that goes with speed and a power of viscosity, below a relief valve.</summary>
public sealed class RampShiftTests
{
    [Theory]
    [InlineData(0.5, 15)]
    [InlineData(0.75, 15)]
    [InlineData(0.6, 60)]
    public void Oil_that_is_thinner_takes_evenly_however_soft_the_valve(double thinner, double softnessKpa)
    {
        RampShift shift = RampShift.Between(Run(softnessKpa, 1), Run(softnessKpa, 2, thinner: _ => thinner));
        Assert.True(shift is { IsLow: true, IsEven: true, IsGrown: false, IsHole: false }, $"{shift}");
    }

    [Fact]
    public void Fuel_that_thins_cold_oil_more_is_no_wear()
    {
        RampShift shift = RampShift.Between(Run(15, 1), Run(15, 2, thinner: thickness => 0.7 * Math.Pow(thickness, -0.15)));
        Assert.True(shift is { IsLow: true, IsEven: true, IsGrown: false, IsHole: false }, $"{shift}");
    }

    [Theory]
    [InlineData(0.3)]
    [InlineData(0.5)]
    public void Most_lost_at_idle_is_wear(double worn)
    {
        RampShift shift = RampShift.Between(Run(15, 1), Run(15, 2, left: (rpm, _) => 1 - (worn * (1 - (0.4 * Math.Clamp((rpm - 900) / 4500, 0, 1))))));
        Assert.True(shift is { IsLow: true, IsEven: false, IsGrown: true, IsHole: false }, $"{shift}");
    }

    [Theory]
    [InlineData(0.35)]
    [InlineData(0.5)]
    public void Most_lost_in_hot_oil_is_wear(double worn)
    {
        // Thickness 1 is 100 °C, 3 about 60 °C.
        RampShift shift = RampShift.Between(Run(15, 1), Run(15, 2, left: (_, thickness) => 1 - (worn * Math.Clamp(1 - (0.25 * Math.Log(thickness)), 0.3, 1))));
        Assert.True(shift is { IsLow: true, IsEven: false, IsGrown: true, IsHole: false }, $"{shift}");
    }

    [Fact]
    public void By_far_most_lost_at_hot_idle_is_wear_and_no_hole()
    {
        RampShift shift = RampShift.Between(Run(15, 1), Run(15, 2, left: (rpm, thickness) => 1 - (0.6 * Math.Pow(900 / rpm, 0.9) * Math.Pow(thickness, -0.4))));
        Assert.True(shift is { IsLow: true, IsGrown: true, IsHole: false, BySpeed: > 0.2 }, $"{shift}");
    }

    [Theory]
    [InlineData(10)]
    [InlineData(16)]
    public void A_hole_beside_the_clearances_is_a_valve_that_stands_open(double hole)
    {
        // What the pump delivers goes through clearances, as pressure over thickness, and a hole, as the root of pressure.
        RampShift shift = RampShift.Between(Run(15, 1), Run(15, 2, through: (kpa, thickness) =>
        {
            double half = 0.5 * hole * Math.Pow(thickness, Power), root = Math.Sqrt((half * half) + kpa) - half;
            return root * root;
        }));
        Assert.True(shift is { IsLow: true, IsHole: true, IsGrown: false }, $"{shift}");
    }

    [Fact]
    public void Another_day_of_the_same_engine_is_not_low()
    {
        RampShift shift = RampShift.Between(Run(15, 1), Run(15, 2));
        Assert.True(shift is { IsKnown: true, IsLow: false, IsGrown: false, IsHole: false }, $"{shift}");
        Assert.InRange(shift.Ratio(1000, 1), 0.98, 1.02);
    }

    [Fact]
    public void A_run_without_anything_in_common_says_nothing() =>
        Assert.Equal(RampShift.Unknown, RampShift.Between(Run(15, 1), new PressureMap(PressureModelOptions.Default)));

    private const double Power = 0.65;

    /// <summary>A warm-up at idle and by and by at all speeds, then two minutes of idle.</summary>
    private static PressureMap Run(
        double softnessKpa, int seed, Func<double, double>? thinner = null, Func<double, double, double>? left = null, Func<double, double, double>? through = null)
    {
        var random = new Random(seed);
        var map = new PressureMap(PressureModelOptions.Default);
        double offset = random.NextDouble();
        for (double t = 0; t < 720; t += 0.05)
        {
            bool idles = t is < 90 or > 600;
            double rpm = idles ? 900 + (20 * Math.Sin(t)) : 4300 + (2500 * Math.Sin((t * 0.31) + offset)), thickness = 0.85 + (5 * Math.Exp(-t / 130));
            double ramp = 0.1 * rpm * Math.Pow(thickness * (thinner?.Invoke(thickness) ?? 1), Power);
            ramp = through?.Invoke(ramp, thickness) ?? ramp * (left?.Invoke(rpm, thickness) ?? 1);
            double valve = 430 + (0.01 * rpm), high = Math.Max(-ramp, -valve), kpa = -(high + (softnessKpa * Math.Log(Math.Exp((-ramp - high) / softnessKpa) + Math.Exp((-valve - high) / softnessKpa))));
            var frame = new EngineFrame(LogTime.FromSeconds(t)) { ExpectedKpa = 400, SpreadKpa = idles ? double.NaN : 8, Fresh = 1u << (int)Role.OilPressure, LoadLateralG = 0, LoadLongitudinalG = 0 };
            frame[Role.OilPressure] = kpa + (4 * ((2 * random.NextDouble()) - 1));
            frame[Role.EngineSpeed] = rpm;
            map.Take(in frame, rpm, thickness);
        }
        return map;
    }
}
