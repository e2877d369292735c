using OilWatch.Synthesiser.Driving;
using OilWatch.Synthesiser.Faults;
using OilWatch.Synthesiser.Maths;
using OilWatch.Synthesiser.Oil;
using OilWatch.Synthesiser.Scenarios;
using OilWatch.Synthesiser.Truths;

namespace OilWatch.Synthesiser.Sensing;

/// <summary>The sensors and the logger of a car.</summary>
internal static class Instruments
{
    private const double PressureSpanKpa = 1000;

    public static IReadOnlyList<SampledChannel> Sample(
        SessionPlan plan, Scenario scenario, TrueSeries series, OilSetup setup, Car car,
        IReadOnlyList<(string Label, double EntryS, double ExitS)> passes, IReadOnlyList<TrueFault> faults)
    {
        var random = new SeededRandom(plan.Seed, plan.Stream("sensors"));
        List<KerbStrike> kerbs = Kerbs(scenario, series, passes, random);
        double noise = random.Range(scenario.Noise.From, scenario.Noise.To);
        double rate = plan.RateHz ?? scenario.RateHz;
        double shake = random.Range(0.01, 0.06);
        var channels = new List<SampledChannel>();
        foreach (string role in Roles(scenario))
        {
            double[] measured = Measured(role, series, kerbs, shake, car, random);
            Sensor sensor = SensorOf(role, noise, RateOf(role, plan, scenario, rate), random);
            Spelling drawn = Spelling.Draw(role, scenario.IsDrySump, new SeededRandom(plan.Seed, $"spelling {role}"));
            Spelling spelling = plan.Tuning.PlainNames ? Spelling.Plain(role) : drawn;
            SampledChannel sampled = sensor.Sample(role, spelling, measured, series.StepS, new SeededRandom(plan.Seed, plan.Stream($"noise {role}")));
            (double low, double high) = Rails(role, car);
            channels.Add(FaultInjector.Apply(sampled, faults, low, high, new SeededRandom(plan.Seed, plan.Stream($"fault {role}"))));
        }

        return channels;
    }

    private static IEnumerable<string> Roles(Scenario scenario)
    {
        yield return "engine_speed";
        yield return "oil_pressure";
        if (!scenario.WithoutTemperature) yield return "oil_temperature";
        if (!scenario.WithoutTemperature) yield return "water_temperature";
        yield return "lateral_g";
        yield return "longitudinal_g";
        yield return "vehicle_speed";
        yield return "throttle";
        yield return "crankcase_pressure";
        yield return "vibration";
        yield return "fuel_pressure";
        yield return "battery_voltage";
        if (scenario.Laps == LapMark.LapNumber) yield return "lap";
        if (scenario.Laps == LapMark.Beacon) yield return "beacon";
        if (scenario.Laps != LapMark.GpsOnly) yield return "distance";
        yield return "latitude";
        yield return "longitude";
    }

    private static double RateOf(string role, SessionPlan plan, Scenario scenario, double rate)
    {
        if (plan.Tuning.SlowHz is { } slow)
        {
            return role switch
            {
                "oil_temperature" or "water_temperature" or "battery_voltage" or "fuel_pressure" => slow,
                "vibration" or "lap" or "beacon" or "distance" or "latitude" or "longitude" or "crankcase_pressure" => 2 * slow,
                _ => rate,
            };
        }

        if (!scenario.MixedRates) return rate;
        return role switch
        {
            "engine_speed" or "lateral_g" or "longitudinal_g" => 50,
            "oil_pressure" or "vehicle_speed" or "throttle" => 25,
            "oil_temperature" or "water_temperature" or "battery_voltage" or "fuel_pressure" => 5,
            _ => 10,
        };
    }

    private static List<KerbStrike> Kerbs(Scenario scenario, TrueSeries series, IReadOnlyList<(string Label, double EntryS, double ExitS)> passes, SeededRandom random)
    {
        int laps = Math.Max(1, (int)series.ByRole["lap"][^1]);
        double perPass = Math.Min(0.9, scenario.KerbsPerLap * laps / Math.Max(1, passes.Count));
        var kerbs = new List<KerbStrike>();
        foreach ((_, double entry, double exit) in passes)
        {
            if (!random.Chance(perPass)) continue;
            double at = random.Chance(0.6) ? exit - random.Range(0, 0.6) : entry + random.Range(0.2, 0.8 * (exit - entry));
            kerbs.Add(new KerbStrike(at, random.Range(0.8, 2.5) * (random.Chance(0.5) ? 1 : -1), random.Range(0.05, 0.15)));
        }

        return [.. kerbs.OrderBy(kerb => kerb.AtS)];
    }

