using OilWatch.Frames;
using OilWatch.Pressure;

namespace OilWatch.Tests.Pressure;

/// <summary>Fits to made-up stints whose healthy curve is known. Truth: own model (<see cref="TestEngine"/>).</summary>
public sealed class PressureFitTests
{
    private static HealthyPressure FitOf(TestEngine engine)
    {
        HealthyPressure? model = engine.Fit();
        Assert.NotNull(model);
        return model;
    }

    /// <summary>The largest relative error of a model over speeds and times of the stint.</summary>
    private static double WorstError(TestEngine engine, HealthyPressure model, double fromS = 5, double? toS = null, double fromRpm = 2000, double toRpm = 7100)
    {
        double worst = 0;
        for (double t = fromS; t < (toS ?? engine.LengthS); t += 7)
        {
            double logged = engine.LoggedTemperatureC is { } temperature ? TestEngine.RatioAt(temperature(t)) : double.NaN;
            for (double rpm = fromRpm; rpm <= toRpm; rpm += 100)
            {
                double truth = engine.Curve.At(rpm, engine.Ratio(t));
                worst = Math.Max(worst, Math.Abs((model.Steady(rpm, logged, model.Gain!.At(t)) / truth) - 1));
            }
        }

        return worst;
    }

    [Fact]
    public void A_ramp_without_relief_is_learned()
    {
        var engine = new TestEngine { Curve = new PressureCurve(70, 0.6, 10, 1400, 0, 20), LoggedTemperatureC = t => 105 - (25 * Math.Exp(-t / 60)) };
        HealthyPressure model = FitOf(engine);
        Assert.InRange(WorstError(engine, model), 0, 0.03);
        Assert.True(model.UsesTemperature);
        Assert.Equal("good", model.Summary.Confidence);
    }

    [Fact]
    public void A_temperature_that_comes_a_moment_late_does_not_spoil_the_fit()
    {
        // As from CAN, where the first oil temperature follows the first pressures.
        var engine = new TestEngine
        {
            Curve = new PressureCurve(70, 0.6, 10, 620, 6, 30),
            LoggedTemperatureC = t => t < 2 ? double.NaN : 108 - (40 * Math.Exp(-t / 70)),
        };
        HealthyPressure model = FitOf(engine);
        Assert.InRange(WorstError(engine, model, fromS: 15), 0, 0.04);
        Assert.Equal(0.6, model.Curve.ViscosityPower, 0.15);
    }

    [Theory]
    [InlineData(1.6, 110)]
    [InlineData(1.0, 200)]
    public void Without_a_temperature_a_warm_up_from_behind_the_relief_valve_is_followed(double thickness, double timeS)
    {
        // Cold, the valve holds pressure at every speed; the ramp shows only once the oil is warm.
        var engine = new TestEngine
        {
            Curve = new PressureCurve(70, 0.7, 10, 430, 8, 30),
            LengthS = 600,
            LoggedTemperatureC = null,
            TrueRatio = t => Math.Exp(thickness * Math.Exp(-t / timeS) / 0.7),
        };
        HealthyPressure model = FitOf(engine);
        Assert.False(model.UsesTemperature);
        Assert.InRange(WorstError(engine, model, fromS: 20, fromRpm: 3500), 0, 0.03);
    }

    [Fact]
    public void A_pump_that_loses_its_top_half_way_is_held_against_what_it_was()
    {
        // Hot by then, so that no change of the oil explains it. 20 % at 7,000 rpm, nothing at 5,000.
        var engine = new TestEngine
        {
            LengthS = 600,
            Share = (t, rpm, _) => 1 - (Math.Clamp((t - 300) / 60, 0, 1) * 0.2 * Math.Clamp((rpm - 5000) / 2000, 0, 1)),
        };
        HealthyPressure model = FitOf(engine);
        Assert.InRange(WorstError(engine, model, fromS: 100, fromRpm: 6000), 0, 0.05);
    }

    [Fact]
    public void A_pump_that_has_always_fallen_off_at_the_top_is_healthy_as_it_is()
    {
        var engine = new TestEngine { LengthS = 600, Share = (_, rpm, _) => 1 - (0.2 * Math.Clamp((rpm - 5000) / 2000, 0, 1)) };
        HealthyPressure model = FitOf(engine);
        double truth = 0.8 * engine.Curve.At(7000, engine.Ratio(500));
        Assert.Equal(truth, model.Steady(7000, TestEngine.RatioAt(engine.LoggedTemperatureC!(500)), model.Gain!.At(500)), 0.04 * truth);
    }

