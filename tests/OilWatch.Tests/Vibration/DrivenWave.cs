using System.Buffers.Binary;
using System.Globalization;
using System.Text;
using OilWatch.Analysis;
using OilWatch.Cars;
using OilWatch.Reading;
using OilWatch.Results;
using OilWatch.Vibration;

namespace OilWatch.Tests.Vibration;

/// <summary>A made session with a raw waveform beside its log: laps, gears, orders that grow with speed, a bracket that rings, noise, kerbs, and growth if asked for.</summary>
/// <remarks>The truth is measured on the waveforms themselves: the clean twin has the same random numbers, so their levels over a quarter of a second give the true ratio.</remarks>
internal sealed class DrivenWave
{
    /// <summary>Samples a second.</summary>
    public const int RateHz = 3200;

    private const double LogHz = 20;
    private const double TruthS = 0.25;
    private const double FullScaleG = 400;
    private readonly Random _random;
    private readonly List<double> _aboveAt = [];

    private DrivenWave(int seed) => _random = new Random(seed);

    /// <summary>When growth began, s; NaN where it does not grow.</summary>
    public double GrowsFromS { get; private set; } = double.NaN;

    /// <summary>When the true level had been 1.5 times healthy for half a second in all, s; NaN if never.</summary>
    public double PassedS { get; private set; } = double.NaN;

    /// <summary>The waveform as a 16-bit WAVE file.</summary>
    public byte[] Wave { get; private set; } = [];

    /// <summary>The log beside it, as CSV.</summary>
    public byte[] Log { get; private set; } = [];

    /// <summary>Seconds up to a time in which the true level was 1.5 times healthy or more.</summary>
    public double RisenS(double untilS) => TruthS * _aboveAt.Count(t => t <= untilS);

    /// <param name="seed">Everything follows from it; the clean twin has the same.</param>
    /// <param name="grows">True to let it grow.</param>
    /// <param name="atPeak">True to let only the bracket that rings grow.</param>
    public static DrivenWave Make(int seed, bool grows, bool atPeak)
    {
        var made = new DrivenWave(seed);
        made.Drive(grows, atPeak);
        return made;
    }

    /// <summary>Through the whole analysis.</summary>
    public async Task<SessionResult> AnalyseAsync(bool asLive = false, CarSettings? car = null) => await SessionAnalysis.RunAsync(
        new LogSource("run.csv", () => new MemoryStream(Log)),
        new AnalysisRequest
        {
            AsLive = asLive,
            Options = AnalysisOptions.Default with { Car = car ?? CarSettings.None },
            Waveform = new WaveSource(new LogSource("block.wav", () => new MemoryStream(Wave))) { Scale = FullScaleG },
        });

    /// <summary>A 16-bit WAVE file; samples alternate between channels.</summary>
    public static byte[] WaveFile(ReadOnlySpan<float> samples, int rateHz, double fullScale, int channels = 1)
    {
        var bytes = new byte[44 + (2 * samples.Length)];
        "RIFF"u8.CopyTo(bytes);
        BinaryPrimitives.WriteInt32LittleEndian(bytes.AsSpan(4), bytes.Length - 8);
        "WAVEfmt "u8.CopyTo(bytes.AsSpan(8));
        BinaryPrimitives.WriteInt32LittleEndian(bytes.AsSpan(16), 16);
        BinaryPrimitives.WriteInt16LittleEndian(bytes.AsSpan(20), 1);
        BinaryPrimitives.WriteInt16LittleEndian(bytes.AsSpan(22), (short)channels);
        BinaryPrimitives.WriteInt32LittleEndian(bytes.AsSpan(24), rateHz);
        BinaryPrimitives.WriteInt32LittleEndian(bytes.AsSpan(28), rateHz * channels * 2);
        BinaryPrimitives.WriteInt16LittleEndian(bytes.AsSpan(32), (short)(2 * channels));
        BinaryPrimitives.WriteInt16LittleEndian(bytes.AsSpan(34), 16);
        "data"u8.CopyTo(bytes.AsSpan(36));
        BinaryPrimitives.WriteInt32LittleEndian(bytes.AsSpan(40), 2 * samples.Length);
        for (int i = 0; i < samples.Length; i++)
            BinaryPrimitives.WriteInt16LittleEndian(bytes.AsSpan(44 + (2 * i)), (short)Math.Round(Math.Clamp(samples[i] / fullScale, -1, 0.99997) * 32_768));
        return bytes;
    }

