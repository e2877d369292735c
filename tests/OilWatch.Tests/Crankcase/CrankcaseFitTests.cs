using OilWatch.Crankcase;

namespace OilWatch.Tests.Crankcase;

public sealed class CrankcaseFitTests
{
    [Fact]
    public void A_loss_that_lasts_for_the_rest_of_the_run_does_not_become_healthy()
    {
        HealthyCrankcase model = Fit(share => share > 0.35 ? 0.2 : 1)!;
        Assert.True(model.MakesVacuum);
        Assert.InRange(model.At(6000, 100), -31.5, -28.5);
        Assert.InRange(model.At(3000, 100), -17, -13);
    }

    [Fact]
    public void A_slow_loss_does_not_either() => Assert.InRange(Fit(share => share < 0.3 ? 1 : 1.3 - share)!.At(6000, 100), -31.5, -27.5);

    [Theory]
    [InlineData(0.2)]
    [InlineData(0.4)]
    public void Vacuum_that_is_gone_for_most_of_the_run_does_not_become_healthy(double from) =>
        Assert.InRange(Fit(share => share < from ? 1 : 0)!.At(6000, 100), -31.5, -28.5);

    [Fact]
    public void Blow_by_that_begins_in_the_run_does_not_become_usual()
    {
        HealthyCrankcase model = CrankcaseFit.Fit([.. Samples((share, rpm) => (0.1 * rpm / 1000) + (share > 0.4 ? 3 : 0))], 600, CrankcaseOptions.Default)!;
        Assert.False(model.MakesVacuum);
        Assert.InRange(model.At(6000, 100), 0.4, 0.8);
    }

    [Fact]
    public void Speeds_seen_only_after_the_loss_are_taken_at_the_healthy_level()
    {
        // Up to 5000 rpm before the loss, all speeds after it.
        List<CrankcaseSample> samples = [.. Samples((share, rpm) => -rpm / 200 * (share > 0.4 ? 0.5 : 1)).Where(sample => sample.AtS > 240 || sample.SpeedRpm < 5000)];
        HealthyCrankcase model = CrankcaseFit.Fit([.. samples], 600, CrankcaseOptions.Default)!;
        Assert.InRange(model.At(6500, 100), -35, -30);
    }

    [Fact]
    public void Speeds_seen_only_while_it_was_lost_slowly_do_not_become_deeper_than_what_was_seen_before()
    {
        // Above 4000 rpm until it fades to a quarter, slower only in the first moments of that, when most of it is still there.
        List<CrankcaseSample> samples =
        [
            .. Samples((share, rpm) => -20 - (rpm / 500) * Math.Clamp(1 - (3 * (share - 0.4)), 0.25, 1)).Where(sample => sample.SpeedRpm > 4000 || sample.AtS is > 240 and < 280)
                .Select(sample => sample with { PressureKpa = sample.PressureKpa * (float)Math.Clamp(1 - (3 * ((sample.AtS / 600) - 0.4)), 0.25, 1) }),
        ];
        HealthyCrankcase model = CrankcaseFit.Fit([.. samples], 600, CrankcaseOptions.Default)!;
        Assert.InRange(model.At(5000, 100), -31.5, -28.5);
        Assert.InRange(model.At(3200, 100), -30, -18);
    }

    [Fact]
    public void Slow_laps_driven_only_after_the_loss_do_not_show_what_is_healthy()
    {
        // Above 5000 rpm until vacuum falls to a quarter, below 6000 rpm from then on: what lies below 5000 was never seen healthy.
        List<CrankcaseSample> samples =
        [
            .. Samples((share, rpm) => -rpm / 200 * (share > 0.7 ? 0.25 : 1)).Where(sample => sample.AtS > 420 ? sample.SpeedRpm < 6000 : sample.SpeedRpm > 5000),
        ];
        HealthyCrankcase model = CrankcaseFit.Fit([.. samples], 600, CrankcaseOptions.Default)!;
        Assert.InRange(model.At(6500, 100), -34, -31);
        Assert.InRange(model.At(5200, 100), -28, -25);
        Assert.InRange(model.At(4000, 100), -22, -18);
        Assert.InRange(model.At(3000, 100), -17, -13);
    }

    [Fact]
    public void A_slow_lap_of_a_healthy_engine_whose_pump_makes_little_at_low_speed_is_healthy()
    {
        List<CrankcaseSample> samples =
        [
            .. Samples((_, rpm) => -36 * Math.Pow(rpm / 7000, 1.6)).Where(sample => sample.AtS > 500 ? sample.SpeedRpm < 6000 : sample.SpeedRpm > 5000),
        ];
        HealthyCrankcase model = CrankcaseFit.Fit([.. samples], 600, CrankcaseOptions.Default)!;
        Assert.InRange(model.At(3000, 100), -11, -7.5);
    }

    [Fact]
    public void Too_little_running_gives_no_model() => Assert.Null(CrankcaseFit.Fit([.. Samples((_, rpm) => -rpm / 200).Take(100)], 10, CrankcaseOptions.Default));

    [Fact]
    public void Memory_is_bounded_and_the_run_stays_evenly_covered()
    {
        var samples = new CrankcaseSamples();
        for (int i = 0; i < 200_000; i++) samples.Take(new LogTime(i * 100_000_000L), new CrankcaseSample(i / 10f, 5000, 50, -20));
        Assert.InRange(samples.All.Length, 5_000, 20_000);
        Assert.InRange(samples.All[samples.All.Length / 2].AtS, 9_000, 11_000);
        Assert.InRange(samples.RunningS, 15_000, 20_001);
    }

    private static HealthyCrankcase? Fit(Func<double, double> level) =>
        CrankcaseFit.Fit([.. Samples((share, rpm) => -rpm / 200 * level(share))], 600, CrankcaseOptions.Default);

    /// <summary>Ten minutes at ten a second, engine speed up and down through 2000 to 7000 rpm; -30 kPa at 6000 rpm is healthy.</summary>
    private static IEnumerable<CrankcaseSample> Samples(Func<double, double, double> kpa)
    {
        var random = new Random(20261125);
        for (int i = 0; i < 6000; i++)
        {
            double rpm = 4500 + (2500 * Math.Sin(i / 37.0));
            yield return new CrankcaseSample(i / 10f, (float)rpm, 100, (float)(kpa(i / 6000.0, rpm) + (0.6 * (random.NextDouble() - 0.5))));
        }
    }
}
