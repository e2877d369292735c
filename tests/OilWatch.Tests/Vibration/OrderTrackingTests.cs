using OilWatch.Cars;
using OilWatch.Vibration;

namespace OilWatch.Tests.Vibration;

public class OrderTrackingTests
{
    /// <summary>Ways in which engine speed may go, by name.</summary>
    private static Func<double, double> Course(string name) => name switch
    {
        "steady" => _ => 6000,
        "sweep" => t => 2000 + (300 * t),
        "fast sweep" => t => 1500 + (6500 * (0.5 - (0.5 * Math.Cos(2 * Math.PI * t / 6)))),
        "laps" => t => 5200 + (1800 * Math.Sin(2 * Math.PI * t / 5)) + (600 * Math.Sin(2 * Math.PI * t / 1.7)),
        _ => throw new ArgumentOutOfRangeException(nameof(name)),
    };

    // Truth: the sum that was made. Asked for: within 2 % in level and 0.02 in order.
    [Theory]
    [InlineData("steady", 25_600)]
    [InlineData("sweep", 25_600)]
    [InlineData("fast sweep", 25_600)]
    [InlineData("laps", 25_600)]
    [InlineData("laps", 48_000)]
    [InlineData("laps", 6_400)]
    [InlineData("sweep", 3_200)]
    public void Known_orders_are_measured_within_2_percent_and_a_fiftieth_of_an_order(string course, double rateHz)
    {
        (double Order, double RmsG)[] truth = [(0.5, 0.4), (1, 1.5), (1.5, 0.25), (2, 3), (4, 2.2), (5.5, 0.5), (8, 0.8)];
        var shaking = new Shaking { Rpm = Course(course), RateHz = rateHz, NoiseRmsG = 0.5 };
        foreach ((double order, double rms) in truth) shaking.With(order, rms);

        WaveAnalysis analysis = shaking.Analyse();

        foreach ((double order, double rms) in truth)
        {
            OrderLevel level = Assert.Single(analysis.Orders, found => found.Order == order);
            Assert.InRange(level.RmsG, 0.98 * rms, 1.02 * rms);
            OrderPeak peak = analysis.OrderPeaks.MinBy(found => Math.Abs(found.Order - order));
            Assert.InRange(peak.Order, order - 0.02, order + 0.02);
        }
        // Orders that were not there stay in the noise.
        Assert.All([3.0, 3.5, 6.5, 7.0], order => Assert.InRange(analysis.Orders.Single(found => found.Order == order).RmsG, 0, 0.05));
    }

    [Theory]
    [InlineData(1.37)]        // a belt
    [InlineData(2.71)]
    [InlineData(6.2)]
    public void A_line_between_the_half_orders_is_found_in_its_place(double order)
    {
        WaveAnalysis analysis = new Shaking { Rpm = Course("laps"), NoiseRmsG = 0.3 }.With(2, 1).With(order, 0.6).Analyse();

        OrderPeak peak = analysis.OrderPeaks.MinBy(found => Math.Abs(found.Order - order));

        Assert.InRange(peak.Order, order - 0.02, order + 0.02);
        Assert.InRange(peak.RmsG, 0.98 * 0.6, 1.02 * 0.6);
    }

    [Fact]
    public void A_high_frequency_does_not_fold_back_onto_the_orders()
    {
        // 3000 rpm: 64 samples a revolution are 3200 Hz, so that 3300 Hz would land on order 2 without a filter.
        var shaking = new Shaking { Rpm = _ => 3000 };
        WaveAnalysis analysis = shaking.With(66, 5).With(1, 0.1).Analyse();

        Assert.InRange(analysis.Orders.Single(found => found.Order == 2).RmsG, 0, 0.01);
        Assert.InRange(analysis.Orders.Single(found => found.Order == 1).RmsG, 0.098, 0.102);
    }

    [Fact]
    public void Orders_that_the_rate_does_not_reach_are_left_out()
    {
        // 1000 Hz reaches to 400 Hz, which is order 4 at 6000 rpm.
        WaveAnalysis analysis = new Shaking { Rpm = _ => 6000, RateHz = 1000 }.With(2, 1).Analyse();

        Assert.Equal(3.5, analysis.Orders[^1].Order);
        Assert.InRange(analysis.Orders.Single(found => found.Order == 2).RmsG, 0.98, 1.02);
    }

