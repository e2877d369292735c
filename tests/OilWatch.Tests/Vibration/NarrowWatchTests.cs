using OilWatch.Vibration;

namespace OilWatch.Tests.Vibration;

public sealed class NarrowWatchTests
{
    private const double RateHz = 3200;
    private const int Segment = 512;
    private const double StepS = 0.16;

    [Fact]
    public void One_band_that_rises_is_called_with_its_frequency_and_no_other_time_before()
    {
        var made = new Spectra(at => at > 200 ? 1.8 : 1, noise: 30);
        (double at, NarrowRise rise) = Assert.Single(made.Run(260).Take(1));
        Assert.InRange(at, 200, 206);
        Assert.Equal(Spectra.Hz, rise.Hz, 25.0);
        Assert.InRange(rise.Ratio, 1.4, 2.2);
        Assert.InRange(rise.Since.Seconds, 199, 201);
    }

    [Fact]
    public void Nothing_is_called_where_nothing_rises() => Assert.Empty(new Spectra(_ => 1, noise: 1).Run(900));

    [Fact]
    public void What_rises_in_all_bands_alike_is_not_of_one_band() => Assert.Empty(new Spectra(_ => 1, noise: 1) { All = at => at > 200 ? 1.25 : 1 }.Run(400));

    [Fact]
    public void A_rise_that_the_level_as_a_whole_would_not_feel_is_not_called() => Assert.Empty(new Spectra(at => at > 200 ? 1.8 : 1, noise: 1000).Run(400));

    [Fact]
    public void A_shock_is_known_as_such_and_a_lasting_rise_only_for_seconds()
    {
        var shock = new Spectra(_ => 1, noise: 1) { All = at => at is > 200 and < 200.4 ? 3 : 1 };
        Assert.Empty(shock.Run(300));
        Assert.InRange(shock.Shocks, 1, 4);
        var lasting = new Spectra(_ => 1, noise: 1) { All = at => at > 200 ? 3 : 1 };
        Assert.Empty(lasting.Run(300));
        Assert.InRange(lasting.Shocks, 1, 40);
    }

    [Fact]
    public void Slow_fast_and_unknown_engine_speed_is_not_judged()
    {
        var watch = new NarrowWatch(RateHz, Segment, VibrationOptions.Default);
        var power = new float[(Segment / 2) + 1];
        Array.Fill(power, 1f);
        foreach ((double rpm, double slope) in ((double, double)[])[(double.NaN, 0), (1000, 0), (5000, 9000), (5000, double.NaN)])
            Assert.False(watch.Take(power, 1, LogTime.FromSeconds(1), rpm, slope, out _));
    }

    [Theory]
    [InlineData(100, 256)]
    [InlineData(25_600, 4096)]
    [InlineData(1_000_000, 65_536)]
    public void Any_rate_and_segment_is_taken(double rateHz, int segment)
    {
        var watch = new NarrowWatch(rateHz, segment, VibrationOptions.Default);
        var power = new float[(segment / 2) + 1];
        for (int i = 0; i < 200; i++)
        {
            Array.Fill(power, 1f);
            Assert.False(watch.Take(power, 2, LogTime.FromSeconds(i * 0.1), 4000, 0, out _));
        }
        Assert.False(watch.Stands);
    }

    /// <summary>Made spectra: a line that rings at 400 Hz on a floor, each bin of it with the scatter of a periodogram averaged over two.</summary>
    private sealed class Spectra(Func<double, double> grown, double noise)
    {
        public const double Hz = 400;
        private readonly Random _random = new(20261125);

        /// <summary>What all bands are multiplied by.</summary>
        public Func<double, double> All { get; init; } = _ => 1;

        /// <summary>Spectra that were known as shocks.</summary>
        public int Shocks { get; private set; }

        public List<(double At, NarrowRise Rise)> Run(double lengthS)
        {
            var watch = new NarrowWatch(RateHz, Segment, VibrationOptions.Default);
            var called = new List<(double, NarrowRise)>();
            var power = new float[(Segment / 2) + 1];
            for (double at = 0; at < lengthS; at += StepS)
            {
                double rpm = 5500 + (1000 * Math.Sin(at / 2));
                for (int bin = 0; bin < power.Length; bin++)
                {
                    double scatter = -0.25 * Math.Log((1 - _random.NextDouble()) * (1 - _random.NextDouble()) * (1 - _random.NextDouble()) * (1 - _random.NextDouble()));
                    double apart = ((bin * RateHz / Segment) - Hz) / 15;
                    double line = 40 / (1 + (apart * apart)) * Math.Pow(grown(at), 2);
                    power[bin] = (float)(2 * scatter * Math.Pow(All(at), 2) * (line + (0.02 * noise)));
                }
                if (watch.Take(power, 2, LogTime.FromSeconds(at), rpm, 500 * Math.Cos(at / 2), out NarrowRise rise)) called.Add((at, rise));
                if (watch.IsShock) Shocks++;
            }
            return called;
        }
    }
}
