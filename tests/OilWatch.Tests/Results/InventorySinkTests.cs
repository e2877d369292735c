using CsCheck;
using OilWatch.Channels;

namespace OilWatch.Tests.Results;

public sealed class InventorySinkTests
{
    private static readonly double[] Awkward = [double.NaN, double.MaxValue, -double.MaxValue, 0];
    private static readonly LogChannel First = new(0, "Oil Press", "psi");
    private static readonly LogChannel Second = new(1, "RPM", null);

    [Fact]
    public void An_evenly_sampled_channel_has_its_exact_rate_and_range()
    {
        ChannelListing listing = Filled(Enumerable.Range(0, 201).Select(i => (i * 0.05, (double)(i % 7)))).Listing(First);
        Assert.Equal(20, listing.RateHz!.Value, 9);
        Assert.Equal((201, 0, 0.0, 6.0, 0, 0.0), (listing.Samples, listing.Absent, listing.Min, listing.Max, listing.GapCount, listing.GapS));
    }

    [Fact]
    public void A_stretch_without_readings_is_a_gap_when_it_is_long_for_the_channel()
    {
        // 20 a second for 5 s, nothing for 3 s, then 5 s more.
        ChannelListing listing = Filled(Every(0.05, 0, 5).Concat(Every(0.05, 8, 13))).Listing(First);
        Assert.Equal(1, listing.GapCount);
        Assert.Equal(3, listing.GapS, 6);
        Assert.Equal(20, listing.RateHz!.Value, 6);
    }

    [Fact]
    public void A_slow_channel_has_no_gaps_between_its_readings() =>
        Assert.Equal(0, Filled(Every(10, 0, 200)).Listing(First).GapCount);

    [Fact]
    public void A_channel_that_falls_silent_before_the_log_ends_has_a_gap_there()
    {
        var sink = new InventorySink(2);
        foreach ((double at, double value) in Every(0.1, 5, 10)) sink.Add(LogTime.FromSeconds(at), 0, value);
        foreach ((double at, double value) in Every(0.1, 0, 20)) sink.Add(LogTime.FromSeconds(at), 1, value);
        Assert.Equal((2, 15.0), (sink.Listing(First).GapCount, Math.Round(sink.Listing(First).GapS, 6)));
        Assert.Equal((0, 0.0), (sink.Listing(Second).GapCount, sink.Listing(Second).GapS));
    }

    [Fact]
    public void What_the_source_marks_as_absent_is_counted_apart()
    {
        ChannelListing listing = Filled([(0, 1), (1, double.NaN), (2, double.PositiveInfinity), (3, 2)]).Listing(First);
        Assert.Equal((2, 2, 1.0, 2.0), (listing.Samples, listing.Absent, listing.Min, listing.Max));
    }

    [Fact]
    public void A_channel_without_readings_has_no_numbers()
    {
        var sink = new InventorySink(1);
        Assert.Equal(new ChannelListing { Channel = First }, sink.Listing(First));
        Assert.Equal(ChannelSample.Empty, sink.Sample(0));
    }

    [Fact]
    public void Time_that_goes_back_neither_counts_as_an_interval_nor_as_a_gap()
    {
        ChannelListing listing = Filled([(0, 1), (1, 1), (0.5, 1), (2, 1), (3, 1)]).Listing(First);
        Assert.Equal((5, 1.0, 0), (listing.Samples, listing.RateHz, listing.GapCount));
    }

    [Fact]
    public void Few_values_give_exact_quantiles()
    {
        ChannelSample sample = Filled(Enumerable.Range(0, 101).Select(i => ((double)i, (double)i))).Sample(0);
        Assert.Equal((101, 0.0, 100.0, 50.0, 5.0, 95.0, 101), (sample.Count, sample.Min, sample.Max, sample.Median, sample.Low5, sample.High95, sample.Distinct));
    }

