using CsCheck;
using OilWatch.Frames;

namespace OilWatch.Tests.Frames;

public sealed class HoldWatchTests
{
    private static int Readings(IEnumerable<double> records, ref HoldWatch watch)
    {
        int readings = 0;
        foreach (double value in records)
            if (!watch.IsRepeat(value)) readings++;
        return readings;
    }

    /// <summary>A channel at its own rate, written on every row of a faster table.</summary>
    private static IEnumerable<double> Held(double rows, double rate, int count, Func<int, double> reading) =>
        Enumerable.Range(0, count).Select(row => reading((int)(row / rows * rate + 1e-9)));

    [Theory]
    [InlineData(50, 25)]
    [InlineData(50, 10)]
    [InlineData(100, 20)]
    [InlineData(50, 20)]                             // 2 and 3 rows in turn
    public void A_slow_channel_on_fast_rows_has_as_many_readings_as_it_was_read(double rows, double rate)
    {
        var watch = new HoldWatch();
        Readings(Held(rows, rate, 2000, i => 5000 + (37 * i)), ref watch);
        int readings = Readings(Held(rows, rate, 2000, i => 900 + (41 * i)), ref watch);
        Assert.InRange(readings, 2000 / rows * rate * 0.99, 2000 / rows * rate * 1.01);
    }

    [Fact]
    public void The_same_value_read_again_counts_after_the_time_for_which_values_are_held()
    {
        var watch = new HoldWatch();
        Readings(Held(50, 10, 1000, i => 100 + i), ref watch);
        Assert.Equal(20, Readings(Enumerable.Repeat(7.0, 100), ref watch));
    }

    [Fact]
    public void A_channel_as_fast_as_the_rows_has_every_value_for_a_reading_however_coarse_its_steps() =>
        Check.Sample(
            Gen.Int[0, 1_000_000],
            seed =>
            {
                var random = new Random(seed);
                var watch = new HoldWatch();
                double[] records = [.. Enumerable.Range(0, 3000).Select(_ => (double)random.Next(3))];
                return Readings(records, ref watch) == records.Length;
            },
            iter: 50);

    [Fact]
    public void Records_that_say_that_there_is_no_value_do_not_change_how_long_one_is_held()
    {
        var watch = new HoldWatch();
        Readings(Held(50, 10, 1000, i => 100 + i), ref watch);
        Assert.Equal(100, Readings(Enumerable.Repeat(double.NaN, 100), ref watch));
        Assert.Equal(5, watch.Records);
        Assert.Equal(200, Readings(Held(50, 10, 1000, i => 500 + i), ref watch), 2.0);
    }

    [Fact]
    public void What_turns_out_not_to_be_held_is_read_in_full_again()
    {
        var watch = new HoldWatch();
        Readings(Held(50, 10, 1000, i => i), ref watch);
        Readings(Enumerable.Range(0, 80).Select(i => (double)(i % 2)), ref watch);
        double[] mixed = [.. Enumerable.Range(0, 50).SelectMany(i => i % 5 == 0 ? new[] { (double)i, i } : [i])];
        Assert.Equal(mixed.Length, Readings(mixed, ref watch));
    }

    [Fact]
    public void A_quantity_that_changes_slowly_is_not_taken_for_held()
    {
        var watch = new HoldWatch();
        Readings(Held(50, 1, 5000, i => 80 + i), ref watch);
        Assert.Equal(500, Readings(Enumerable.Repeat(90.0, 500), ref watch));
    }
}
