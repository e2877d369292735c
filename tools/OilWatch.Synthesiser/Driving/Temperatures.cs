using OilWatch.Synthesiser.Maths;
using OilWatch.Synthesiser.Scenarios;

namespace OilWatch.Synthesiser.Driving;

/// <summary>Oil and water temperature: first-order lags towards what the load would settle at.</summary>
public sealed class Temperatures
{
    private Temperatures(int count)
    {
        OilC = new double[count];
        WaterC = new double[count];
    }

    /// <summary>Oil temperature, °C.</summary>
    public double[] OilC { get; }

    /// <summary>Water temperature, °C.</summary>
    public double[] WaterC { get; }

    /// <summary>Heats the engine through a drive.</summary>
    public static Temperatures Run(Drive drive, Powertrain engine, Car car, Scenario scenario, SessionTuning tuning, double stepS, SeededRandom random)
    {
        int count = drive.SpeedMs.Length;
        var result = new Temperatures(count);
        double oil = scenario.ColdStart ? random.Range(10, 30) : random.Range(35, 80);
        double water = Math.Min(oil + random.Range(0, 15), 85);
        double idles = random.Range(70, 85);
        double drawn = random.Range(98, 132);
        double hot = tuning.OilSettlesC ?? drawn;
        double oilLag = random.Range(90, 260);
        double waterHot = random.Range(80, 98);
        var load = new FirstOrderLag(15, stepS);
        for (int i = 0; i < count; i++)
        {
            // Heat goes with engine speed and throttle; 0.45 of full is a usual mean of a fast lap.
            double work = load.Step(engine.Rpm[i] / car.RedlineRpm * (0.35 + (0.0065 * engine.ThrottlePercent[i])) / 0.45);
            double settles = drive.EngineRuns[i] ? idles + ((hot - idles) * Math.Min(work, 1.15)) : 25;
            oil += (settles - oil) * stepS / oilLag;
            water += ((drive.EngineRuns[i] ? waterHot + (4 * Math.Min(work, 1.2)) : 60) - water) * stepS / (oilLag * 0.5);
            result.OilC[i] = oil;
            result.WaterC[i] = water;
        }

        return result;
    }
}
