namespace OilWatch.Vibration;

/// <summary>How much later the vibration channel comes than engine speed: the delay at which levels of one speed agree best.</summary>
/// <remarks>A delay of a tenth of a second in a pull of 3000 rpm/s is 300 rpm, wider than a resonance.</remarks>
internal static class SpeedDelay
{
    /// <summary>The delays tried, s; below 0 engine speed is the later channel.</summary>
    public static ReadOnlySpan<double> TriedS => [0, 0.025, -0.025, 0.05, -0.05, 0.075, -0.075, 0.1, -0.1, 0.125, 0.15, 0.175, 0.2, 0.25, 0.3];

    private const double BetterShare = 0.97;           // another delay than none must fit this much better

    /// <summary>The delay that fits best, s.</summary>
    /// <param name="readings">Readings in order of time.</param>
    public static double Find(ReadOnlySpan<LevelReading> readings)
    {
        double best = 0;
        double least = double.PositiveInfinity;
        foreach (double delay in TriedS)
        {
            double scatter = Scatter(readings, delay);
            if (scatter < BetterShare * least || (best != 0 && scatter < least)) (best, least) = (delay, scatter);
        }
        return best;
    }

    /// <summary>Engine speed some time before (or after) a reading, and how fast it moves there; NaN when it is not known.</summary>
    public static (double SpeedRpm, double RpmPerS) SpeedAt(ReadOnlySpan<LevelReading> readings, int index, double delayS)
    {
        double now = Interpolated(readings, index, readings[index].At.AddSeconds(-delayS));
        double before = Interpolated(readings, index, readings[index].At.AddSeconds(-delayS - SlopeS));
        return (now, (now - before) / SlopeS);
    }

    private const double SlopeS = 0.2;

    private static double Interpolated(ReadOnlySpan<LevelReading> readings, int near, LogTime at)
    {
        int i = near;
        while (i >= 0 && readings[i].At > at) i--;
        if (i < 0) return double.NaN;
        while (i + 1 < readings.Length && readings[i + 1].At <= at) i++;
        if (readings[i].At == at) return readings[i].SpeedRpm;
        if (i + 1 >= readings.Length) return double.NaN;
        double span = readings[i + 1].At.SecondsSince(readings[i].At);
        if (span > 1) return double.NaN;
        return readings[i].SpeedRpm + ((readings[i + 1].SpeedRpm - readings[i].SpeedRpm) * (at.SecondsSince(readings[i].At) / span));
    }

    /// <summary>Variance of levels about their mean at the same speed, pooled.</summary>
    private static double Scatter(ReadOnlySpan<LevelReading> readings, double delayS)
    {
        var count = new int[LevelModel.Steps];
        var sum = new double[LevelModel.Steps];
        var squares = new double[LevelModel.Steps];
        for (int i = 0; i < readings.Length; i++)
        {
            double speed = SpeedAt(readings, i, delayS).SpeedRpm / LevelModel.StepRpm;
            if (!(speed >= 0 && speed < LevelModel.Steps)) continue;
            int step = (int)speed;
            count[step]++;
            sum[step] += readings[i].Log;
            squares[step] += readings[i].Log * readings[i].Log;
        }
        double about = 0;
        int degrees = 0;
        for (int step = 0; step < count.Length; step++)
        {
            if (count[step] < 2) continue;
            about += squares[step] - (sum[step] * sum[step] / count[step]);
            degrees += count[step] - 1;
        }
        return degrees < 20 ? double.PositiveInfinity : about / degrees;
    }
}
