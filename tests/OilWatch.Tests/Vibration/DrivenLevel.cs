using OilWatch.Channels;
using OilWatch.Frames;

namespace OilWatch.Tests.Vibration;

/// <summary>A made session with a vibration level channel: laps on a circuit, gears, resonances, noise, kerbs, and growth if asked for.</summary>
internal sealed class DrivenLevel
{
    private readonly Random _random;
    private readonly List<double> _aboveAt = [];

    private DrivenLevel(int seed) => _random = new Random(seed);

    /// <summary>The frames.</summary>
    public List<EngineFrame> Frames { get; } = [];

    /// <summary>When the true level was first 1.5 times healthy at its speed for half a second in all; NaN if never.</summary>
    public double PassedS { get; private set; } = double.NaN;

    /// <summary>Seconds up to a time in which the true level was 1.5 times healthy at its speed or more.</summary>
    public double RisenS(double untilS) => 0.01 * _aboveAt.Count(t => t <= untilS);

    /// <summary>When growth began; NaN if it does not grow.</summary>
    public double GrowsFromS { get; private set; } = double.NaN;

    /// <param name="seed">Everything follows from it; the clean twin has the same.</param>
    /// <param name="grows">True to let it grow.</param>
    /// <param name="atPeak">True to let only its resonances grow.</param>
    /// <param name="rateHz">Frames a second.</param>
    /// <param name="throttle">True when the log has a throttle channel.</param>
    public static DrivenLevel Make(int seed, bool grows, bool atPeak, double rateHz = 20, bool throttle = true)
    {
        var made = new DrivenLevel(seed);
        made.Drive(grows, atPeak, rateHz, throttle);
        return made;
    }

    private void Drive(bool grows, bool atPeak, double rateHz, bool hasThrottle)
    {
        double lengthS = Range(360, 900);
        double redline = Range(6500, 8500);
        double floor = Range(0.2, 0.6), slope = Range(1.5, 4), load = Range(0, 0.35);
        (double At, double Wide, double High)[] peaks = [.. Enumerable.Range(0, _random.Next(1, 4)).Select(_ =>
            (Range(0.5, 0.95) * redline, Range(120, 350), Range(0.6, 3)))];
        double from = lengthS * Range(0.3, 0.45), by = Range(0.8, 2.5);
        double lateS = Range(0, 0.1), speedLateS = Range(0, 0.1);
        double kerbsPerS = Range(0.02, 0.1);
        if (grows) GrowsFromS = from;

        const double Step = 0.01;
        int count = (int)(lengthS / Step);
        var rpm = new double[count];
        var throttle = new double[count];
        var level = new double[count];
        double speed = 0.45 * redline, holdS = 0, noise = 0, kerbS = 0, kerbG = 0, above = 0, pace = 0.75;
        int phase = 0;
        double slopeRpm = 0;
        for (int i = 0; i < count; i++)
        {
            double t = i * Step;
            pace = Math.Min(1, 0.75 + (0.25 * t / 90));           // the first laps are easier
            if (holdS <= 0)
            {
                phase = (phase + 1) % 4;
                holdS = phase switch { 0 => Range(1.5, 5), 1 => 0.15, 2 => Range(0.8, 2.5), _ => Range(0.8, 3) };
                slopeRpm = phase switch { 0 => pace * Range(300, 1800), 1 => -8000, 2 => -Range(700, 1800), _ => Range(-200, 200) };
            }
            holdS -= Step;
            speed += slopeRpm * Step;
            if (speed > 0.97 * redline) { phase = 0; holdS = 0; speed = 0.97 * redline; }
            if (speed < 0.38 * redline) { holdS = 0; phase = 3; speed = 0.38 * redline; }
            rpm[i] = speed;
            throttle[i] = phase switch { 0 => 100 * pace, 3 => 45 + (20 * Math.Sin(t)), _ => 0 };

            double share = speed / redline;
            double grown = grows && t > from ? by * (t - from) / (lengthS - from) : 0;
            double healthy = Level(0), true_ = Level(grown);
            if (true_ >= 1.5 * healthy)
            {
                above += Step;
                _aboveAt.Add(t);
                if (above >= 0.5 && double.IsNaN(PassedS)) PassedS = t;
            }
            noise += ((Normal() * 0.06) - noise) * 0.1 * 2.5;
            if (kerbS <= 0 && _random.NextDouble() < kerbsPerS * Step) (kerbS, kerbG) = (Range(0.05, 0.2), Range(0.2, 1));
            kerbS -= Step;
            level[i] = (true_ * (1 + (load * throttle[i] / 100)) * Math.Max(0.3, 1 + noise)) + (kerbS > 0 ? kerbG : 0);

            double Level(double growth)
            {
                double sum = floor + (slope * share * share * (atPeak ? 1 : 1 + growth));
                foreach ((double at, double wide, double high) in peaks)
                    sum += high * Math.Exp(-0.5 * Math.Pow((speed - at) / wide, 2)) * (atPeak ? 1 + (2 * growth) : 1);
                return sum;
            }
        }
        int every = (int)(1 / rateHz / Step);
        for (int i = 50; i < count; i += every)
        {
            int levelAt = i - (int)(lateS / Step), speedAt = i - (int)(speedLateS / Step);
            var frame = new EngineFrame(LogTime.FromSeconds(i * Step)) { Fresh = 1u << (int)Role.Vibration, LapNumber = 1 + (i / 9000) };
            frame[Role.Vibration] = Math.Max(0, Math.Round((level[levelAt] + (0.05 * Normal())) / 0.01) * 0.01);
            frame[Role.EngineSpeed] = rpm[speedAt] + (8 * Normal());
            if (hasThrottle) frame[Role.Throttle] = throttle[i];
            Frames.Add(frame);
        }
    }

    private double Range(double low, double high) => low + ((high - low) * _random.NextDouble());

    private double Normal() => Math.Sqrt(-2 * Math.Log(1 - _random.NextDouble())) * Math.Cos(2 * Math.PI * _random.NextDouble());
}
