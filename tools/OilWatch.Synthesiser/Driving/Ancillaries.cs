using OilWatch.Synthesiser.Maths;
using OilWatch.Synthesiser.Scenarios;
using OilWatch.Synthesiser.Truths;

namespace OilWatch.Synthesiser.Driving;

/// <summary>Crankcase pressure, vibration, fuel pressure, battery, beacon and distance.</summary>
public sealed class Ancillaries
{
    private Ancillaries(int count)
    {
        CrankcaseKpa = new double[count];
        HealthyCrankcaseKpa = new double[count];
        VibrationG = new double[count];
        FuelKpa = new double[count];
        BatteryV = new double[count];
        Beacon = new double[count];
        DistanceM = new double[count];
    }

    /// <summary>Crankcase pressure, kPa gauge; below ambient is negative.</summary>
    public double[] CrankcaseKpa { get; }

    /// <summary>Crankcase pressure of the same engine at the same instant with its vacuum not lost, kPa gauge.</summary>
    public double[] HealthyCrankcaseKpa { get; }

    /// <summary>Vibration level, g RMS.</summary>
    public double[] VibrationG { get; }

    /// <summary>Fuel pressure, kPa gauge.</summary>
    public double[] FuelKpa { get; }

    /// <summary>Battery voltage, V.</summary>
    public double[] BatteryV { get; }

    /// <summary>Beacon: 1 for a moment after the line, otherwise 0.</summary>
    public double[] Beacon { get; }

    /// <summary>Distance since the log began, m.</summary>
    public double[] DistanceM { get; }

    /// <summary>Runs them through a drive.</summary>
    /// <param name="drive">How the car moved.</param>
    /// <param name="engine">The engine.</param>
    /// <param name="car">The car.</param>
    /// <param name="scenario">Whether vacuum is lost or vibration grows.</param>
    /// <param name="stepS">Step, s.</param>
    /// <param name="random">Where the numbers come from.</param>
    /// <param name="conditions">Gets what was lost or grew.</param>
    public static Ancillaries Run(
        Drive drive, Powertrain engine, Car car, Scenario scenario, double stepS, SeededRandom random, ICollection<TrueCondition> conditions)
    {
        int count = drive.SpeedMs.Length;
        double lengthS = count * stepS;
        var result = new Ancillaries(count);
        double vacuum = random.Range(20, 50);
        double blowBy = random.Range(0.4, 2.5);
        double vacuumPower = random.Range(0.5, 1.0);
        var crankcase = new FirstOrderLag(random.Range(0.3, 0.9), stepS);
        FirstOrderLag healthy = crankcase;
        bool belt = random.Chance(0.5);
        double lostFrom = lengthS * random.Range(0.35, 0.6);
        double lostOver = belt ? random.Range(0.5, 3) : lengthS * random.Range(0.3, 0.4);
        double lostTo = belt ? 0 : random.Range(0.3, 0.6);
        if (scenario.LosesVacuum) conditions.Add(new TrueCondition(belt ? "vacuum-loss-belt" : "vacuum-loss-seal", lostFrom, lostFrom + lostOver, lengthS));

        double floor = random.Range(0.2, 0.6);
        double slope = random.Range(1.5, 4);
        (double At, double Wide, double High)[] peaks = [.. Enumerable.Range(0, random.Whole(1, 3)).Select(_ =>
            (random.Range(0.4, 0.95) * car.RedlineRpm, random.Range(120, 350), random.Range(0.6, 3)))];
        double growFrom = lengthS * random.Range(0.25, 0.45);
        double growBy = random.Range(0.8, 2.5);
        bool growsAtPeak = random.Chance(0.5);
        if (scenario.VibrationGrows) conditions.Add(new TrueCondition("vibration-growth", growFrom, lengthS, lengthS));

        var vibrationNoise = new BandNoise(random, 0.1, stepS);
        double fuel = random.Range(280, 420);
        double charge = random.Range(13.6, 14.4);
        double beaconForS = random.Range(0.25, 0.5);
        double sinceLine = double.PositiveInfinity;
        double first = drive.DistanceM[0];
        for (int i = 0; i < count; i++)
        {
            double t = i * stepS;
            double share = engine.Rpm[i] / car.RedlineRpm;
            double throttle = engine.ThrottlePercent[i] / 100;
            double blows = blowBy * share * (0.2 + (0.8 * throttle));
            double pumps = 1;
            if (scenario.LosesVacuum && t > lostFrom) pumps = 1 - ((1 - lostTo) * Math.Min(1, (t - lostFrom) / lostOver));
            double settles = scenario.IsDrySump
                ? (-vacuum * pumps * Math.Pow(Math.Max(share, 0), vacuumPower)) + (blows * (pumps > 0.5 ? 2 : 1))
                : blows;
            result.CrankcaseKpa[i] = crankcase.Step(settles);
            result.HealthyCrankcaseKpa[i] = healthy.Step(scenario.IsDrySump ? (-vacuum * Math.Pow(Math.Max(share, 0), vacuumPower)) + (2 * blows) : blows);

            double grown = scenario.VibrationGrows && t > growFrom ? growBy * (t - growFrom) / (lengthS - growFrom) : 0;
            double level = floor + (slope * share * share * (growsAtPeak ? 1 : 1 + grown));
            foreach ((double at, double wide, double high) in peaks)
            {
                double off = (engine.Rpm[i] - at) / wide;
                level += high * Math.Exp(-0.5 * off * off) * (growsAtPeak ? 1 + (2 * grown) : 1);
            }

            result.VibrationG[i] = engine.Rpm[i] < 50 ? 0.01 : level * Math.Max(0.3, 1 + (0.06 * vibrationNoise.Next()));
            result.FuelKpa[i] = fuel * (1 - (0.03 * throttle * share));
            result.BatteryV[i] = engine.Rpm[i] > 600 ? charge - (0.15 * (1 - share)) : drive.EngineRuns[i] && engine.Rpm[i] > 0 ? 10.8 : 12.4;
            sinceLine = i > 0 && drive.Lap[i] != drive.Lap[i - 1] ? 0 : sinceLine + stepS;
            result.Beacon[i] = sinceLine < beaconForS ? 1 : 0;
            result.DistanceM[i] = drive.DistanceM[i] - first;
        }

        return result;
    }
}
