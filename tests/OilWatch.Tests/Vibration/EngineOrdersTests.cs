using System.Numerics;
using OilWatch.Cars;
using OilWatch.Vibration;

namespace OilWatch.Tests.Vibration;

public class EngineOrdersTests
{
    // check-values 6, frequencies and firing orders: an identity, COMPUTED.
    [Theory]
    [InlineData(0.5, 6000, 50)]
    [InlineData(1, 6000, 100)]
    [InlineData(2, 6000, 200)]
    [InlineData(4, 7250, 483.333333)]
    [InlineData(4, 850, 56.666667)]
    [InlineData(1.5, 9000, 225)]
    public void An_order_has_its_frequency(double order, double rpm, double hz) =>
        Assert.Equal(hz, EngineOrders.FrequencyHz(order, rpm), 5e-7);

    [Theory]
    [InlineData(1, 0.5)]
    [InlineData(3, 1.5)]
    [InlineData(4, 2)]
    [InlineData(6, 3)]
    [InlineData(8, 4)]
    [InlineData(12, 6)]
    public void Firing_order_is_half_the_cylinders(int cylinders, double order) => Assert.Equal(order, EngineOrders.FiringOrder(cylinders));

    // check-values 6, Campbell: n = 60 fn / order, COMPUTED.
    [Theory]
    [InlineData(300, 0.5, 36000)]
    [InlineData(300, 1.5, 12000)]
    [InlineData(300, 4.5, 4000)]
    [InlineData(300, 8, 2250)]
    [InlineData(82.480262844, 4, 1237.203943)]
    public void An_order_meets_a_frequency_at_its_critical_speed(double hz, double order, double rpm) =>
        Assert.Equal(rpm, EngineOrders.CriticalRpm(hz, order), 1e-6);

    /// <summary>Crank angle (degrees) and bank angle (degrees) of each cylinder, and its place along the crank in pitches.</summary>
    public static TheoryData<string, double[], double[], double[]> Layouts => new()
    {
        { "single", [0], [0], [0] },
        { "inline-2, 180°", [0, 180], [0, 0], [0, 1] },
        { "inline-3, 120°", [0, 120, 240], [0, 0, 0], [0, 1, 2] },
        { "inline-4, flat-plane", [0, 180, 180, 0], [0, 0, 0, 0], [0, 1, 2, 3] },
        { "inline-4, cross-plane", [0, 90, 270, 180], [0, 0, 0, 0], [0, 1, 2, 3] },
        { "inline-5", [0, 144, 216, 288, 72], [0, 0, 0, 0, 0], [0, 1, 2, 3, 4] },
        { "inline-6", [0, 120, 240, 240, 120, 0], [0, 0, 0, 0, 0, 0], [0, 1, 2, 3, 4, 5] },
        { "V8 90°, cross-plane", [0, 0, 90, 90, 270, 270, 180, 180], [-45, 45, -45, 45, -45, 45, -45, 45], [0, 0, 1, 1, 2, 2, 3, 3] },
        { "V8 90°, flat-plane", [0, 0, 180, 180, 180, 180, 0, 0], [-45, 45, -45, 45, -45, 45, -45, 45], [0, 0, 1, 1, 2, 2, 3, 3] },
        {
            "V12 60°", [0, 0, 120, 120, 240, 240, 240, 240, 120, 120, 0, 0], [-30, 30, -30, 30, -30, 30, -30, 30, -30, 30, -30, 30],
            [0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 5, 5]
        },
    };

    [Theory]
    [MemberData(nameof(Layouts))]
    public void What_a_layout_leaves_unbalanced_is_the_sum_over_its_cylinders(string layout, double[] crank, double[] bank, double[] place)
    {
        InertiaBalance balance = Assert.Single(EngineOrders.Balances, row => string.Equals(row.Layout, layout, StringComparison.Ordinal));
        // Harmonics of piston acceleration for r/l = 0.28: check-values 6.
        const double L = 0.28;
        double second = L + (L * L * L / 4) + (15 * Math.Pow(L, 5) / 128);
        double fourth = (L * L * L / 4) + (3 * Math.Pow(L, 5) / 16);

        Assert.Equal(balance.Cylinders, crank.Length);
        Assert.Equal(balance.FirstForce, Largest(1, 1, force: true), 1e-4);
        Assert.Equal(balance.FirstCouple, Largest(1, 1, force: false), 1e-4);
        Assert.Equal(balance.SecondForce, Largest(2, second, force: true), 1e-4);
        Assert.Equal(balance.SecondCouple, Largest(2, second, force: false), 1e-4);
        Assert.Equal(balance.FourthForce, Largest(4, fourth, force: true), 1e-4);

        // The largest force (or couple) over a revolution, as a vector across the engine.
        double Largest(int harmonic, double amplitude, bool force)
        {
            double largest = 0;
            double middle = place.Average();
            for (double degree = 0; degree < 360; degree += 0.25)
            {
                Complex sum = Complex.Zero;
                for (int i = 0; i < crank.Length; i++)
                {
                    double angle = (degree + crank[i] - bank[i]) * Math.PI / 180;
                    double along = amplitude * Math.Cos(harmonic * angle) * (force ? 1 : place[i] - middle);
                    sum += Complex.FromPolarCoordinates(along, bank[i] * Math.PI / 180);
                }
                largest = Math.Max(largest, sum.Magnitude);
            }
            return largest;
        }
    }

    [Fact]
    public void The_orders_of_a_flat_plane_V8_are_named()
    {
        var named = EngineOrders.Named(8, CrankLayout.FlatPlane);

        Assert.Equal([0.5, 1, 1.5, 2, 4, 8], named.Select(order => order.Order));
        Assert.Equal("firing order", EngineOrders.NameOf(4, named));
        Assert.Equal("twice firing order", EngineOrders.NameOf(8, named));
        Assert.Equal("order 3.5", EngineOrders.NameOf(3.5, named));
        Assert.StartsWith("the pistons' second-order force, strong in this layout", named[3].Tells, StringComparison.Ordinal);
    }

    [Fact]
    public void The_second_order_of_an_inline_four_is_its_firing_order_too()
    {
        var named = EngineOrders.Named(4, CrankLayout.FlatPlane);

        Assert.Equal("second order and firing order", EngineOrders.NameOf(2, named));
    }

    [Fact]
    public void Without_a_layout_only_what_holds_for_any_engine_is_named() =>
        Assert.Equal([0.5, 1, 1.5, 2], EngineOrders.Named(null, null).Select(order => order.Order));
}
