using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Pressure;
using OilWatch.Results;

namespace OilWatch.Tests.Pressure;

public sealed class ExpectedPressureTests
{
    // danger_kpa_per_1000_rpm and danger_above_rpm.
    private static readonly DangerLine Danger = new(20, 3500);

    private static ExpectedPressure Live() => new(PressureModelOptions.Default, TestEngine.RatioAt, wholeRun: null, learn: true, Danger);

    private static List<EngineFrame> Judged(ExpectedPressure expected, IEnumerable<EngineFrame> frames)
    {
        var judged = new List<EngineFrame>();
        foreach (EngineFrame given in frames)
        {
            EngineFrame frame = given;
            expected.Apply(ref frame);
            judged.Add(frame);
        }

        return judged;
    }

    [Fact]
    public void Before_anything_is_learned_the_rule_of_thumb_stands_guard()
    {
        ExpectedPressure expected = Live();
        List<EngineFrame> frames = Judged(expected, new TestEngine { LengthS = 8, Rpm = _ => 4000 }.Frames());
        // 48.3 kPa (7 psi) for each 1000 rpm, a quarter either way: pressure_model.rule_of_thumb_kpa; common practice, no source.
        Assert.Equal(4 * 48.3, frames[20].ExpectedKpa, 6);
        Assert.Equal(0.25 * 4 * 48.3, frames[20].SpreadKpa, 6);
        Assert.True(frames[20].CanJudgePressure);
        Assert.Null(expected.Model);
        Assert.Equal("rule-of-thumb", expected.Summary.Origin);
        Assert.Equal("low", expected.Summary.Confidence);
        Assert.Equal(["Too little calm running to learn this engine's healthy pressure: a rule of thumb was used (common practice, no source)."], expected.Summary.Notes);
        Assert.Empty(expected.Indices());

        List<EngineFrame> fast = Judged(Live(), new TestEngine { LengthS = 8, Rpm = _ => 8000 }.Frames());
        Assert.Equal(300, fast[20].ExpectedKpa);             // rule_of_thumb_top_kpa
    }

    [Fact]
    public void Live_the_engine_is_learned_as_calm_running_comes_and_is_then_expected_closely()
    {
        var engine = new TestEngine { LoggedTemperatureC = _ => 95, LengthS = 200 };
        ExpectedPressure expected = Live();
        List<EngineFrame> frames = Judged(expected, engine.Frames());
        Assert.NotNull(expected.Model);
        Assert.Equal("learned-as-it-ran", expected.Summary.Origin);
        EngineFrame[] late = [.. frames.Where(frame => frame.At.Seconds > 100 && frame.CanJudgePressure)];
        Assert.True(late.Length > 1500);
        double[] apart = [.. late.Select(frame => Math.Abs((frame.PressureKpa / frame.ExpectedKpa) - 1)).Order()];
        Assert.InRange(apart[apart.Length / 2], 0, 0.03);
        Assert.InRange(apart[(int)(0.99 * apart.Length)], 0, 0.1);
        // The rule of thumb stood until fifteen seconds of calm running were seen (least_calm_s), 7 of every 11 s.
        Assert.Equal(48.3 * 3, frames.First(frame => frame.SpeedRpm >= 3000 && frame.At.Seconds < 1).ExpectedKpa, 20.0);
        Assert.True(frames.First(frame => Math.Abs(frame.ExpectedKpa - (0.0483 * frame.SpeedRpm)) > 60 && frame.SpeedRpm < 5000).At.Seconds > 15);
    }

    [Fact]
    public void Live_what_is_expected_depends_on_nothing_that_comes_later()
    {
        List<EngineFrame> all = new TestEngine { LengthS = 150 }.Frames();
        List<EngineFrame> whole = Judged(Live(), all), prefix = Judged(Live(), all.Take(1800));
        for (int i = 0; i < prefix.Count; i++) Assert.Equal((whole[i].ExpectedKpa, whole[i].SpreadKpa), (prefix[i].ExpectedKpa, prefix[i].SpreadKpa));
    }

