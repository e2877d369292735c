using OilWatch.Synthesiser.Driving;
using OilWatch.Synthesiser.Maths;
using OilWatch.Synthesiser.Scenarios;
using OilWatch.Synthesiser.Truths;

namespace OilWatch.Synthesiser.Oil;

/// <summary>Draws a pan and sets its fill so that the pickup is uncovered for about as long a lap as wanted.</summary>
internal static class PanFitter
{
    public static Pan Fit(SessionPlan plan, Scenario scenario, Drive drive, Powertrain engine, OilSetup setup, Car car, double stepS)
    {
        var random = new SeededRandom(plan.Seed, $"pan {plan.Scenario}");
        Pan pan = Draw(scenario, random);
        double wanted = plan.Tuning.UncoveredSPerLap ?? random.Range(0.8, 5.0);
        double deepest = plan.Tuning.DeepestRatio ?? random.Range(scenario.DeepestRatio.From, scenario.DeepestRatio.To);
        double edge = random.Range(0.2, 0.7);

        var slosh = new SloshLoad(pan, stepS);
        var falls = new List<double>();
        double whole = 0;
        double last = drive.Lap[^1];
        for (int i = 0; i < drive.SpeedMs.Length; i++)
        {
            double share = engine.Rpm[i] / car.RedlineRpm;
            (double x, double y) = slosh.Step(drive, i);
            double fall = pan.FallMm(x, y) + (pan.TopEndMm * share * share);
            whole = Math.Max(whole, fall);
            if (drive.Lap[i] > 0 && drive.Lap[i] < last && drive.SpeedMs[i] > 5) falls.Add(fall);
        }

        if (scenario.Prone == Prone.None) return pan with { FillMm = (1.25 * whole) + 10 };

        falls.Sort();
        int laps = Math.Max(1, plan.Laps);
        int above = Math.Clamp((int)(wanted * laps / stepS), 1, falls.Count / 3);
        double fill = falls[^above];
        return pan with
        {
            FillMm = fill,
            EdgeMm = Math.Max(1, edge * (falls[^1] - fill)),
            LargestAirShare = AirShareFor(setup, deepest, 0.72 * car.RedlineRpm, 105),
        };
    }

    /// <summary>Moves fill and air so that a prone pan shows what its scenario is about; false when it already does.</summary>
    public static bool Refit(Scenario scenario, IReadOnlyList<TrueEvent> events, int laps, ref Pan pan)
    {
        if (scenario.Prone == Prone.None) return false;
        int wanted = Math.Max(1, (laps + 1) / 2);
        if (scenario.DeepestRatio.From > 0.75)
        {
            int shallow = events.Count(e => !e.IsCaution);
            bool tooDeep = shallow < events.Count;
            if (!tooDeep && shallow >= wanted) return false;
            pan = tooDeep
                ? pan with { LargestAirShare = 0.93 * pan.LargestAirShare }
                : pan with { LargestAirShare = pan.LargestAirShare + (0.08 * (1 - pan.LargestAirShare)), FillMm = pan.FillMm - (0.15 * pan.EdgeMm) };
            return true;
        }

        if (events.Count(e => e.IsCaution && !e.Borderline) >= wanted) return false;
        pan = pan with
        {
            LargestAirShare = pan.LargestAirShare + (0.15 * (1 - pan.LargestAirShare)),
            FillMm = pan.FillMm - (0.2 * pan.EdgeMm),
            AirInS = Math.Max(0.05, 0.85 * pan.AirInS),
        };
        return true;
    }

    /// <summary>The share of air in the inlet that brings pressure to a ratio of healthy, 0 to 1.</summary>
    public static double AirShareFor(OilSetup setup, double ratio, double rpm, double celsius)
    {
        double viscosity = setup.ViscosityPaS(celsius);
        double healthy = setup.Circuit.PressureKpa(setup.Circuit.PumpFlow(rpm, 0), viscosity);
        double low = 0, high = 1;
        for (int i = 0; i < 40; i++)
        {
            double middle = (low + high) / 2;
            double pressure = setup.Circuit.PressureKpa(setup.Circuit.PumpFlow(rpm, middle), viscosity);
            if (pressure > ratio * healthy) low = middle;
            else high = middle;
        }

        return (low + high) / 2;
    }

    private static Pan Draw(Scenario scenario, SeededRandom random)
    {
        bool drawsAir = scenario.Prone != Prone.None;
        double main = random.Range(60, 130);
        return new Pan
        {
            FallLeftMm = Fall(Prone.Left),
            FallRightMm = Fall(Prone.Right),
            FallBrakingMm = Fall(Prone.Braking),
            FallAcceleratingMm = Fall(Prone.Accelerating),
            SloshHz = random.Range(0.6, 2.0),
            Damping = drawsAir ? random.Range(0.3, 0.8) : random.Range(0.7, 1.2),
            HeldShare = random.Range(0.2, 0.7),
            HoldS = random.Range(0.6, 2.5),
            TopEndMm = main * random.Range(0.03, 0.1),
            EdgeMm = 5,
            AirInS = random.Range(0.05, 0.4),
            PurgeS = random.Range(0.1, 0.5),
            AirOutS = random.Range(0.05, 0.3),
        };

        double Fall(Prone direction) => scenario.IsDrySump ? 0
            : scenario.Prone.HasFlag(direction) ? main * random.Range(0.9, 1.0)
            : main * random.Range(0.0, 0.2);
    }
}