    [Fact]
    public void A_relief_plateau_is_learned()
    {
        var engine = new TestEngine { Curve = new PressureCurve(110, 0.6, 10, 400, 5, 8) };
        HealthyPressure model = FitOf(engine);
        Assert.InRange(WorstError(engine, model), 0, 0.04);
        Assert.Equal(400, model.Curve.ReliefKpa + (7 * (model.Curve.ReliefSlopeKpa - 5)), 15.0);
    }

    [Fact]
    public void A_valve_that_passes_more_of_cold_oil_is_not_taken_for_a_soft_knee()
    {
        // Calm running is on the plateau, but for the last minutes; what lies between idle and the plateau in hot oil is only driven in corners.
        var engine = new TestEngine
        {
            Curve = new PressureCurve(88, 1, 0, 462, 11, 5) { SlopeFromOpening = true },
            LengthS = 700,
            LoggedTemperatureC = t => 105 - (60 * Math.Exp(-t / 140)),
            LateralG = t => t % 31 < 9 ? 0 : 1.3,
            Rpm = t => t % 31 < 9 ? 6000 + (900 * Math.Sin(t)) : 4900 + (400 * Math.Sin(0.7 * t)),
        };
        HealthyPressure model = FitOf(engine);

        Assert.True(model.Curve.SlopeFromOpening);
        Assert.InRange(WorstError(engine, model, fromS: 60, fromRpm: 4400, toRpm: 6900), 0, 0.02);
    }

    [Theory]
    [InlineData(10)]
    [InlineData(60)]
    [InlineData(140)]
    public void A_knee_of_any_roundness_is_learned(double kneeKpa)
    {
        var engine = new TestEngine { Curve = new PressureCurve(95, 0.6, 10, 420, 6, kneeKpa) };
        Assert.InRange(WorstError(engine, FitOf(engine)), 0, 0.035);
    }

    [Theory]
    [InlineData(0.25)]
    [InlineData(0.6)]
    [InlineData(0.95)]
    public void The_power_of_viscosity_is_learned_from_the_warm_up(double power)
    {
        var engine = new TestEngine { Curve = new PressureCurve(70, power, 10, 620, 6, 30), LoggedTemperatureC = t => 108 - (40 * Math.Exp(-t / 70)) };
        HealthyPressure model = FitOf(engine);
        Assert.InRange(WorstError(engine, model, fromS: 15), 0, 0.04);
        Assert.Equal(power, model.Curve.ViscosityPower, 0.15);
    }

    [Theory]
    [InlineData(0, 0)]
    [InlineData(0, 0.1)]
    [InlineData(0, 0.28)]
    [InlineData(0.1, 0.05)]
    [InlineData(0.2, 0.1)]
    public void The_delay_and_lag_of_pressure_behind_speed_are_learned(double delayS, double lagS)
    {
        HealthyPressure model = FitOf(new TestEngine { DelayS = delayS, LagS = lagS });
        // Between two pairs the sum of both is what matters; a step of the grid either way is allowed.
        Assert.Equal(delayS + lagS, SpeedLags.DelayS(model.Lag) + SpeedLags.TimeS(model.Lag), 0.051);
    }

    [Theory]
    [InlineData(2.5)]
    [InlineData(6)]
    [InlineData(14)]
    public void The_spread_is_the_noise_within_thirty_percent(double noiseKpa)
    {
        HealthyPressure model = FitOf(new TestEngine { NoiseKpa = noiseKpa });
        Assert.InRange(model.SpreadKpa, 0.7 * noiseKpa, 1.3 * noiseKpa);
        Assert.Equal(model.SpreadKpa, model.Summary.FitErrorKpa);
    }

    [Fact]
    public void Starved_readings_in_a_range_of_speeds_do_not_pull_the_curve_down()
    {
        // Every fifth second pressure is short in 4500 to 5500 rpm, calm or not: 20 % of that range.
        var engine = new TestEngine { Share = (t, rpm, _) => rpm is > 4500 and < 5500 && t % 5 < 1 ? 0.5 : 1 };
        Assert.InRange(WorstError(engine, FitOf(engine)), 0, 0.045);
    }

    [Fact]
    public void Starvation_in_every_corner_does_not_pull_the_curve_down()
    {
        var engine = new TestEngine { Share = (t, _, loaded) => loaded ? 0.35 + (0.3 * Math.Abs(Math.Sin(3 * t))) : 1 };
        Assert.InRange(WorstError(engine, FitOf(engine)), 0, 0.04);
    }

