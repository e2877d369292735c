using OilWatch.Vibration;

namespace OilWatch.Tests.Vibration;

/// <summary>A made waveform of known orders on a known course of engine speed.</summary>
internal sealed class Shaking
{
    private readonly List<(double Order, Func<double, double, double> RmsG, double Phase)> _tones = [];
    private readonly List<(double Hz, double Damping)> _modes = [];

    public double RateHz { get; init; } = 25_600;

    public double LengthS { get; init; } = 20;

    /// <summary>Engine speed, rpm, at a time, s.</summary>
    public required Func<double, double> Rpm { get; init; }

    public double NoiseRmsG { get; init; }

    public double SpeedEveryS { get; init; } = 0.02;

    public int Seed { get; init; } = 1;

    /// <summary>Adds an order of constant RMS.</summary>
    public Shaking With(double order, double rmsG) => With(order, (_, _) => rmsG);

    /// <summary>Adds an order whose RMS depends on time, s, and engine speed, rpm.</summary>
    public Shaking With(double order, Func<double, double, double> rmsG)
    {
        _tones.Add((order, rmsG, order * 0.7));
        return this;
    }

    /// <summary>Sends everything through something that rings.</summary>
    public Shaking Through(double hz, double damping)
    {
        _modes.Add((hz, damping));
        return this;
    }

    public SpeedTrack Speed()
    {
        var track = new SpeedTrack();
        for (double t = -0.5; t < LengthS + 0.5; t += SpeedEveryS) track.Add(LogTime.FromSeconds(t), Rpm(t));
        return track;
    }

    public float[] Samples()
    {
        var random = new Random(Seed);
        var samples = new float[(int)(RateHz * LengthS)];
        double revolutions = 0;
        for (int n = 0; n < samples.Length; n++)
        {
            double t = n / RateHz;
            double rpm = Rpm(t);
            double sum = NoiseRmsG == 0 ? 0 : NoiseRmsG * Normal(random);
            foreach ((double order, Func<double, double, double> rms, double phase) in _tones)
                sum += Math.Sqrt(2) * rms(t, rpm) * Math.Sin((2 * Math.PI * order * revolutions) + phase);
            samples[n] = (float)sum;
            // Trapezoid over a fine step: the truth, not the way of the code under test.
            revolutions += 0.5 * (rpm + Rpm(t + (1 / RateHz))) / 60 / RateHz;
        }
        foreach ((double hz, double damping) in _modes) Ring(samples, hz, damping);
        return samples;
    }

    public WaveAnalysis Analyse(WaveOptions? options = null, int atOnce = 6000)
    {
        var analyser = new WaveAnalyser(1, RateHz, default, Speed(), options);
        float[] samples = Samples();
        for (int i = 0; i < samples.Length; i += atOnce) analyser.Add(samples.AsSpan(i, Math.Min(atOnce, samples.Length - i)));
        return analyser.Finish();
    }

    private static double Normal(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    /// <summary>Adds what a mass on a spring answers: a two-pole resonator with unit gain at rest.</summary>
    private void Ring(float[] samples, double hz, double damping)
    {
        double radius = Math.Exp(-damping * 2 * Math.PI * hz / RateHz);
        double a1 = 2 * radius * Math.Cos(2 * Math.PI * hz * Math.Sqrt(1 - (damping * damping)) / RateHz);
        double a2 = -radius * radius;
        double gain = 1 - a1 - a2;
        double one = 0, two = 0;
        for (int n = 0; n < samples.Length; n++)
        {
            double value = (gain * samples[n]) + (a1 * one) + (a2 * two);
            (two, one) = (one, value);
            samples[n] = (float)value;
        }
    }
}
