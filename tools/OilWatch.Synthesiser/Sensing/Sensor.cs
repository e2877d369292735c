using OilWatch.Synthesiser.Maths;

namespace OilWatch.Synthesiser.Sensing;

/// <summary>What a sensor and its logger make of a true series.</summary>
public sealed record Sensor
{
    /// <summary>Smallest value it can give, role unit.</summary>
    public required double From { get; init; }

    /// <summary>Largest value it can give, role unit.</summary>
    public required double To { get; init; }

    /// <summary>White noise, one standard deviation, role unit.</summary>
    public double Noise { get; init; }

    /// <summary>Constant error, role unit.</summary>
    public double Bias { get; init; }

    /// <summary>How late its readings are, s.</summary>
    public double LatencyS { get; init; }

    /// <summary>Step of its readings, role unit, &gt; 0.</summary>
    public required double Quantum { get; init; }

    /// <summary>Readings a second.</summary>
    public required double RateHz { get; init; }

    /// <summary>Samples a true series.</summary>
    /// <param name="role">The role's key.</param>
    /// <param name="spelling">Name and unit in the log.</param>
    /// <param name="series">True values in the role's unit.</param>
    /// <param name="stepS">Step of <paramref name="series"/>, s.</param>
    /// <param name="random">Where the noise comes from.</param>
    public SampledChannel Sample(string role, Spelling spelling, double[] series, double stepS, SeededRandom random)
    {
        int count = (int)(series.Length * stepS * RateHz);
        double[] times = new double[count];
        double[] values = new double[count];
        double quantum = Quantum / Math.Abs(spelling.Scale);
        for (int k = 0; k < count; k++)
        {
            times[k] = k / RateHz;
            double place = Math.Clamp((times[k] - LatencyS) / stepS, 0, series.Length - 1);
            int below = (int)place;
            int above = Math.Min(below + 1, series.Length - 1);
            double measured = series[below] + ((series[above] - series[below]) * (place - below)) + Bias + (Noise * random.Normal());
            double logged = (Math.Clamp(measured, From, To) - spelling.Offset) / spelling.Scale;
            values[k] = Math.Round(logged / quantum) * quantum;
        }

        return new SampledChannel(role, spelling.Name, spelling.Unit, spelling.Scale, spelling.Offset, RateHz, quantum, times, [.. times], values);
    }
}