    [Fact]
    public void Without_a_thermometer_the_curve_follows_the_warm_up()
    {
        var engine = new TestEngine
        {
            LoggedTemperatureC = null,
            TrueRatio = t => 1 + (0.9 * Math.Exp(-t / 80)),
            Curve = new PressureCurve(80, 0.6, 10, 480, 6, 40),
            LengthS = 360,
        };
        HealthyPressure model = FitOf(engine);
        Assert.False(model.UsesTemperature);
        Assert.Equal(0, model.Curve.ViscosityPower);
        Assert.InRange(WorstError(engine, model, fromS: 20), 0, 0.06);
        Assert.Contains("No oil temperature: the curve follows the run's own drift instead, with a wider spread.", model.Summary.Notes, StringComparer.Ordinal);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]             // while the oil still warms up: what broke must not be taken for the heat
    public void When_something_breaks_midway_the_healthy_part_is_learned(bool warmingUp)
    {
        // Of the whole run more than half is broken: the engine that it began with is the healthy one all the same.
        var engine = new TestEngine
        {
            LengthS = 300,
            LoggedTemperatureC = t => 100 - ((warmingUp ? 45 : 6) * Math.Exp(-t / 60)),
            Share = (t, _, _) => t < 130 ? 1 : 0.68,
        };
        HealthyPressure model = FitOf(engine);
        Assert.InRange(WorstError(engine, model, fromS: 5, toS: 120), 0, 0.05);
        for (double rpm = 2500; rpm < 7000; rpm += 250)
        {
            double ratio = engine.Ratio(250);
            Assert.True(0.68 * engine.Curve.At(rpm, ratio) < 0.8 * model.Steady(rpm, ratio, model.Gain!.At(250)));
        }
    }

    [Fact]
    public void A_run_that_is_always_loaded_teaches_nothing()
    {
        Assert.Null(new TestEngine { LateralG = _ => 0.9 }.Fit());
    }

    [Fact]
    public void A_run_with_less_than_the_least_calm_time_teaches_nothing_and_one_that_is_over_is_content_with_a_third_of_it()
    {
        var engine = new TestEngine { LengthS = 14, LateralG = _ => 0 };
        Assert.Null(engine.Fit(wholeRun: false));
        Assert.NotNull(engine.Fit());
        Assert.Null((engine with { LengthS = 4.9 }).Fit());
        Assert.NotNull((engine with { LengthS = 40 }).Fit(wholeRun: false));
    }

    [Fact]
    public void An_engine_at_one_speed_teaches_no_curve()
    {
        Assert.Null(new TestEngine { Rpm = _ => 4000, LateralG = _ => 0 }.Fit());
    }

    [Fact]
    public void The_same_run_gives_the_same_model_to_the_last_bit()
    {
        var engine = new TestEngine { LengthS = 120 };
        HealthyPressure one = FitOf(engine), other = FitOf(engine);
        Assert.Equal(one.Curve, other.Curve);
        Assert.Equal(one.Lag, other.Lag);
        Assert.Equal(one.SpreadKpa, other.SpreadKpa);
        Assert.Equal(one.Correction, other.Correction);
        Assert.Equal(one.Gain!.At(60), other.Gain!.At(60));
    }

    [Fact]
    public void Where_nothing_was_seen_the_spread_is_wider()
    {
        var engine = new TestEngine { Rpm = t => 2500 + (1500 * (1 + Math.Sin(t * 0.7))) };      // never above 5500 rpm
        HealthyPressure model = FitOf(engine);
        double seen = Share(4000), unseen = Share(7500);
        Assert.InRange(seen, 0.01, 0.035);
        Assert.InRange(unseen, 0.2, 0.3);

        double Share(double rpm)
        {
            double expected = model.Steady(rpm, 1, model.Gain!.At(200));
            return model.SpreadAt(expected, rpm, 1, model.Gain.At(200)) / expected;
        }
    }

