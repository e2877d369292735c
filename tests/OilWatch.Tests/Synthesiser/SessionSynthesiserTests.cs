using System.Globalization;
using OilWatch.Synthesiser;
using OilWatch.Synthesiser.Output;
using OilWatch.Synthesiser.Scenarios;
using OilWatch.Synthesiser.Sensing;
using OilWatch.Synthesiser.Truths;

namespace OilWatch.Tests.Synthesiser;

public class SessionSynthesiserTests
{
    private static SynthesisedRun Run(string scenario, ulong seed = 3, int laps = 2) =>
        SessionSynthesiser.Run(new SessionPlan(scenario, seed) { Laps = laps });

    [Fact]
    public void A_plan_gives_the_same_run_every_time_whatever_the_culture()
    {
        string first = Everything();
        CultureInfo culture = CultureInfo.CurrentCulture;
        try
        {
            // German-like separators without needing culture data.
            var other = (CultureInfo)CultureInfo.InvariantCulture.Clone();
            other.NumberFormat.NumberDecimalSeparator = ",";
            other.NumberFormat.NegativeSign = "~";
            CultureInfo.CurrentCulture = other;
            Assert.Equal(first, Everything());
        }
        finally
        {
            CultureInfo.CurrentCulture = culture;
        }

        Assert.NotEqual(first, Everything(4), StringComparer.Ordinal);

        static string Everything(ulong seed = 3)
        {
            SynthesisedRun run = Run("faults-on-wet", seed);
            using var text = new StringWriter(CultureInfo.InvariantCulture);
            CsvLog.Write(run, text, CsvDialect.Plain);
            CanLayout layout = CanLayout.For(run);
            CanLog.Write(run, layout, text);
            text.Write(Dbc.Text(layout));
            text.Write(TruthJson.Write(run.Truth));
            text.Write(CarFile.Text(run, "engine.dbc"));
            return text.ToString();
        }
    }

    [Theory]
    [InlineData("dry-sump")]
    [InlineData("clean-wet")]
    [InlineData("worn")]
    [InlineData("thin-oil")]
    [InlineData("faults-pressure")]
    [InlineData("faults-rpm")]
    [InlineData("faults-g")]
    [InlineData("cold-start")]
    [InlineData("kerbs")]
    [InlineData("vacuum-loss")]
    [InlineData("vibration-growth")]
    public void With_the_pickup_covered_true_pressure_is_the_healthy_one(string scenario)
    {
        SynthesisedRun run = Run(scenario);
        Assert.Empty(run.Truth.Events);
        Assert.Equal(run.True.HealthyKpa, run.True.PressureKpa);
        Assert.Equal(0, run.True.AirShare.Max());
    }

    [Theory]
    [InlineData("wet-left", "left")]
    [InlineData("wet-right", "right")]
    [InlineData("wet-braking", "braking")]
    [InlineData("wet-accel", "accelerating")]
    public void A_wet_sump_starves_only_under_the_load_it_is_prone_to(string scenario, string direction)
    {
        for (ulong seed = 1; seed <= 4; seed++)
        {
            SynthesisedRun run = Run(scenario, seed);
            Assert.NotEmpty(run.Truth.Events);
            Assert.Contains(run.Truth.Events, e => e.IsCaution && !e.Borderline);
            Assert.All(run.Truth.Events, e =>
            {
                Assert.Equal("oil-starvation", e.Kind);
                Assert.Equal(direction, e.Direction);
                Assert.True(LoadBefore(run, e, direction) > 0.2, $"{scenario} {seed}: no load before {e.StartS}");
            });
        }

        static double LoadBefore(SynthesisedRun run, TrueEvent e, string direction)
        {
            double[] g = run.True.ByRole[direction is "left" or "right" ? "lateral_g" : "longitudinal_g"];
            double sign = direction is "left" or "accelerating" ? 1 : -1;
            int to = (int)(e.Pass10S / run.True.StepS), from = Math.Max(0, to - 200);
            return g[from..to].Max(value => value * sign);
        }
    }

