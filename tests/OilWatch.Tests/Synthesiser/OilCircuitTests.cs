using OilWatch.Synthesiser.Oil;

namespace OilWatch.Tests.Synthesiser;

public class OilCircuitTests
{
    // check-values 2, "pump + leak + relief": D 12 cm³, efficiency 0.9, K 3e-12 m³, k_r 2e-9 m³/(s·Pa), p_r 500 kPa (COMPUTED).
    private static readonly OilCircuit Reference = new()
    {
        DisplacementCm3 = 12,
        Efficiency = 0.9,
        LeakM3 = 3e-12,
        ReliefKpa = 500,
        ReliefFlow = 2e-9,
    };

    [Theory]
    // check-values 2, "pump flow" (definition, COMPUTED).
    [InlineData(800, 8.64)]
    [InlineData(1000, 10.80)]
    [InlineData(7000, 75.60)]
    public void Pump_flow_is_displacement_times_speed_times_efficiency(double rpm, double litresAMinute) =>
        Assert.Equal(litresAMinute, Reference.PumpFlow(rpm, airShare: 0) * 60_000, 1e-9 * litresAMinute);

    [Theory]
    // check-values 2, "pump + leak + relief": printed to six decimals, so 5e-7 kPa (COMPUTED).
    [InlineData(0.010, 800, 480.000)]
    [InlineData(0.010, 1000, 513.043478)]
    [InlineData(0.010, 3000, 669.565217)]
    [InlineData(0.010, 7000, 982.608696)]
    [InlineData(0.005, 800, 240)]
    [InlineData(0.005, 1000, 300)]
    [InlineData(0.005, 2000, 523.076923)]
    [InlineData(0.005, 7000, 869.230769)]
    public void Pressure_balances_pump_leaks_and_relief(double viscosityPaS, double rpm, double kpa) =>
        Assert.Equal(kpa, Reference.PressureKpa(Reference.PumpFlow(rpm, 0), viscosityPaS), 5e-7);

    [Fact]
    public void A_soft_valve_differs_from_a_hard_one_only_about_its_set_point()
    {
        OilCircuit soft = Reference with { ReliefSoftnessKpa = 20 };
        Assert.Equal(300, soft.PressureKpa(Reference.PumpFlow(1000, 0), 0.005), 0.01);
        Assert.Equal(982.608696, soft.PressureKpa(Reference.PumpFlow(7000, 0), 0.010), 0.01);
        double atKnee = soft.PressureKpa(Reference.LeakM3 / 0.010 * 500_000, 0.010);
        Assert.InRange(atKnee, 460, 499);
    }

    [Fact]
    public void Air_in_the_inlet_takes_its_share_of_the_flow()
    {
        Assert.Equal(0.75 * Reference.PumpFlow(5000, 0), Reference.PumpFlow(5000, 0.25), 1e-15);
        Assert.Equal(0, Reference.PressureKpa(Reference.PumpFlow(5000, 1), 0.01), 1e-12);
    }

    [Fact]
    public void A_cavitating_pump_falls_off_near_the_top()
    {
        OilCircuit cavitates = Reference with { CavitationFromRpm = 6000, CavitationLoss = 0.2 };
        Assert.Equal(Reference.PumpFlow(6000, 0), cavitates.PumpFlow(6000, 0), 1e-15);
        Assert.Equal(0.8 * Reference.PumpFlow(7000, 0), cavitates.PumpFlow(7000, 0), 1e-15);
    }

    [Theory]
    // check-values 1.1, rows 32/5.4 (273.15), 46/6.8, 100/14, 160/24; allowed 1e-4 relative as given there (COMPUTED).
    [InlineData(32, 5.4, 0, 335.9996)]
    [InlineData(32, 5.4, 150, 2.3923)]
    [InlineData(46, 6.8, 20, 133.8382)]
    [InlineData(46, 6.8, 120, 4.5714)]
    [InlineData(100, 14, 60, 44.5137)]
    [InlineData(100, 14, 130, 7.6159)]
    [InlineData(160, 24, 80, 0)]
    [InlineData(160, 24, 120, 15.6833)]
    public void Viscosity_follows_Walther_through_both_points(double at40, double at100, double celsius, double cst)
    {
        var oil = new WaltherOil(at40, at100);
        Assert.Equal(at40, oil.KinematicCst(40), 1e-9 * at40);
        Assert.Equal(at100, oil.KinematicCst(100), 1e-9 * at100);
        if (cst > 0) Assert.Equal(cst, oil.KinematicCst(celsius), 1e-4 * cst);
        else Assert.InRange(oil.KinematicCst(celsius), at100, at40);
    }
}
