using CsCheck;
using OilWatch.Pressure;
using OilWatch.Tests.Cars;

namespace OilWatch.Tests.Pressure;

public sealed class RobustTests
{
    private static readonly Gen<double> Value = Gen.Frequency(
        (8, Gen.Double[-1000, 1000]), (4, Gen.Int[0, 5].Select(static value => (double)value)),
        (1, Gen.Int[0, 3].Select(static i => new[] { double.NaN, double.PositiveInfinity, double.NegativeInfinity, double.MaxValue }[i])));

    [Fact]
    public void A_quantile_is_the_one_of_the_sorted_values_ties_and_absent_ones_included() =>
        Gen.Select(Value.Array[1, 300], Gen.Double[0, 1], Gen.Int[0, 3]).Select(static (values, share, order) => (Arranged(values, order), share, order))
            .Holds(4_000, static (values, share, _) =>
            {
                double place = share * (values.Length - 1);
                int below = (int)place;
                double[] sorted = [.. values.Order()];
                double low = sorted[below], next = sorted[Math.Min(below + 1, sorted.Length - 1)];
                double expected = below + 1 >= sorted.Length ? low : low + ((place - below) * (next - low));
                double[] left = [.. values];
                double found = Robust.Quantile(left, share);
                return found.Equals(expected) && left.Order().SequenceEqual(sorted);
            });

    [Theory]
    [InlineData(0.25, 3.5)]
    [InlineData(0.5, 6)]
    [InlineData(0.75, 8.5)]
    public void Quartiles_are_those_of_the_worked_example_of_the_method(double share, double expected)
    {
        // Source: R. J. Hyndman and Y. Fan, Am. Stat. 50 (1996) 361, definition 7, on 1 to 11, worked by hand.
        double[] values = [11, 1, 10, 2, 9, 3, 8, 4, 7, 5, 6];

        Assert.Equal(expected, Robust.Quantile(values, share));
    }

    [Fact]
    public void Of_no_values_there_is_no_quantile() => Assert.True(double.IsNaN(Robust.Quantile([], 0.5)));

    [Fact]
    public void Values_arranged_to_keep_the_parts_uneven_are_still_put_in_order()
    {
        // Each middle of three is nearly the lowest: what a search without an end to its tries takes the square of the count for.
        double[] values = [.. Enumerable.Range(0, 100_000).Select(static i => (double)(i % 2 == 0 ? i : 100_000 - i))];
        double[] sorted = [.. values.Order()];

        Assert.Equal(sorted[50_000], Robust.Quantile(values, 50_000 / 99_999.0), 1e-6);
    }

    private static double[] Arranged(double[] values, int order) => order switch
    {
        1 => [.. values.Order()],
        2 => [.. values.OrderDescending()],
        3 => [.. values.Order().Where(static (_, i) => i % 2 == 0), .. values.OrderDescending().Where(static (_, i) => i % 2 == 0)],
        _ => values,
    };
}
