using OilWatch.Pressure;

namespace OilWatch.Tests.Pressure;

public sealed class PressureCurveTests
{
    private static readonly PressureCurve Curve = new(GainKpa: 80, ViscosityPower: 0.5, OffsetKpa: 20, ReliefKpa: 380, ReliefSlopeKpa: 6, KneeKpa: 30);

    [Fact]
    public void Far_below_the_knee_pressure_is_the_ramp()
    {
        // Ramp 80 n + 20; the knee's rounding takes knee²/4 over the distance to the plateau: 225 / 274 = 0.8 kPa. COMPUTED.
        Assert.Equal(80 + 20 - 0.79, Curve.At(1000, 1), 1);
        Assert.Equal((80 * Math.Sqrt(2)) + 20 - 0.9, Curve.At(1000, 2), 0.1);
    }

    [Fact]
    public void Far_above_the_knee_pressure_is_the_relief_plateau_whatever_the_oil()
    {
        Assert.Equal(380 + (6 * 9), Curve.At(9000, 1), 1.0);
        Assert.Equal(Curve.At(9000, 1), Curve.At(9000, 3), 1.0);
    }

    [Fact]
    public void At_the_crossing_the_knee_is_half_its_width_below_both()
    {
        double speed = 1000 * 360 / 74.0;             // 80 n + 20 = 380 + 6 n
        Assert.Equal((80 * speed / 1000) + 20 - 15, Curve.At(speed, 1), 9);
    }

    [Fact]
    public void A_knee_of_nothing_is_the_lesser_of_ramp_and_plateau()
    {
        PressureCurve sharp = Curve with { KneeKpa = 0 };
        for (double rpm = 500; rpm < 9000; rpm += 137)
            Assert.Equal(Math.Min((80 * rpm / 1000) + 20, 380 + (6 * rpm / 1000)), sharp.At(rpm, 1), 9);
    }

    [Fact]
    public void Pressure_rises_with_speed_and_with_thicker_oil_and_never_leaves_the_two_lines()
    {
        for (double ratio = 0.6; ratio < 12; ratio *= 1.3)
        {
            double last = 0;
            for (double rpm = 300; rpm < 9000; rpm += 50)
            {
                double kpa = Curve.At(rpm, ratio);
                Assert.True(kpa > last);
                Assert.True(kpa <= Curve.At(rpm, ratio * 1.01));
                Assert.True(kpa <= Math.Min((80 * rpm / 1000 * Math.Sqrt(ratio)) + 20, 380 + (6 * rpm / 1000)));
                last = kpa;
            }
        }
    }

    [Theory]
    [InlineData(7000, 1)]
    [InlineData(5200, 1.4)]
    [InlineData(3000, 4)]
    public void From_where_it_opens_the_valve_passes_what_the_clearances_do_not_take(double speedRpm, double viscosityRatio)
    {
        // Conservation of flow, in thousands of rpm of delivery: n = (P − Offset) / R + (P − Relief) / ReliefSlope, with R = 80 · ratio^0.5.
        PressureCurve valve = Curve with { KneeKpa = 0, ReliefSlopeKpa = 12, SlopeFromOpening = true };
        double kpa = valve.At(speedRpm, viscosityRatio), rise = 80 * Math.Sqrt(viscosityRatio);

        Assert.True(kpa > 380);
        Assert.Equal(speedRpm / 1000, ((kpa - 20) / rise) + ((kpa - 380) / 12), 1e-9);
    }

    [Fact]
    public void From_where_it_opens_cold_oil_stands_higher_on_the_plateau_and_both_kinds_agree_on_the_ramp()
    {
        PressureCurve valve = Curve with { KneeKpa = 0, SlopeFromOpening = true };

        Assert.True(valve.At(6500, 3) > valve.At(6500, 1) + 5);
        Assert.Equal((Curve with { KneeKpa = 0 }).At(3000, 1), valve.At(3000, 1), 1e-9);
    }

    [Fact]
    public void Pressure_is_never_below_nothing()
    {
        PressureCurve low = Curve with { OffsetKpa = -100 };
        Assert.Equal(0, low.At(0, 1));
        Assert.Equal(0, low.At(800, 1));
    }

    [Fact]
    public void The_gain_acts_on_the_ramp_alone()
    {
        PressureCurve curve = Curve with { KneeKpa = 0 };
        Assert.Equal((1.1 * 160) + 20, curve.At(2000, 1, 1.1), 9);
        Assert.Equal(curve.At(8000, 1), curve.At(8000, 1, 1.1), 9);
        Assert.Equal(160, curve.GainSlopeAtPower(2000, 1, 1), 6);
        Assert.Equal(0, curve.GainSlopeAtPower(8000, 1, 1), 6);
    }

    [Fact]
    public void Without_a_viscosity_power_the_oil_does_not_matter()
    {
        PressureCurve blind = Curve with { ViscosityPower = 0 };
        Assert.Equal(blind.At(3000, 1), blind.At(3000, double.NaN));
    }
}