    [Fact]
    public void A_model_of_the_whole_run_is_asked_from_the_first_frame_on_and_says_where_it_comes_from()
    {
        var engine = new TestEngine();
        HealthyPressure model = engine.Fit()!;
        var expected = new ExpectedPressure(PressureModelOptions.Default, TestEngine.RatioAt, model, learn: false);
        List<EngineFrame> frames = Judged(expected, engine.Frames());
        Assert.Equal("this-run", expected.Summary.Origin);
        Assert.InRange(frames[10].ExpectedKpa / engine.Curve.At(frames[10].SpeedRpm, engine.Ratio(0)), 0.85, 1.15);
        foreach (EngineFrame frame in frames.Where(frame => frame.CanJudgePressure))
            Assert.InRange((frame.PressureKpa - frame.ExpectedKpa) / frame.SpreadKpa, -6, 6);
        // The plateau of the curve, 420 + 6 n: within its own uncertainty of about 2 %.
        HealthIndex plateau = Assert.Single(expected.Indices(), index => index.Key is "oil_pressure_plateau_kpa");
        Assert.Equal(460, plateau.Value, 12.0);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void An_engine_that_shows_too_little_for_its_bearings_all_the_time_is_judged_by_the_rule_of_thumb(bool live)
    {
        // A fifth of its pressure: 92 kPa at 6700 rpm, where 20 kPa for each 1000 rpm are 134.
        var engine = new TestEngine { Share = (_, _, _) => 0.2, NoiseKpa = 2, LoggedTemperatureC = _ => 95, LengthS = 200 };
        ExpectedPressure expected = live ? Live() : new ExpectedPressure(PressureModelOptions.Default, TestEngine.RatioAt, engine.Fit()!, learn: false, Danger);
        List<EngineFrame> judged = [.. Judged(expected, engine.Frames()).Where(frame => frame.At.Seconds > 60 && frame.CanJudgePressure)];
        Assert.NotNull(expected.Model);
        Assert.All(judged, frame => Assert.Equal(frame.DisbelievedKpa, frame.PressureKpa, 25.0));
        Assert.All(judged.Where(frame => frame.SpeedRpm > 6300), frame => Assert.Equal(300, frame.ExpectedKpa, 10.0));
        Assert.Equal(("rule-of-thumb", "low"), (expected.Summary.Origin, expected.Summary.Confidence));
        Assert.Contains("below 20 kPa for each 1000 rpm", Assert.Single(expected.Summary.Notes), StringComparison.Ordinal);
        Assert.Equal(300, expected.Curve(1)[^1].PressureKpa, 1.0);
    }

    [Fact]
    public void A_healthy_engine_of_little_pressure_by_design_is_judged_by_its_own_curve()
    {
        // 200 kPa at speed, oil at 140 °C in the end.
        var engine = new TestEngine { Curve = new PressureCurve(60, 0.6, 5, 160, 6, 20), NoiseKpa = 3, LoggedTemperatureC = t => 140 - (60 * Math.Exp(-t / 60)) };
        var expected = new ExpectedPressure(PressureModelOptions.Default, TestEngine.RatioAt, engine.Fit(), learn: false, Danger);
        Assert.All(Judged(expected, engine.Frames()), frame => Assert.True(double.IsNaN(frame.DisbelievedKpa)));
        Assert.Equal("this-run", expected.Summary.Origin);
    }

    [Fact]
    public void With_an_unknown_model_and_nothing_to_learn_the_rule_of_thumb_is_used_to_the_end()
    {
        var expected = new ExpectedPressure(PressureModelOptions.Default, TestEngine.RatioAt, wholeRun: null, learn: false);
        Judged(expected, new TestEngine { LengthS = 60 }.Frames());
        Assert.Null(expected.Model);
        Assert.Equal("rule-of-thumb", expected.Summary.Origin);
    }

    [Theory]
    [InlineData(900, false)]
    [InlineData(1499, false)]
    [InlineData(1500, true)]
    [InlineData(6000, true)]
    public void Pressure_is_not_judged_at_idle(double rpm, bool judged)
    {
        List<EngineFrame> frames = Judged(Live(), new TestEngine { LengthS = 3, Rpm = _ => rpm }.Frames());
        Assert.Equal(judged, frames[^1].CanJudgePressure);
    }

    [Fact]
    public void Just_above_idle_the_spread_is_twice_as_wide()
    {
        double slow = ShareAt(2400), fast = ShareAt(2600);
        Assert.Equal(2 * fast, slow, 3);

        static double ShareAt(double rpm)
        {
            EngineFrame frame = Judged(Live(), new TestEngine { LengthS = 3, Rpm = _ => rpm }.Frames())[^1];
            return frame.SpreadKpa / frame.ExpectedKpa;
        }
    }

    [Fact]
    public void After_a_start_pressure_is_not_judged_until_the_galleries_are_full()
    {
        List<EngineFrame> frames = Judged(Live(), new TestEngine { LengthS = 20, Rpm = t => t < 5 ? 0 : 3000, LagS = 0 }.Frames());
        Assert.All(frames.Where(frame => frame.At.Seconds < 8.9), frame => Assert.False(frame.CanJudgePressure));
        Assert.All(frames.Where(frame => frame.At.Seconds > 9.1), frame => Assert.True(frame.CanJudgePressure));
    }

    [Fact]
    public void A_log_that_begins_with_the_engine_running_is_judged_at_once()
    {
        List<EngineFrame> frames = Judged(Live(), new TestEngine { LengthS = 1, Rpm = _ => 5000 }.Frames());
        Assert.True(frames[0].CanJudgePressure);
    }

    [Fact]
    public void Without_engine_speed_nothing_is_expected()
    {
        List<EngineFrame> given = new TestEngine { LengthS = 30 }.Frames();
        for (int i = 200; i < 300; i++)
        {
            EngineFrame frame = given[i];
            frame[Role.EngineSpeed] = double.NaN;
            given[i] = frame;
        }

        List<EngineFrame> frames = Judged(Live(), given);
        Assert.All(frames.Skip(200).Take(100), frame => Assert.False(frame.CanJudgePressure));
        Assert.True(double.IsNaN(frames[250].ExpectedKpa));
    }

    [Fact]
    public void While_expected_pressure_moves_fast_the_spread_is_wider_and_the_least_of_the_last_moments_is_kept()
    {
        ExpectedPressure expected = Live();
        List<EngineFrame> frames = Judged(expected, new TestEngine { LengthS = 6, Rpm = t => t < 3 ? 2600 : 5600, LagS = 0 }.Frames());
        EngineFrame before = frames[55], just = frames[61], later = frames[110];
        Assert.Equal(0.25, before.SpreadKpa / before.ExpectedKpa, 3);
        Assert.True(just.SpreadKpa > 1.3 * 0.25 * just.ExpectedKpa);
        Assert.Equal(0.25, later.SpreadKpa / later.ExpectedKpa, 3);
        Assert.True(just.SurelyExpectedKpa < 0.7 * just.ExpectedKpa);
        Assert.Equal(later.ExpectedKpa, later.SurelyExpectedKpa, 3);
    }

    [Fact]
    public void With_a_model_of_the_whole_run_no_frame_allocates()
    {
        var engine = new TestEngine { LengthS = 120 };
        var expected = new ExpectedPressure(PressureModelOptions.Default, TestEngine.RatioAt, engine.Fit(), learn: false);
        EngineFrame[] frames = [.. engine.Frames()];
        foreach (EngineFrame given in frames) Apply(given);
        long before = GC.GetAllocatedBytesForCurrentThread();
        for (int i = 0; i < frames.Length; i++) Apply(frames[i]);
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);

        void Apply(EngineFrame frame)
        {
            frame.At = frame.At.AddSeconds(200);
            expected.Apply(ref frame);
        }
    }

