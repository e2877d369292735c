using OilWatch.Synthesiser.Circuits;
using OilWatch.Synthesiser.Maths;

namespace OilWatch.Tests.Synthesiser;

public class CircuitTests
{
    [Fact]
    public void Circuits_close_and_turn_once_round()
    {
        for (ulong seed = 1; seed <= 40; seed++)
        {
            Circuit circuit = CircuitBuilder.Build(new SeededRandom(seed, "circuit"));
            // The piece ends do not fall on the integration step of an eighth of a metre; that leaves some decimetres at most.
            Assert.InRange(circuit.ClosureErrorM, 0, 0.5);
            double turned = 0;
            for (double s = 0; s < circuit.LengthM; s += 0.25) turned += circuit.CurvatureAt(s) * 0.25;
            Assert.Equal(2 * Math.PI, Math.Abs(turned), 0.02);
            Assert.Equal(circuit.EastAt(0), circuit.EastAt(circuit.LengthM), 1e-6);
            Assert.Equal(circuit.NorthAt(0), circuit.NorthAt(3 * circuit.LengthM), 1e-6);
        }
    }

    [Fact]
    public void Circuits_have_real_bends_both_ways_and_go_both_ways_round()
    {
        int anticlockwise = 0;
        for (ulong seed = 1; seed <= 40; seed++)
        {
            Circuit circuit = CircuitBuilder.Build(new SeededRandom(seed, "circuit"));
            Assert.InRange(circuit.Bends.Count, 7, 16);
            Assert.True(circuit.Bends.Count(b => b.TurnRad > 0.9) >= 2);
            Assert.True(circuit.Bends.Count(b => b.TurnRad < -0.9) >= 2);
            Assert.All(circuit.Bends, bend => Assert.InRange(bend.RadiusM, 13, 260));
            if (circuit.Bends.Sum(b => b.TurnRad) > 0) anticlockwise++;
        }

        Assert.InRange(anticlockwise, 10, 30);
    }

    [Fact]
    public void Curvature_is_that_of_the_path_in_the_plane()
    {
        Circuit circuit = CircuitBuilder.Build(new SeededRandom(5, "circuit"));
        Bend bend = circuit.Bends.MaxBy(b => b.ToM - b.FromM)!;
        double middle = (bend.FromM + bend.ToM) / 2;
        const double Step = 4;
        double ax = circuit.EastAt(middle) - circuit.EastAt(middle - Step), ay = circuit.NorthAt(middle) - circuit.NorthAt(middle - Step);
        double bx = circuit.EastAt(middle + Step) - circuit.EastAt(middle), by = circuit.NorthAt(middle + Step) - circuit.NorthAt(middle);
        double turned = Math.Atan2((ax * by) - (ay * bx), (ax * bx) + (ay * by));
        Assert.Equal(circuit.CurvatureAt(middle), turned / Step, 0.02 * Math.Abs(circuit.CurvatureAt(middle)));
    }
}