    // What reaches the sensor beside the true value: kerbs, shaking, ripple of the pump.
    private static double[] Measured(string role, TrueSeries series, List<KerbStrike> kerbs, double shake, Car car, SeededRandom random)
    {
        double[] truth = series.ByRole[role];
        double kerbShare = role switch { "lateral_g" => 1, "longitudinal_g" => 0.5, "oil_pressure" => 8, "vibration" => 0.3, _ => 0 };
        if (role is not ("lateral_g" or "longitudinal_g" or "oil_pressure" or "vibration" or "latitude" or "longitude")) return truth;

        double[] measured = [.. truth];
        foreach (KerbStrike kerb in kerbs)
        {
            int last = Math.Min(measured.Length, (int)((kerb.AtS + kerb.ForS) / series.StepS) + 1);
            for (int i = Math.Max(0, (int)(kerb.AtS / series.StepS)); i < last; i++)
                measured[i] += kerbShare * (role is "vibration" ? Math.Abs(kerb.At(i * series.StepS)) : kerb.At(i * series.StepS));
        }

        if (role is "latitude" or "longitude")
        {
            // A receiver wanders by about a metre over a minute.
            var wander = new BandNoise(random, 40, series.StepS);
            for (int i = 0; i < measured.Length; i++) measured[i] += 0.8 / 111_000 * wander.Next();
        }
        else if (role is not "vibration")
        {
            double[] rpm = series.ByRole["engine_speed"];
            double ripple = random.Range(0.001, 0.008);
            for (int i = 0; i < measured.Length; i++)
            {
                double speed = rpm[i] / car.RedlineRpm;
                measured[i] += role is "oil_pressure" ? truth[i] * ripple * random.Normal() : shake * speed * random.Normal();
            }
        }

        return measured;
    }

    private static Sensor SensorOf(string role, double noise, double rateHz, SeededRandom random)
    {
        double late = random.Range(0, 0.1);
        double bias = random.Normal();
        return role switch
        {
            "oil_pressure" => new Sensor { From = 0, To = PressureSpanKpa, Noise = noise * PressureSpanKpa * 0.6, Bias = 3 * bias, LatencyS = 0.6 * late, Quantum = random.Pick([0.1, 0.5, 1.0, 4.0]), RateHz = rateHz },
            "engine_speed" => new Sensor { From = 0, To = 16000, Noise = random.Range(2, 15), LatencyS = late, Quantum = random.Pick([0.125, 1.0, 10.0]), RateHz = rateHz },
            "oil_temperature" or "water_temperature" => new Sensor { From = -40, To = 210, Noise = 0.15, Bias = bias, LatencyS = late, Quantum = random.Pick([0.1, 1.0]), RateHz = rateHz },
            "lateral_g" or "longitudinal_g" => new Sensor { From = -4, To = 4, Noise = noise * 3, Bias = 0.012 * bias, LatencyS = 0.5 * late, Quantum = random.Pick([0.001, 0.01, 0.02]), RateHz = rateHz },
            "vehicle_speed" => new Sensor { From = 0, To = 400, Noise = 0.3, LatencyS = late, Quantum = 0.1, RateHz = rateHz },
            "throttle" => new Sensor { From = 0, To = 100, Noise = 0.2, LatencyS = 0.2 * late, Quantum = 0.5, RateHz = rateHz },
            "crankcase_pressure" => new Sensor { From = -100, To = 100, Noise = 0.25, Bias = 0.2 * bias, LatencyS = late, Quantum = 0.1, RateHz = rateHz },
            "vibration" => new Sensor { From = 0, To = 50, Noise = 0.05, LatencyS = late, Quantum = 0.01, RateHz = rateHz },
            "fuel_pressure" => new Sensor { From = 0, To = PressureSpanKpa, Noise = 3, LatencyS = late, Quantum = 1, RateHz = rateHz },
            "battery_voltage" => new Sensor { From = 0, To = 20, Noise = 0.03, LatencyS = late, Quantum = 0.01, RateHz = rateHz },
            "lap" or "beacon" => new Sensor { From = 0, To = 1000, Quantum = 1, RateHz = rateHz },
            "distance" => new Sensor { From = 0, To = 1e7, Quantum = 0.1, RateHz = rateHz },
            _ => new Sensor { From = -180, To = 180, Noise = 1e-6, Quantum = 1e-7, RateHz = rateHz },
        };
    }

    private static (double Low, double High) Rails(string role, Car car) => role switch
    {
        "oil_pressure" => (0, PressureSpanKpa),
        "engine_speed" => (0, car.RedlineRpm * 1.9),
        "lateral_g" => (0, 4),
        _ => (0, 0),
    };
}
