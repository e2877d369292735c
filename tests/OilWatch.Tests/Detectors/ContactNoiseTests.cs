using OilWatch.Detectors;

namespace OilWatch.Tests.Detectors;

public sealed class ContactNoiseTests
{
    private const double Plateau = 450;
    private const double ChangesAtS = 200;

    [Theory]
    [InlineData(20)]
    [InlineData(25)]
    [InlineData(50)]
    public void White_noise_that_grew_manyfold_is_a_contact_that_chatters(int hz)
    {
        ContactSigns signs = Play(hz, 400, Chatter(18));
        Assert.True(signs.Chatters, $"{signs}");
        Assert.InRange(signs.NoiseAtS, ChangesAtS - 6, ChangesAtS + 6);
        Assert.InRange(signs.NoiseCorrelation, -0.53, -0.47);
        Assert.InRange(signs.NoiseShare, 0.035, 0.045);
    }

    [Theory]
    [InlineData(20, 0.05)]
    [InlineData(25, 0.05)]
    [InlineData(50, 0.05)]
    [InlineData(20, 0.12)]
    public void The_same_noise_of_the_oil_comes_through_gallery_and_line_and_is_none(int hz, double lagS)
    {
        // The least that a lag can make of it: what drives it has forgotten itself by the next reading.
        double lagged = 0, kept = Math.Exp(-1.0 / hz / lagS);
        Func<double, Random, double> chatter = Chatter(18 / (1 - kept) * Math.Sqrt(1 - (kept * kept)));
        ContactSigns signs = Play(hz, 400, (t, random) => lagged += (1 - kept) * (chatter(t, random) - lagged));
        Assert.True(signs.NoiseGrowth > 1.4 && signs.NoiseShare > 0.01, $"{signs}");
        Assert.False(signs.Chatters, $"{signs}");
    }

    [Fact]
    public void Bursts_of_nonsense_are_no_noise_that_lasts()
    {
        ContactSigns signs = Play(20, 600, (t, random) => (t is > 200 and < 212 or > 480 and < 492 ? 90 : 3) * Normal(random));
        Assert.True(signs.NoiseGrowth > 1.4, $"{signs}");
        Assert.False(signs.Chatters, $"{signs}");
    }

    [Fact]
    public void Noise_that_stays_is_no_growth() => Assert.False(Play(20, 400, (_, random) => 18 * Normal(random)).Chatters);

    [Fact]
    public void Noise_that_goes_with_engine_speed_is_no_growth_where_the_driver_only_turned_faster()
    {
        // A warm-up, then laps: what pulses at high speed did so before as well.
        ContactSigns signs = Play(20, 400, (t, random) => Speed(t) / 1000 * 3 * Normal(random), Speed);
        Assert.False(signs.Chatters, $"{signs}");

        static double Speed(double t) => t < ChangesAtS ? 2600 + (500 * Math.Sin(t / 5)) : 6500 + (500 * Math.Sin(t / 5));
    }

    [Fact]
    public void Noise_that_is_a_hundredth_of_pressure_is_no_contact_yet() => Assert.False(Play(20, 400, Chatter(4.5, 0.5), quiet: 0.5).Chatters);

    [Fact]
    public void Readings_a_tenth_of_a_second_apart_say_nothing() => Assert.False(Play(10, 400, Chatter(18)).Chatters);

    [Fact]
    public void Ten_hours_are_kept_in_as_much_memory_as_ten_minutes()
    {
        ContactSigns signs = Play(20, 36_000, (t, random) => (t < 18_000 ? 3 : 18) * Normal(random));
        Assert.True(signs.Chatters, $"{signs}");
        Assert.InRange(signs.NoiseAtS, 17_000, 19_000);
    }

    private static Func<double, Random, double> Chatter(double kpa, double before = 3) => (t, random) => (t < ChangesAtS ? before : kpa) * Normal(random);

    private static ContactSigns Play(int hz, double seconds, Func<double, Random, double> noise, Func<double, double>? speed = null, double quiet = 1)
    {
        var random = new Random(20261125);
        var tally = new ContactNoise();
        for (int tick = 0; tick < seconds * hz; tick++)
        {
            double t = (double)tick / hz;
            tally.Step(new LogTime(tick * (1_000_000_000L / hz)), Plateau + noise(t, random) + (quiet * Normal(random)), speed?.Invoke(t) ?? 5500 + (300 * Math.Sin(t / 3)));
        }
        return tally.Signs();
    }

    private static double Normal(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
