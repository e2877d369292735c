using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Pressure;
using OilWatch.Tests.Detectors;

namespace OilWatch.Tests.Pressure;

/// <summary>A made-up engine on a made-up stint: frames whose healthy pressure is known, because the curve is given. Truth: own model.</summary>
internal sealed record TestEngine
{
    /// <summary>Healthy pressure.</summary>
    public PressureCurve Curve { get; init; } = new(95, 0.6, 10, 420, 6, 40);

    public double Hz { get; init; } = 20;

    public double LengthS { get; init; } = 240;

    /// <summary>Normal noise on pressure, kPa.</summary>
    public double NoiseKpa { get; init; } = 6;

    /// <summary>Pure delay and lag of pressure behind engine speed, s.</summary>
    public double DelayS { get; init; }

    public double LagS { get; init; } = 0.1;

    /// <summary>Oil temperature by time, °C; null for none logged.</summary>
    public Func<double, double>? LoggedTemperatureC { get; init; } = t => 100 - (45 * Math.Exp(-t / 60));

    /// <summary>Viscosity against 100 °C by time; null to follow the logged temperature.</summary>
    public Func<double, double>? TrueRatio { get; init; }

    /// <summary>Factor on healthy pressure by time and whether the corner load is on.</summary>
    public Func<double, double, bool, double> Share { get; init; } = (_, _, _) => 1;

    /// <summary>Lateral load by time, g.</summary>
    public Func<double, double> LateralG { get; init; } = t => t % 11 < 7 ? 0 : 1.1;

    /// <summary>Engine speed by time, rpm.</summary>
    public Func<double, double> Rpm { get; init; } = UpAndDown;

    public int Seed { get; init; } = 20261125;

    /// <summary>Viscosity against 100 °C, a made-up oil: halves every 22 degrees.</summary>
    public static double RatioAt(double temperatureC) => Math.Pow(2, (100 - temperatureC) / 22);

    /// <summary>Up through the gears and down again, 1,800 to 7,200 rpm, with shifts.</summary>
    public static double UpAndDown(double t)
    {
        double phase = t % 9.3;
        if (phase < 2.2) return 3000 + (4200 * phase / 2.2);
        if (phase < 2.35) return 7200 - (2000 * (phase - 2.2) / 0.15);
        if (phase < 5) return 5200 + (2000 * (phase - 2.35) / 2.65);
        if (phase < 7.4) return 7200 - (5400 * (phase - 5) / 2.4);
        return 1800 + (1200 * (phase - 7.4) / 1.9);
    }

    /// <summary>Viscosity ratio that the oil truly has.</summary>
    public double Ratio(double t) => TrueRatio?.Invoke(t) ?? RatioAt(LoggedTemperatureC!(t));

    /// <summary>Frames as the guard and the load filter would leave them.</summary>
    public List<EngineFrame> Frames()
    {
        var noise = new Gauss(Seed);
        var frames = new List<EngineFrame>();
        const double Fine = 0.001;
        double lagged = Rpm(-DelayS);
        double next = 0;
        for (int i = 0; i * Fine < LengthS; i++)
        {
            double t = i * Fine;
            double speed = Rpm(Math.Max(0, t - DelayS));
            lagged = LagS <= 0 ? speed : lagged + ((speed - lagged) * (1 - Math.Exp(-Fine / LagS)));
            if (t < next - 1e-9) continue;
            next += 1 / Hz;
            var frame = new EngineFrame(LogTime.FromSeconds(t)) { Fresh = uint.MaxValue };
            double load = LateralG(t);
            frame[Role.EngineSpeed] = Rpm(t);
            frame[Role.OilPressure] = (Curve.At(lagged, Ratio(t)) * Share(t, Rpm(t), load > 0.3)) + (NoiseKpa * noise.Next());
            if (LoggedTemperatureC is { } temperature) frame[Role.OilTemperature] = temperature(t);
            frame[Role.LateralG] = frame.LoadLateralG = load;
            frame[Role.LongitudinalG] = frame.LoadLongitudinalG = 0;
            frames.Add(frame);
        }

        return frames;
    }

    /// <summary>What the fit remembers of the frames.</summary>
    public PressureSamples Samples()
    {
        var samples = new PressureSamples(PressureModelOptions.Default, RatioAt);
        foreach (EngineFrame frame in Frames()) samples.Take(in frame);
        return samples;
    }

    /// <summary>The model of the whole run, or null.</summary>
    public HealthyPressure? Fit(bool wholeRun = true)
    {
        PressureSamples samples = Samples();
        return PressureFit.Fit(samples.All, samples.CalmS, PressureModelOptions.Default, wholeRun);
    }
}