    /// <summary>A log of engine speed alone.</summary>
    public static byte[] SpeedLog(double lengthS, Func<double, double> rpm, double hz = LogHz)
    {
        var text = new StringBuilder("time [s],Engine Speed [rpm]\n");
        for (int i = 0; i <= lengthS * hz; i++) text.Append(CultureInfo.InvariantCulture, $"{i / hz:F3},{rpm(i / hz):F2}\n");
        return Encoding.ASCII.GetBytes(text.ToString());
    }

    private void Drive(bool grows, bool atPeak)
    {
        double lengthS = Range(300, 480);
        double redline = Range(6500, 8500);
        double from = lengthS * Range(0.35, 0.5), by = Range(0.8, 2.5);
        double ringsAtHz = Range(0.55, 0.9) * redline * 4 / 60, ringsWideHz = ringsAtHz * Range(0.03, 0.06), rings = Range(1.5, 4);
        double[] orders = [0.5, 1, 1.5, 2, 3, 4, 8];
        double[] levels = [Range(0.1, 0.6), Range(0.3, 1.5), Range(0.1, 0.5), Range(1, 4), Range(0.1, 0.8), Range(1, 4), Range(0.2, 1)];
        double[] phases = [.. orders.Select(_ => Range(0, 2 * Math.PI))];
        double noiseG = Range(0.2, 0.6), load = Range(0, 0.3), speedLateS = Range(0, 0.05), kerbsPerS = Range(0.02, 0.1);
        if (grows) GrowsFromS = from;

        int count = (int)(lengthS * RateHz);
        var rpm = new float[count];
        var samples = new float[count];
        double speed = 0.45 * redline, holdS = 0, slopeRpm = 0, turned = 0, kerbS = 0, kerbG = 0, rough = 1;
        int phase = 0;
        double seen = 0, healthy = 0, above = 0;
        for (int i = 0; i < count; i++)
        {
            double t = (double)i / RateHz;
            const double Step = 1.0 / RateHz;
            double pace = Math.Min(1, 0.75 + (0.25 * t / 90));           // the first laps are easier
            if (holdS <= 0)
            {
                phase = (phase + 1) % 4;
                holdS = phase switch { 0 => Range(1.5, 5), 1 => 0.15, 2 => Range(0.8, 2.5), _ => Range(0.8, 3) };
                slopeRpm = phase switch { 0 => pace * Range(300, 1800), 1 => -8000, 2 => -Range(700, 1800), _ => Range(-200, 200) };
                rough = Range(0.92, 1.08);
                if (_random.NextDouble() < kerbsPerS * 2) (kerbS, kerbG) = (Range(0.05, 0.2), Range(0.5, 4));
            }
            holdS -= Step;
            kerbS -= Step;
            speed += slopeRpm * Step;
            if (speed > 0.97 * redline) (phase, holdS, speed) = (0, 0, 0.97 * redline);
            if (speed < 0.38 * redline) (holdS, phase, speed) = (0, 3, 0.38 * redline);
            rpm[i] = (float)speed;
            turned += speed / 60 * Step;
            double grown = grows && t > from ? by * (t - from) / (lengthS - from) : 0;
            double share = speed / redline * speed / redline * rough * (phase == 0 ? 1 + load : 1);
            double sum = 0, clean = 0;
            for (int k = 0; k < orders.Length; k++)
            {
                double apart = ((orders[k] * speed / 60) - ringsAtHz) / ringsWideHz;
                double ring = rings / (1 + (apart * apart));
                double tone = Math.Sqrt(2) * levels[k] * share * Math.Sin((2 * Math.PI * orders[k] * turned) + phases[k]);
                clean += tone * (1 + ring);
                sum += tone * (atPeak ? 1 + (ring * (1 + (2.5 * grown))) : (1 + ring) * (1 + grown));
            }
            double noise = noiseG * Normal();
            if (kerbS > 0) noise += kerbG * Normal();
            samples[i] = (float)(sum + noise);
            seen += (sum + noise) * (sum + noise);
            healthy += (clean + noise) * (clean + noise);
            if ((i + 1) % (int)(TruthS * RateHz) != 0) continue;
            if (seen >= 2.25 * healthy)
            {
                above += TruthS;
                _aboveAt.Add(t);
                if (above >= 0.5 && double.IsNaN(PassedS)) PassedS = t;
            }
            seen = healthy = 0;
        }
        Wave = WaveFile(samples, RateHz, FullScaleG);
        Log = SpeedLog(lengthS, t => rpm[Math.Clamp((int)((t - speedLateS) * RateHz), 0, count - 1)] + (8 * Normal()));
    }

    private double Range(double low, double high) => low + ((high - low) * _random.NextDouble());

    private double Normal() => Math.Sqrt(-2 * Math.Log(1 - _random.NextDouble())) * Math.Cos(2 * Math.PI * _random.NextDouble());
}