    [Fact]
    public void Evidence_grows_with_agreeing_readings_and_reaches_to_the_speeds_beside()
    {
        const double Middle = 1.125;                                        // of a step of thickness
        Evidence of(int readings)
        {
            var evidence = new Evidence();
            for (int i = 0; i < readings; i++) evidence.Add(4250, Middle, 1);
            evidence.Settle();
            return evidence;
        }

        Assert.Equal(1, of(0).Lack(4250, Middle));
        Evidence fifteen = of(15);
        Assert.Equal(Math.Exp(-1), fifteen.Lack(4250, Middle), 6);          // fifteen readings: 1/e
        Assert.Equal(Math.Exp(-0.3), fifteen.Lack(4750, Middle), 6);        // neighbours lend 0.3 of theirs
        Assert.Equal(Math.Exp(-0.3), fifteen.Lack(3750, Middle), 6);
        Assert.Equal(1, fifteen.Lack(5250, Middle));
        Assert.Equal(1, fifteen.Lack(4250, 3));
        Assert.InRange(of(215).Lack(4250, Middle), 0, 1e-6);
        Assert.Equal(1, fifteen.Lack(99_000, Middle));
        Assert.Equal(1, fifteen.Lack(4250, double.NaN));
    }

    [Fact]
    public void Oil_a_little_hotter_than_any_seen_is_no_guess_yet_and_far_hotter_oil_is()
    {
        var evidence = new Evidence();
        for (int i = 0; i < 300; i++) evidence.Add(4250, 0.02 + (0.001 * i), 1);
        evidence.Settle();
        Assert.InRange(evidence.Lack(4250, -0.05), 0, 0.01);                // two degrees
        Assert.InRange(evidence.Lack(4250, -0.9), 0.99, 1);                 // thirty
    }

    [Fact]
    public void Readings_that_lie_below_the_curve_together_say_that_it_is_wrong_there()
    {
        Evidence of(params (int Readings, double Share, bool Calm)[] visits)
        {
            var evidence = new Evidence();
            for (int visit = 0; visit < visits.Length; visit++)
                for (int i = 0; i < visits[visit].Readings; i++) evidence.AddShare((60 * visit) + (0.1f * i), 7500, 0.1, visits[visit].Share, visits[visit].Calm);
            evidence.Settle();
            return evidence;
        }

        Assert.Equal(0.1, of((8, -0.1, true), (8, -0.1, true)).Wrong(7500, 0.1), 0.015);
        Assert.Equal(0.1, of((8, -0.1, true), (8, -0.1, true)).Wrong(7900, 0.1), 0.015);             // where too little was seen it is as at the speed below
        Assert.Equal(0.16, of((8, -0.3, true), (8, -0.3, true)).Wrong(7500, 0.1), 6);                // a loss is a loss whatever the curve
        Assert.Equal(0, of((30, -0.1, true)).Wrong(7500, 0.1));                                      // one visit may be one loss
        Assert.Equal(0, of((8, 0, true), (8, 0, true), (90, -0.3, true)).Wrong(7500, 0.1));          // what broke later says nothing of the curve
        Assert.Equal(0, of((4, 0, false), (12, -0.4, false), (4, 0, false)).Wrong(7500, 0.1));       // a corner that starves is entered with healthy pressure
    }

    [Fact]
    public void A_relief_valve_that_sticks_open_is_held_against_what_it_was_though_the_oil_grows_hotter()
    {
        // Less is lost the higher the speed; four degrees in the minutes after it.
        var engine = new TestEngine
        {
            LengthS = 600,
            LateralG = _ => 0,
            LoggedTemperatureC = t => 108 - (45 * Math.Exp(-t / 150)),
            Share = (t, rpm, _) => t < 290 ? 1 : rpm < 4500 ? 0.8 : 0.9,
        };
        Assert.InRange(FellAtS(engine), 284, 292);
        Assert.InRange(FitOf(engine).Steady(4000, TestEngine.RatioAt(102), 1) / engine.Curve.At(4000, TestEngine.RatioAt(102)), 0.95, 1.05);
    }

    [Theory]
    [InlineData(0.6)]
    [InlineData(0.9)]
    public void A_pickup_that_breaks_in_the_warm_up_is_no_warm_up(double viscosityPower)
    {
        // Oil that thins by a third in the minute before it and the minute after.
        var engine = new TestEngine
        {
            LengthS = 600,
            Curve = new PressureCurve(95, viscosityPower, 10, 420, 6, 40),
            LoggedTemperatureC = t => 112 - (82 * Math.Exp(-t / 120)),
            Share = (t, _, _) => t < 190 ? 1 : 0.75,
        };
        Assert.InRange(FellAtS(engine), 180, 194);
        Assert.Equal(0, SuddenFall.In((engine with { Share = (_, _, _) => 1 }).Samples().All, SpeedLags.Usual, blind: false));
    }