    [Fact]
    public void Truth_times_are_in_order_and_agree_with_the_true_series()
    {
        foreach (string scenario in (string[])["wet-both", "wet-shallow", "pump-failing", "pickup-broken", "relief-open", "aeration"])
        {
            SynthesisedRun run = Run(scenario, seed: 2);
            Assert.NotEmpty(run.Truth.Events);
            Assert.All(run.Truth.Events, e =>
            {
                Assert.True(e.StartS <= e.Pass10S && e.Pass10S <= e.EndS);
                Assert.True(e.Pass25S is null || (e.Pass25S >= e.Pass10S && e.Pass25S <= e.EndS));
                Assert.Equal(e.MinRatio <= 0.75, e.Pass25S is not null);
                Assert.InRange(e.MinRatio, 0, 0.9);
                Assert.Equal(e.MinKpa / e.ExpectedKpa, e.MinRatio, 1e-9);
                Assert.True(run.True.RatioAt(e.StartS + 1e-9) >= 0.97 || e.StartS == 0);
                Assert.True(run.True.RatioAt(e.Pass10S + 1e-9) < 0.9);
                Assert.True(e.CautionHoldS <= e.CautionS && e.CautionS <= e.EndS - e.Pass10S + 1e-9);
                Assert.Equal(e.CautionHoldS >= 0.15, e.IsCaution);
            });
        }
    }

    [Theory]
    [InlineData("pump-failing")]
    [InlineData("pickup-broken")]
    [InlineData("relief-open")]
    public void A_lasting_problem_begins_in_the_middle_and_needs_no_load(string scenario)
    {
        SynthesisedRun run = Run(scenario, seed: 5);
        TrueCondition condition = Assert.Single(run.Truth.Conditions);
        Assert.Equal(scenario, condition.Kind);
        Assert.All(run.Truth.Events, e =>
        {
            Assert.Equal("low-oil-pressure", e.Kind);
            Assert.Equal(scenario, e.Condition);
            Assert.Null(e.Direction);
            Assert.True(e.Pass10S >= condition.StartS);
        });
        Assert.Contains(run.Truth.Events, e => e.IsCaution);
    }

    [Fact]
    public void Shallow_drops_stay_advisory()
    {
        for (ulong seed = 1; seed <= 4; seed++)
        {
            SynthesisedRun run = Run("wet-shallow", seed);
            Assert.NotEmpty(run.Truth.Events);
            Assert.DoesNotContain(run.Truth.Events, e => e.IsCaution);
        }
    }

    [Fact]
    public void The_same_seed_has_the_same_circuit_car_and_pump_in_every_scenario()
    {
        SynthesisedRun wet = Run("wet-left"), dry = Run("dry-sump");
        Assert.Equal(wet.Circuit.LengthM, dry.Circuit.LengthM);
        Assert.Equal(wet.Truth.Corners, dry.Truth.Corners);
        Assert.Equal(wet.Truth.Gate, dry.Truth.Gate);
        Assert.Equal(wet.Car with { GearTopMs = [] }, dry.Car with { GearTopMs = [] });
        Assert.Equal(wet.Oil.Circuit, dry.Oil.Circuit);
    }

    [Fact]
    public void Every_scenario_and_seed_stays_in_the_range_of_real_cars()
    {
        for (ulong seed = 1; seed <= 12; seed++)
        {
            SynthesisedRun run = Run(AllScenarios.List[(int)seed * 2].Name, seed, laps: 1);
            double redline = run.Car.RedlineRpm;
            Assert.InRange(run.Truth.Parameters["flying_lap_s"], 45, 130);
            Assert.InRange(run.Truth.Corners.Count, 5, 16);
            Assert.InRange(run.True.ByRole["engine_speed"].Max(), 0.8 * redline, 1.02 * redline);
            Assert.InRange(run.True.ByRole["lateral_g"].Max(Math.Abs), 0.7, 2.3);
            Assert.InRange(run.True.HealthyKpa.Max(), 250, 1000);
            Assert.InRange(run.True.ByRole["oil_temperature"].Max(), 20, 140);
            Assert.InRange(run.True.ByRole["vehicle_speed"].Max(), 80, 290);
            Assert.InRange(Math.Abs(run.True.ByRole["latitude"][0]), 0, 2);
        }
    }