    [Theory]
    [InlineData(58)]
    [InlineData(61)]
    [InlineData(64)]
    [InlineData(67)]
    public void Live_a_drop_is_judged_to_its_end_by_what_was_healthy_before_it(double fromS)
    {
        // All running is calm, so that the curve is learned anew every ten seconds or so, in the midst of the drop too.
        ExpectedPressure expected = Live();
        var engine = new TestEngine { LoggedTemperatureC = _ => 95, LengthS = fromS + 14, LateralG = _ => 0, Share = (t, _, _) => t >= fromS && t < fromS + 12 ? 0.7 : 1 };
        HealthyPressure? before = null;
        foreach (EngineFrame given in engine.Frames())
        {
            EngineFrame frame = given;
            expected.Apply(ref frame);
            if (frame.At.Seconds < fromS + 0.3) before = expected.Model;
            else if (frame.At.Seconds < fromS + 12) Assert.Same(before, expected.Model);
        }
    }

    [Fact]
    public void Live_oil_that_grows_a_little_hotter_than_any_seen_does_not_make_the_curve_a_guess()
    {
        var engine = new TestEngine { LoggedTemperatureC = t => 90 + (15 * t / 200), LengthS = 200 };
        EngineFrame[] late = [.. Judged(Live(), engine.Frames()).Where(frame => frame.At.Seconds > 60 && frame.CanJudgePressure && frame.SpeedRpm > 3000)];
        Assert.All(late, frame => Assert.InRange(frame.SpreadKpa / frame.ExpectedKpa, 0, 0.18));
    }
}