    [Fact]
    public void A_fall_for_good_is_found_without_a_temperature_too_and_the_drift_does_not_follow_it()
    {
        var engine = new TestEngine { LengthS = 700, LoggedTemperatureC = null, TrueRatio = t => TestEngine.RatioAt(100 - (60 * Math.Exp(-t / 100))), Share = (t, _, _) => t < 400 ? 1 : 0.72 };
        Assert.InRange(FellAtS(engine, blind: true), 390, 404);
        HealthyPressure healthy = FitOf(engine);
        Assert.InRange(healthy.Steady(4000, double.NaN, healthy.Gain!.At(690)) / engine.Curve.At(4000, 1), 0.93, 1.07);
        Assert.Equal(0, SuddenFall.In((engine with { Share = (_, _, _) => 1 }).Samples().All, SpeedLags.Usual, blind: true));
    }

    [Fact]
    public void Oil_that_thins_over_minutes_corners_that_starve_and_a_pump_that_falls_off_when_hot_are_no_sudden_fall()
    {
        var engine = new TestEngine { LengthS = 600, LoggedTemperatureC = t => 108 - (45 * Math.Exp(-t / 150)) };
        foreach (Func<double, double, bool, double> share in (Func<double, double, bool, double>[])
            [
                (t, _, _) => 1 - (0.3 * Math.Clamp((t - 200) / 240, 0, 1)),
                (t, _, loaded) => loaded && t > 300 ? 0.5 : 1,
                (t, rpm, _) => rpm > 6400 && t > 300 ? 0.8 : 1,
            ])
            Assert.Equal(0, SuddenFall.In((engine with { Share = share }).Samples().All, SpeedLags.Usual, blind: false));
    }

    [Theory]
    [InlineData(0.55)]
    [InlineData(0.7)]
    public void A_pickup_that_starves_on_every_straight_is_not_taken_for_healthy(double starvedShare)
    {
        // Most calm readings at speed are starved ones; a straight in four and the corners show what is healthy.
        TestEngine engine = StarvesOnStraights(starvedShare);
        HealthyPressure healthy = FitOf(engine);
        foreach (double rpm in (double[])[3000, 4500, 6000, 6900])
            Assert.InRange(healthy.Steady(rpm, TestEngine.RatioAt(105), healthy.Gain!.At(590)) / engine.Curve.At(rpm, TestEngine.RatioAt(105)), 0.93, 1.07);
    }

    [Fact]
    public void What_stands_at_two_levels_at_equal_speed_did_not_break()
    {
        Assert.True(HigherReadings.StandAtTwoLevels(StarvesOnStraights(0.55).Samples().All, SpeedLags.Usual));
        var broken = new TestEngine { LengthS = 600, Share = (t, _, _) => t < 300 ? 1 : 0.7 };
        ReadOnlySpan<PressureSample> all = broken.Samples().All;
        Assert.False(HigherReadings.StandAtTwoLevels(all[(all.Length / 2)..], SpeedLags.Usual));
        Assert.False(HigherReadings.StandAtTwoLevels((broken with { Share = (_, rpm, _) => Math.Clamp(1 - (0.3 * (rpm - 4000) / 1000), 0.5, 1) }).Samples().All, SpeedLags.Usual));
    }

    /// <summary>Straights of thirteen seconds at high speed, from 120 s on starved after the first second on three of four, and slow corners.</summary>
    private static TestEngine StarvesOnStraights(double starvedShare) => new()
    {
        LengthS = 600,
        LoggedTemperatureC = t => 108 - (45 * Math.Exp(-t / 150)),
        Rpm = t => t < 60 ? 1500 + (4500 * (t % 15) / 15) : t % 20 < 13 ? 5600 + (1400 * (t % 20 % 6.5) / 6.5) : 3200 + (1800 * ((t % 20) - 13) / 7),
        LateralG = t => t > 60 && t % 20 >= 13 ? 1.1 : 0,
        Share = (t, _, _) => t > 120 && t % 20 is > 1.2 and < 13 && (int)(t / 20) % 4 != 0 ? starvedShare : 1,
    };

    private static double FellAtS(TestEngine engine, bool blind = false)
    {
        PressureSamples samples = engine.Samples();
        return samples.All[SuddenFall.In(samples.All, SpeedLags.Usual, blind)].AtS;
    }