    [Fact]
    public void Lateral_g_of_a_left_hand_corner_is_positive_and_braking_is_negative()
    {
        SynthesisedRun run = Run("clean-wet", seed: 6);
        TrueLap lap = run.Truth.Laps.First(l => l.Kind is "timed");
        for (int i = (int)(lap.StartS / run.True.StepS); i < (int)(lap.EndS / run.True.StepS); i += 20)
        {
            double g = run.True.ByRole["lateral_g"][i];
            if (Math.Abs(g) < 0.5) continue;
            double east = run.True.ByRole["longitude"][i], north = run.True.ByRole["latitude"][i];
            double ax = east - run.True.ByRole["longitude"][i - 60], ay = north - run.True.ByRole["latitude"][i - 60];
            double bx = run.True.ByRole["longitude"][i + 60] - east, by = run.True.ByRole["latitude"][i + 60] - north;
            Assert.Equal(Math.Sign(g), Math.Sign((ax * by) - (ay * bx)));
        }

        double slowing = 0, gaining = 0;
        double[] v = run.True.ByRole["vehicle_speed"], along = run.True.ByRole["longitudinal_g"];
        for (int i = 100; i < v.Length; i++)
        {
            if (v[i] - v[i - 100] < -15) slowing = Math.Min(slowing, along[i - 50]);
            if (v[i] - v[i - 100] > 5) gaining = Math.Max(gaining, along[i - 50]);
        }

        Assert.True(slowing < -0.5);
        Assert.True(gaining > 0.15);
    }

    [Fact]
    public void Faults_are_in_the_log_where_the_truth_says_and_nowhere_else()
    {
        for (ulong seed = 1; seed <= 6; seed++)
        {
            SynthesisedRun run = Run("faults-pressure", seed, laps: 3);
            SampledChannel pressure = run.Channel("oil_pressure")!;
            Assert.Contains(run.Truth.Faults, fault => fault.Channel is "oil_pressure");
            for (int i = 0; i < pressure.Values.Length; i++)
            {
                double t = pressure.TimesS[i];
                TrueFault? fault = run.Truth.Faults.FirstOrDefault(f => f.Channel is "oil_pressure" && t >= f.StartS && t <= f.EndS);
                double logged = pressure.InRoleUnit(i);
                if (fault is null)
                {
                    double truth = run.True.At("oil_pressure", t);
                    // Noise, latency of up to 60 ms, kerbs and ripple.
                    Assert.True(Math.Abs(logged - truth) < 130, $"seed {seed}: {logged} against {truth} at {t}");
                }
                else if (fault.Kind is "dropout-zero") Assert.Equal(0, logged, pressure.Quantum * Math.Abs(pressure.Scale));
                else if (fault.Kind is "dropout-empty") Assert.True(double.IsNaN(logged));
                else if (fault.Kind is "rail-high") Assert.Equal(1000, logged, pressure.Quantum * Math.Abs(pressure.Scale));
            }
        }
    }

    [Fact]
    public void An_event_under_a_sensor_fault_is_not_to_be_scored()
    {
        SynthesisedRun clear = Run("wet-left", seed: 4);
        TrueEvent e = clear.Truth.Events.First(x => x.IsCaution && !x.Borderline);
        SynthesisedRun hidden = SessionSynthesiser.Run(new SessionPlan("wet-left", 4)
        {
            Laps = 2,
            Tuning = new() { Faults = [new("oil_pressure", "stuck", e.StartS - 1, e.EndS + 1)] },
        });
        Assert.Contains(e with { Borderline = true }, hidden.Truth.Events);
        Assert.Equal(clear.Truth.Events.Count, hidden.Truth.Events.Count);
    }

    [Fact]
    public void Clock_faults_repeat_or_turn_back_logged_times_but_not_true_ones()
    {
        SynthesisedRun run = SessionSynthesiser.Run(new SessionPlan("clean-wet", 1)
        {
            Laps = 1,
            Tuning = new() { Faults = [new("log", "time-repeated", 60, 61), new("log", "time-backwards", 70, 71), new("log", "gap", 80, 85)] },
        });
        SampledChannel speed = run.Channel("engine_speed")!;
        Assert.Equal(60, speed.LoggedTimesS[speed.IndexAt(60.5)]);
        Assert.Equal(69.7, speed.LoggedTimesS[speed.IndexAt(70.5)], 1e-9);
        Assert.Equal(90, speed.LoggedTimesS[speed.IndexAt(90)], 1e-9);
        Assert.DoesNotContain(speed.TimesS, t => t is > 80.001 and < 84.999);
        Assert.Equal(speed.TimesS.Order(), speed.TimesS);
    }