    [Fact]
    public void Many_values_give_quantiles_near_the_true_ones_and_exact_limits()
    {
        // A uniform spread in a scrambled order (7919 and 200 003 are prime). A sample of 2048 has a standard error of 0.011 at the median
        // and 0.0048 at 5 %; five of them are allowed.
        const int Count = 200_003;
        ChannelSample sample = Filled(Enumerable.Range(0, Count).Select(i => (i * 0.001, (double)(i * 7919L % Count) / Count))).Sample(0);
        Assert.Equal((Count, 0.0, (Count - 1.0) / Count), (sample.Count, sample.Min, sample.Max));
        Assert.InRange(sample.Median, 0.5 - 0.055, 0.5 + 0.055);
        Assert.InRange(sample.Low5, 0.05 - 0.024, 0.05 + 0.024);
        Assert.InRange(sample.High95, 0.95 - 0.024, 0.95 + 0.024);
        Assert.InRange(sample.Distinct, 2000, Count);
    }

    [Fact]
    public void A_lap_counter_shows_all_its_values_however_long_the_log() =>
        Assert.Equal(40, Filled(Enumerable.Range(0, 100_000).Select(i => (i * 0.01, Math.Floor(i / 2500.0)))).Sample(0).Distinct);

    [Fact]
    public void The_same_log_gives_the_same_sample()
    {
        (double, double)[] readings = [.. Enumerable.Range(0, 10_000).Select(i => (i * 0.01, Math.Sin(i)))];
        Assert.Equal(Filled(readings).Sample(0), Filled(readings).Sample(0));
    }

    [Fact]
    public void Whatever_comes_it_does_not_throw_and_the_numbers_agree() =>
        Gen.Select(Gen.Long, Gen.Int[-1, 3], Gen.OneOf(Gen.Double, Gen.Int[0, 3].Select(place => Awkward[place]))).Array[0, 200].Sample(
            readings =>
            {
                var sink = new InventorySink(2);
                foreach ((long at, int channel, double value) in readings)
                {
                    sink.Add(new LogTime(at), channel, value);
                    sink.EndRecord(new LogTime(at));
                }
                foreach (LogChannel channel in (LogChannel[])[First, Second])
                {
                    ChannelListing listing = sink.Listing(channel);
                    ChannelSample sample = sink.Sample(channel.Index);
                    Assert.Equal(readings.Count(reading => reading.Item2 == channel.Index), listing.Samples + listing.Absent);
                    Assert.Equal(listing.Samples, sample.Count);
                    if (listing.Samples == 0) continue;
                    double[] rising = [sample.Min, sample.Low5, sample.Median, sample.High95, sample.Max];
                    // Between two equal values the interpolated one may be off by the last digit.
                    for (int i = 1; i < rising.Length; i++) Assert.True(rising[i] >= rising[i - 1] - (1e-15 * Math.Abs(rising[i - 1])));
                }
                Assert.Equal(readings.Length, sink.Records);
            },
            seed: "0000KOXEqz64", iter: 500, threads: 1);

    [Fact]
    public void A_hundred_thousand_channels_fit_in_bounded_memory()
    {
        const int Channels = 100_000;
        long before = GC.GetAllocatedBytesForCurrentThread();
        var sink = new InventorySink(Channels);
        for (int pass = 0; pass < 3; pass++)
            for (int channel = 0; channel < Channels; channel++) sink.Add(new LogTime(pass * 1_000_000L), channel, pass);
        Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, 200_000_000);
        Assert.Equal(3, sink.Sample(Channels - 1).Count);
    }

    [Fact]
    public void A_channel_that_is_not_there_is_refused()
    {
        var sink = new InventorySink(1);
        Assert.Throws<ArgumentOutOfRangeException>(() => sink.Sample(1));
        Assert.Throws<ArgumentOutOfRangeException>(() => sink.Listing(Second));
        Assert.Throws<ArgumentOutOfRangeException>(() => new InventorySink(-1));
    }

    private static InventorySink Filled(IEnumerable<(double AtS, double Value)> readings)
    {
        var sink = new InventorySink(1);
        foreach ((double at, double value) in readings) sink.Add(LogTime.FromSeconds(at), 0, value);
        return sink;
    }

    private static IEnumerable<(double AtS, double Value)> Every(double stepS, double fromS, double toS) =>
        Enumerable.Range(0, (int)Math.Round((toS - fromS) / stepS) + 1).Select(i => (fromS + (i * stepS), (double)i));
}