    [Fact]
    public void Where_engine_speed_is_missing_or_too_slow_nothing_is_tracked_and_the_rest_is()
    {
        var shaking = new Shaking { Rpm = t => t is > 5 and < 8 ? 0 : 4000 }.With(2, 1);
        var speed = new SpeedTrack();
        for (double t = -0.5; t < 20.5; t += 0.02)
            if (t is not (> 12 and < 15)) speed.Add(LogTime.FromSeconds(t), shaking.Rpm(t));
        var analyser = new WaveAnalyser(1, shaking.RateHz, default, speed);
        analyser.Add(shaking.Samples());

        WaveAnalysis analysis = analyser.Finish();

        // 14 s of 66.7 revolutions a second: a window each eight revolutions, less one at each of the three beginnings.
        Assert.InRange(analysis.OrderTable.Windows, 105, 117);
        Assert.InRange(analysis.Orders.Single(found => found.Order == 2).RmsG, 0.98, 1.02);
    }

    [Fact]
    public void Without_engine_speed_there_are_spectra_and_no_orders()
    {
        var analyser = new WaveAnalyser(1, 25_600, default, new SpeedTrack());
        analyser.Add(new Shaking { Rpm = _ => 6000, LengthS = 2 }.With(2, 1).Samples());

        WaveAnalysis analysis = analyser.Finish();

        Assert.Empty(analysis.Orders);
        Assert.Empty(analysis.Resonances);
        Assert.InRange(analysis.RmsG!.Value, 0.999, 1.001);
    }

    [Fact]
    public void A_waveform_that_begins_within_the_log_is_placed_by_its_start()
    {
        // The waveform begins at 100 s of the log; the speed says so.
        var shaking = new Shaking { Rpm = Course("laps") }.With(3, 1);
        var speed = new SpeedTrack();
        for (double t = -0.5; t < 20.5; t += 0.02) speed.Add(LogTime.FromSeconds(100 + t), shaking.Rpm(t));
        var analyser = new WaveAnalyser(1, shaking.RateHz, LogTime.FromSeconds(100), speed);
        analyser.Add(shaking.Samples());

        WaveAnalysis analysis = analyser.Finish();

        Assert.InRange(analysis.Orders.Single(found => found.Order == 3).RmsG, 0.98, 1.02);
        Assert.InRange(analysis.OrderPeaks[0].Order, 2.98, 3.02);
        Assert.InRange(analysis.Levels[0].At.Seconds, 100, 100.3);
    }

    [Fact]
    public void Any_split_of_the_samples_gives_the_same_result()
    {
        var shaking = new Shaking { Rpm = Course("laps"), LengthS = 6, NoiseRmsG = 0.2 }.With(2, 1).With(4, 0.5);

        WaveAnalysis whole = shaking.Analyse(atOnce: int.MaxValue / 2);
        WaveAnalysis parts = shaking.Analyse(atOnce: 777);

        Assert.Equal(whole.Density!.DensityG2PerHz.ToArray(), parts.Density!.DensityG2PerHz.ToArray());
        Assert.Equal(whole.Orders, parts.Orders);
        Assert.Equal(whole.VelocityRmsMmS, parts.VelocityRmsMmS);
    }

    [Fact]
    public void Resonances_are_found_and_named_by_what_excites_them()
    {
        // A bracket at 310 Hz, 3 % damping: order 4 meets it at 4650, order 4.5 at 4133, order 3 at 6200 rpm.
        var shaking = new Shaking { Rpm = t => 2500 + (5000 * (0.5 - (0.5 * Math.Cos(2 * Math.PI * t / 30)))), LengthS = 60, NoiseRmsG = 0.02 }
            .With(1, 0.5).With(2, 1).With(3, 0.3).With(4, 1).With(4.5, 0.2)
            .Through(310, 0.03);

        WaveAnalysis analysis = shaking.Analyse(new WaveOptions { Car = new CarSettings { Cylinders = 8, Crank = CrankLayout.FlatPlane } });

        Resonance strongest = analysis.Resonances[0];
        Assert.InRange(strongest.FrequencyHz, 0.98 * 310, 1.02 * 310);
        ResonanceCrossing firing = Assert.Single(strongest.Crossings, crossing => crossing.Order == 4);
        Assert.Equal("firing order", firing.Name);
        Assert.InRange(firing.AtRpm, 4580, 4720);
        Assert.Contains(strongest.Crossings, crossing => crossing.Order == 3 && Math.Abs(crossing.AtRpm - 6200) < 100);
        Assert.InRange(strongest.Sharpness, 8, 20);                      // 1 / (2 · 0.03) = 16.7, widened by the step of speed
        Assert.DoesNotContain(strongest.Crossings, crossing => crossing.Order is 1 or 2);        // their crossings lie outside the speeds run
        Assert.Single(analysis.Resonances);
    }

    [Fact]
    public void Orders_that_only_grow_with_speed_are_no_resonance()
    {
        var shaking = new Shaking { Rpm = t => 2500 + (5000 * (0.5 - (0.5 * Math.Cos(2 * Math.PI * t / 20)))), LengthS = 40, NoiseRmsG = 0.05 }
            .With(1, (_, rpm) => rpm * rpm / 4e7).With(2, (_, rpm) => rpm * rpm / 2e7).With(4, (_, rpm) => rpm / 6000);

        Assert.Empty(shaking.Analyse().Resonances);
    }