    [Fact]
    public void Vacuum_is_lost_and_vibration_grows_where_the_truth_says()
    {
        SynthesisedRun vacuum = Run("vacuum-loss", seed: 2, laps: 3);
        TrueCondition loss = Assert.Single(vacuum.Truth.Conditions);
        Assert.StartsWith("vacuum-loss", loss.Kind, StringComparison.Ordinal);
        Assert.True(Mean(vacuum, "crankcase_pressure", 60, loss.StartS) < -8);
        Assert.True(Mean(vacuum, "crankcase_pressure", loss.FullS + 2, loss.EndS - 30) > 0.75 * Mean(vacuum, "crankcase_pressure", 60, loss.StartS));

        SynthesisedRun vibration = Run("vibration-growth", seed: 2, laps: 3);
        TrueCondition growth = Assert.Single(vibration.Truth.Conditions);
        double before = Mean(vibration, "vibration", 60, growth.StartS);
        Assert.True(Mean(vibration, "vibration", growth.EndS - 90, growth.EndS - 30) > before);

        static double Mean(SynthesisedRun run, string role, double from, double to) =>
            run.True.ByRole[role][(int)(from / run.True.StepS)..(int)(to / run.True.StepS)].Average();
    }

    // The truth must be there to be found: who knows healthy pressure needs only the logged channels.
    [Fact]
    public void With_healthy_pressure_known_the_logged_channels_show_the_true_events()
    {
        var scores = new List<TruthScore>();
        foreach (string scenario in (string[])["wet-left", "wet-braking", "low-rate", "pump-failing", "clean-wet", "kerbs"])
            for (ulong seed = 1; seed <= 2; seed++) scores.Add(Score(Run(scenario, seed)));
        TruthScore all = TruthScore.Sum(scores);
        Assert.True(all.Found > 20);
        Assert.True(all.F1 > 0.97, $"{all}\n{string.Join('\n', all.Problems)}");
        // Half of a sample at 20 Hz and latency of up to 60 ms, after a fall that takes about a quarter of a second.
        Assert.InRange(all.MedianStartErrorS, 0, 0.35);

        static TruthScore Score(SynthesisedRun run) => TruthScore.Of(Detect(run), run.Truth);

        static IEnumerable<Detection> Detect(SynthesisedRun run)
        {
            SampledChannel pressure = run.Channel("oil_pressure")!, speed = run.Channel("engine_speed")!;
            double from = double.NaN;
            bool caution = false;
            for (int i = 0; i < pressure.Values.Length; i++)
            {
                double t = pressure.TimesS[i];
                double healthy = run.True.HealthyKpa[Math.Min((int)(t / run.True.StepS), run.True.Count - 1)];
                bool low = speed.InRoleUnit(speed.IndexAt(t)) > 2500 && pressure.InRoleUnit(i) < 0.75 * healthy;
                if (low && double.IsNaN(from)) from = t;
                if (low && t - from >= 0.15) caution = true;
                if (low) continue;
                if (caution) yield return new Detection(from, t, from + 0.15, "caution", "oil-starvation");
                (from, caution) = (double.NaN, false);
            }

            if (caution) yield return new Detection(from, pressure.TimesS[^1], from + 0.15, "caution", "oil-starvation");
        }
    }

    [Fact]
    public void Laps_follow_one_another_from_the_out_lap_to_the_in_lap()
    {
        SynthesisedRun run = Run("beacon-laps", seed: 4, laps: 3);
        Assert.Equal([0, 1, 2, 3, 4], run.Truth.Laps.Select(lap => lap.Number));
        Assert.Equal("out", run.Truth.Laps[0].Kind);
        Assert.Equal("in", run.Truth.Laps[^1].Kind);
        for (int i = 1; i < run.Truth.Laps.Count; i++) Assert.Equal(run.Truth.Laps[i - 1].EndS, run.Truth.Laps[i].StartS);

        SampledChannel beacon = run.Channel("beacon")!;
        int rises = Enumerable.Range(1, beacon.Values.Length - 1).Count(i => beacon.Values[i] > 0 && beacon.Values[i - 1] == 0);
        Assert.Equal(run.Truth.Laps.Count - 1, rises);
        Assert.Null(run.Channel("lap"));
    }

    [Theory]
    [InlineData("no-such", 4, null, "there is no scenario 'no-such'")]
    [InlineData("wet-left", 0, null, "laps = 0 is out of range; 1 to 200 is allowed")]
    [InlineData("wet-left", 4, 500.0, "rate = 500 Hz is out of range; 5 to 200 is allowed")]
    public void A_plan_out_of_range_is_refused_with_what_would_be_right(string scenario, int laps, double? rate, string expected)
    {
        var error = Assert.Throws<ArgumentException>(() => SessionSynthesiser.Run(new SessionPlan(scenario, 1) { Laps = laps, RateHz = rate }));
        Assert.StartsWith(expected, error.Message, StringComparison.Ordinal);
    }
}
