using OilWatch.Causes;
using OilWatch.Synthesiser.Oil;

namespace OilWatch.Tests.Causes;

public sealed class FlowBalanceTests
{
    [Fact]
    public void Pressure_is_where_the_pump_meets_clearances_and_valve()
    {
        // The synthesiser's circuit solves the same balance in m³/s and Pa·s, by a solver of its own.
        var random = new Random(20261128);
        for (int i = 0; i < 2000; i++)
        {
            var circuit = new OilCircuit
            {
                DisplacementCm3 = Between(random, 9, 16),
                Efficiency = Between(random, 0.85, 0.95),
                LeakM3 = Between(random, 0.5e-11, 3e-11),
                ReliefKpa = Between(random, 350, 600),
                ReliefFlow = Between(random, 2.5e-9, 2e-8),
                ReliefSoftnessKpa = Between(random, 5, 40),
                CavitationFromRpm = Between(random, 5000, 7000),
                CavitationLoss = Between(random, 0, 0.3),
            };
            const double HotPaS = 0.012;
            double rpm = Between(random, 700, 8500), thickness = Between(random, 0.5, 8);
            double flowOf1000Rpm = circuit.DisplacementCm3 * 1e-6 * 1000 / 60 * circuit.Efficiency;
            var balance = new FlowBalance
            {
                GainKpa = flowOf1000Rpm * HotPaS / circuit.LeakM3 / 1000,
                Power = 1,
                ReliefKpa = circuit.ReliefKpa,
                ValveFlow = circuit.ReliefFlow * 1000 / flowOf1000Rpm,
                SoftnessKpa = circuit.ReliefSoftnessKpa,
                Jet = 0,
                FallOff = circuit.CavitationLoss,
                FallsOffFromRpm = circuit.CavitationFromRpm,
            };
            Assert.Equal(circuit.PressureKpa(circuit.PumpFlow(rpm, 0), HotPaS * thickness), balance.PressureKpa(rpm, thickness), 3);
            Assert.Equal(circuit.PressureKpa(circuit.PumpFlow(rpm, 0.3), HotPaS * thickness), balance.PressureKpa(rpm, thickness, delivery: 0.7), 3);
        }
    }

    [Fact]
    public void Above_its_opening_pressure_a_second_stage_holds_pressure_lower_and_below_it_changes_nothing()
    {
        // The synthesiser's second valve opens hard, at its pressure; the balance's over a little.
        var random = new Random(20261129);
        for (int i = 0; i < 2000; i++)
        {
            const double ValveFlow = 3e-9;
            double relief = Between(random, 350, 600), second = relief * Between(random, 1.25, 1.5), rpm = Between(random, 700, 8500), thickness = Between(random, 0.5, 8);
            var circuit = new OilCircuit
            {
                DisplacementCm3 = 12,
                Efficiency = 0.9,
                LeakM3 = 1.5e-11,
                ReliefKpa = relief,
                ReliefFlow = ValveFlow,
                ColdReliefKpa = second,
                CavitationFromRpm = double.PositiveInfinity,
                CavitationLoss = 0,
            };
            const double FlowOf1000Rpm = 12e-6 * 1000 / 60 * 0.9;
            var balance = new FlowBalance
            {
                GainKpa = FlowOf1000Rpm * 0.012 / 1.5e-11 / 1000,
                Power = 1,
                ReliefKpa = relief,
                ValveFlow = ValveFlow * 1000 / FlowOf1000Rpm,
                SoftnessKpa = 0.1,
                SecondKpa = second,
                SecondShare = 1,
                Jet = 0,
                FallOff = 0,
                FallsOffFromRpm = 9000,
            };
            Assert.Equal(circuit.PressureKpa(circuit.PumpFlow(rpm, 0), 0.012 * thickness), balance.PressureKpa(rpm, thickness), 0.2);
        }
    }

    private static double Between(Random random, double from, double to) => from + ((to - from) * random.NextDouble());
}