    [Fact]
    public void The_map_shows_where_the_level_is()
    {
        WaveAnalysis analysis = new Shaking { Rpm = t => t < 10 ? 3000 : 6000 }.With(2, 1).Analyse();

        // Order 2: 100 Hz at 3000 rpm, 200 Hz at 6000 rpm; a Hann line covers three bins of 6.25 Hz.
        Assert.InRange(Cells(30, 100), 0.97, 1.02);
        Assert.InRange(Cells(60, 200), 0.97, 1.02);
        Assert.InRange(Cells(60, 100), 0, 0.05);
        Assert.Equal(double.NaN, analysis.Map.RmsG(45, 8));

        double Cells(int row, double hz)
        {
            double square = 0;
            int centre = (int)(hz / analysis.Map.StepHz);
            for (int column = centre - 2; column <= centre + 2; column++) square += Math.Pow(analysis.Map.RmsG(row, column), 2);
            return Math.Sqrt(square);
        }
    }

    [Fact]
    public void Velocity_is_that_of_the_tones_in_its_band()
    {
        // 1 g rms at 100 Hz is 15.607768227 mm/s (check-values 7, COMPUTED); 5 Hz and 1500 Hz lie outside 10 to 1000 Hz.
        WaveAnalysis analysis = new Shaking { Rpm = _ => 6000, LengthS = 30 }.With(1, 1).With(0.05, 0.2).With(15, 3).Analyse();

        Assert.Equal(1000, analysis.VelocityToHz);
        Assert.InRange(analysis.VelocityRmsMmS!.Value, 0.995 * 15.607768227, 1.005 * 15.607768227);
    }

    [Fact]
    public void Samples_that_are_no_numbers_are_counted_and_do_no_harm()
    {
        float[] samples = new Shaking { Rpm = _ => 6000, LengthS = 4 }.With(2, 1).Samples();
        samples[1000] = float.NaN;
        samples[2000] = float.PositiveInfinity;
        samples[3000] = 1e30f;
        var analyser = new WaveAnalyser(1, 25_600, default, new Shaking { Rpm = _ => 6000 }.Speed());
        analyser.Add(samples);

        WaveAnalysis analysis = analyser.Finish();

        Assert.Equal(3, analysis.NotNumbers);
        Assert.InRange(analysis.RmsG!.Value, 0.999, 1.001);
    }

    [Fact]
    public void A_band_that_rises_is_called_and_the_others_are_not()
    {
        // Order 1.5 doubles from 120 s on; order 2, much stronger, stays.
        Func<double, double> laps = t => 5200 + (1200 * Math.Sin(2 * Math.PI * t / 9));
        var options = new WaveOptions
        {
            Car = new CarSettings { Bands = [new Band("bank", BandKind.Order, 1.25, 1.75), new Band("above", BandKind.Frequency, 500, 1000), new Band("rpm", BandKind.EngineSpeed, 6000, 6100)] },
        };
        var shaking = new Shaking { Rpm = laps, RateHz = 3200, LengthS = 200, NoiseRmsG = 0.05 }
            .With(1.5, (t, _) => t < 120 ? 0.2 : 0.2 * Math.Min(1 + ((t - 120) / 10), 2.5)).With(2, 1);

        WaveAnalysis analysis = shaking.Analyse(options);

        VibrationChange raised = analysis.Changes[0];
        Assert.Equal("bank", raised.Rise.Band);
        Assert.InRange(raised.At.Seconds, 123, 135);                        // 1.5 times is passed at 125 s
        Assert.All(analysis.Changes, change => Assert.Equal("bank", change.Rise.Band));
        Assert.Equal("bank, above", string.Join(", ", analysis.Bands.Select(band => band.Name)));
        Assert.Equal(OilWatch.Alerts.AlertPhase.Ended, analysis.Changes[^1].Phase);
    }

    [Fact]
    public void Options_that_are_out_of_range_are_refused_with_every_problem()
    {
        var options = new WaveOptions { Segment = 1000, Rise = VibrationOptions.Default with { RiseRatio = 0.5 } };

        ArgumentException error = Assert.Throws<ArgumentException>(() => new WaveAnalyser(1, 25_600, default, new SpeedTrack(), options));

        Assert.Equal(
            "segment = 1000 is not possible; a power of two from 256 to 65536 is allowed; limits.vibration.rise_ratio = 0.5 is out of range; 1.1 to 10 is allowed (Parameter 'options')",
            error.Message);
    }
}