    [Fact]
    public void A_warm_up_is_no_sudden_fall()
    {
        foreach (double timeS in (double[])[40, 80, 160])
        {
            var engine = new TestEngine { LengthS = 400, LoggedTemperatureC = t => 105 - (75 * Math.Exp(-t / timeS)) };
            Assert.Equal(0, SuddenFall.In(engine.Samples().All, SpeedLags.Usual, blind: false));
        }
    }

    [Theory]
    [InlineData(0.6, 0.35)]
    [InlineData(0.9, 0.35)]
    [InlineData(0.6, 0.25)]
    public void Oil_that_thins_over_two_minutes_and_stays_thin_is_held_against_what_it_was_though_it_grows_hotter(double viscosityPower, double loss)
    {
        var engine = new TestEngine
        {
            LengthS = 800,
            Curve = new PressureCurve(70, viscosityPower, 0, 520, 6, 40),
            LoggedTemperatureC = t => 108 - (26 * Math.Exp(-t / 200)),
            Share = (t, _, _) => 1 - (loss * Math.Clamp((t - 400) / 110, 0, 1)),
        };
        PressureSamples samples = engine.Samples();
        Assert.InRange(samples.All[LastingFall.In(samples.All, SpeedLags.Usual)].AtS, 340, 440);
        Assert.InRange(FitOf(engine).Steady(4000, TestEngine.RatioAt(107), 1) / engine.Curve.At(4000, TestEngine.RatioAt(107)), 0.95, 1.07);
        Assert.Equal(0, LastingFall.In((engine with { Share = (_, _, _) => 1 }).Samples().All, SpeedLags.Usual));
    }

    [Fact]
    public void Warming_and_cooling_oil_a_slow_thermometer_a_slow_drift_another_pace_and_corners_that_starve_are_no_lasting_fall()
    {
        Func<double, double> warmUp = t => 108 - (60 * Math.Exp(-t / 150));
        var engine = new TestEngine { LengthS = 800, Curve = new PressureCurve(70, 1, 0, 520, 6, 40), LoggedTemperatureC = warmUp };
        foreach (TestEngine healthy in (TestEngine[])
            [
                engine,
                engine with { LoggedTemperatureC = t => 112 - (85 * Math.Exp(-t / 60)) },
                engine with { LoggedTemperatureC = t => warmUp(Math.Max(0, t - 20)), TrueRatio = t => TestEngine.RatioAt(warmUp(t)) },
                engine with { TrueRatio = t => TestEngine.RatioAt(warmUp(t) - (15 * Math.Exp(-t / 120))) },
                engine with { LoggedTemperatureC = t => warmUp(t) - (t > 420 ? 18 * (1 - Math.Exp(-(t - 420) / 60)) : 0) },
                engine with { Share = (t, _, _) => 1 - (0.06 * t / 800) },
                engine with { Rpm = t => TestEngine.UpAndDown(t) * (t < 400 ? 1 : 0.8) },
                engine with { Rpm = t => TestEngine.UpAndDown(t) * (t < 400 ? 0.8 : 1) },
                engine with { Share = (t, _, loaded) => loaded && t > 400 ? 0.5 : 1 },
                engine with { Share = (t, rpm, _) => rpm > 6400 && t > 400 ? 0.7 : 1 },
                engine with { Share = (t, _, _) => t is > 400 and < 520 ? 0.7 : 1 },
            ])
            Assert.Equal(0, LastingFall.In(healthy.Samples().All, SpeedLags.Usual));
    }

    [Fact]
    public void A_very_long_run_is_remembered_evenly_in_bounded_memory()
    {
        var samples = new PressureSamples(PressureModelOptions.Default, TestEngine.RatioAt);
        var engine = new TestEngine { LengthS = 100, LateralG = _ => 0 };
        List<EngineFrame> lap = engine.Frames();
        const int Laps = 60;
        for (int i = 0; i < Laps; i++)
        {
            foreach (EngineFrame given in lap)
            {
                EngineFrame frame = given;
                frame.At = given.At.AddSeconds(i * 100);
                samples.Take(in frame);
            }
        }

        Assert.InRange(samples.All.Length, 20_000, 40_000);
        Assert.Equal(Laps * 100, samples.CalmS, 5.0);
        double firstHalf = 0;
        foreach (ref readonly PressureSample sample in samples.All)
            if (sample.AtS < Laps * 50) firstHalf++;
        Assert.Equal(0.5, firstHalf / samples.All.Length, 0.02);
    }
}
