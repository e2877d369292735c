using OilWatch.Synthesiser.Driving;
using OilWatch.Synthesiser.Maths;

namespace OilWatch.Synthesiser.Oil;

/// <summary>Gallery pressure through a run, beside what the same system shows with its pickup covered.</summary>
public sealed class OilSystem
{
    private OilSystem(int count)
    {
        PressureKpa = new double[count];
        HealthyKpa = new double[count];
        AirShare = new double[count];
        SloshLateralG = new double[count];
        SloshLongitudinalG = new double[count];
    }

    /// <summary>Pressure at the sensor after all lags, kPa gauge.</summary>
    public double[] PressureKpa { get; }

    /// <summary>The same with the pickup covered and without any problem that began during the run, kPa gauge.</summary>
    public double[] HealthyKpa { get; }

    /// <summary>Share of the pump's inlet that is air, 0 to 1.</summary>
    public double[] AirShare { get; }

    /// <summary>Lateral load as the oil feels it, g.</summary>
    public double[] SloshLateralG { get; }

    /// <summary>Longitudinal load as the oil feels it, g.</summary>
    public double[] SloshLongitudinalG { get; }

    /// <summary>Runs the oil through a drive.</summary>
    public static OilSystem Run(
        Drive drive, Powertrain engine, double[] oilTemperatureC, OilSetup setup, Pan pan, double redlineRpm, double stepS, SeededRandom random)
    {
        int count = drive.SpeedMs.Length;
        var result = new OilSystem(count);
        var slosh = new SloshLoad(pan, stepS);
        var lags = new PressureLags(setup, stepS);
        var healthyLags = new PressureLags(setup, stepS);
        var flutter = new BandNoise(random, 0.03, stepS);
        var froth = new BandNoise(random, 2.5, stepS);
        double airIn = 1 - Math.Exp(-stepS / pan.AirInS);
        double airOut = 1 - Math.Exp(-stepS / pan.AirOutS);
        double air = 0, purge = 0, primed = 1, viscosity = 0;

        for (int i = 0; i < count; i++)
        {
            double t = i * stepS;
            (double x, double y) = slosh.Step(drive, i);
            (result.SloshLateralG[i], result.SloshLongitudinalG[i]) = (x, y);
            double rpm = engine.Rpm[i];
            double share = rpm / redlineRpm;
            double height = pan.FillMm - pan.FallMm(x, y) - (pan.TopEndMm * share * share);
            double open = Math.Clamp(-height / pan.EdgeMm, 0, 1);
            double drawn = pan.LargestAirShare * open * open * (3 - (2 * open));

            double severity = setup.SeverityAt(t);
            if (setup.Condition == OilCondition.PickupBroken && severity > 0)
            {
                double load = Math.Sqrt((x * x) + (y * y));
                drawn = Math.Max(drawn, severity * Math.Min(1, setup.ConditionSize * (0.75 + (0.4 * Math.Min(load, 1)))));
            }

            if (drawn >= air)
            {
                air += (drawn - air) * airIn;
                purge = pan.PurgeS;
            }
            else if (purge > 0)
            {
                purge -= stepS;
            }
            else
            {
                air += (drawn - air) * airOut;
            }

            // The pump has to fill the gallery after a start.
            primed = rpm < 50 ? 0 : Math.Min(1, primed + (stepS / setup.PrimeS));

            // Temperature hardly moves in a tenth of a second.
            if (i % 20 == 0) viscosity = setup.ViscosityPaS(oilTemperatureC[i]);
            double healthyFlow = setup.Circuit.PumpFlow(rpm, 0) * primed;
            double healthy = setup.Circuit.PressureKpa(healthyFlow, viscosity);
            OilCircuit circuit = severity > 0 ? setup.Changed(severity) : setup.Circuit;
            double mixed = air;
            if (setup.Condition == OilCondition.Aeration && severity > 0)
            {
                double froths = Math.Clamp(setup.ConditionSize * severity * share * (1 + (0.15 * froth.Next())), 0, 0.9);
                mixed = 1 - ((1 - air) * (1 - Math.Clamp(froths * (1 + (0.35 * flutter.Next())), 0, 0.95)));
            }

            bool asHealthy = mixed < 1e-9 && severity <= 0;
            double flow = asHealthy ? healthyFlow : circuit.PumpFlow(rpm, mixed) * primed * setup.Delivery(severity);
            double pressure = asHealthy ? healthy : circuit.PressureKpa(flow, viscosity);
            result.AirShare[i] = mixed;
            result.PressureKpa[i] = lags.Step(pressure);
            result.HealthyKpa[i] = healthyLags.Step(healthy);
        }

        return result;
    }

    private sealed class PressureLags(OilSetup setup, double stepS)
    {
        private FirstOrderLag _gallery = new(setup.GalleryLagS, stepS);
        private FirstOrderLag _line = new(setup.LineLagS, stepS);
        private FirstOrderLag _sensor = new(setup.SensorLagS, stepS);

        public double Step(double kpa) => _sensor.Step(_line.Step(_gallery.Step(kpa)));
    }
}
