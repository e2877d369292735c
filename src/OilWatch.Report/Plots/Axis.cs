using System.Collections.Immutable;
using System.Globalization;

namespace OilWatch.Report.Plots;

/// <summary>One axis of a plot: its range and the values that are written along it.</summary>
internal sealed class Axis
{
    private const int MostTicks = 16;                       // more would not fit; also bounds the loop where a step is lost in rounding
    private const double Largest = 1e15;                    // no quantity shown here is larger, and a double still counts in eighths there

    private Axis(double from, double to, double step)
    {
        From = from;
        To = to;
        int decimals = Math.Clamp((int)Math.Ceiling(-Math.Log10(step) - 1e-9), 0, 9);
        if (step * Math.Pow(10, decimals) % 1 is > 0.01 and < 0.99) decimals++;          // 0.25
        string form = string.Create(CultureInfo.InvariantCulture, $"F{decimals}");
        ImmutableArray<(double Value, string Text)>.Builder ticks = ImmutableArray.CreateBuilder<(double Value, string Text)>();
        double first = Math.Ceiling((from / step) - 1e-6);
        for (int count = 0; count < MostTicks && (first + count) * step <= to + (step * 1e-6); count++)
            ticks.Add(((first + count) * step, Tick((first + count) * step, form)));
        Ticks = ticks.ToImmutable();
    }

    /// <summary>Where it begins.</summary>
    public double From { get; }

    /// <summary>Where it ends; beyond <see cref="From"/>.</summary>
    public double To { get; }

    /// <summary>Round values inside the range, with their text.</summary>
    public ImmutableArray<(double Value, string Text)> Ticks { get; }

    /// <summary>From exactly <paramref name="low"/> to exactly <paramref name="high"/>.</summary>
    public static Axis Exactly(double low, double high, int mostTicks = 6)
    {
        (low, high) = Apart(low, high);
        return new Axis(low, high, Step(high - low, mostTicks));
    }

    /// <summary>Widened at both ends to round values.</summary>
    public static Axis Around(double low, double high, int mostTicks = 5)
    {
        (low, high) = Apart(low, high);
        double step = Step(high - low, mostTicks);
        return new Axis(Math.Floor((low / step) + 1e-6) * step, Math.Ceiling((high / step) - 1e-6) * step, step);
    }

    /// <summary>Where a value lies: 0 at the beginning, 1 at the end; values outside lie at the ends.</summary>
    public double Share(double value) => Math.Clamp((value - From) / (To - From), 0, 1);

    private static string Tick(double value, string form)
    {
        string text = (value == 0 ? 0 : value).ToString(form, CultureInfo.InvariantCulture);      // no minus before 0
        return text.StartsWith('-') ? "\u2212" + text[1..] : text;
    }

    private static (double Low, double High) Apart(double low, double high)
    {
        if (!double.IsFinite(low) || !double.IsFinite(high)) return (0, 1);
        low = Math.Clamp(low, -Largest, Largest);
        high = Math.Clamp(high, -Largest, Largest);
        double least = Math.Max(1e-6, 1e-6 * Math.Max(Math.Abs(low), Math.Abs(high)));
        return high - low >= least ? (low, high) : (low - (500 * least), low + (500 * least));
    }

    /// <summary>The smallest of 1, 2, 2.5 and 5 times a power of ten that gives at most so many steps.</summary>
    private static double Step(double range, int mostTicks)
    {
        double power = Math.Pow(10, Math.Floor(Math.Log10(range / mostTicks)));
        foreach (double step in (ReadOnlySpan<double>)[1, 2, 2.5, 5])
            if (range / (step * power) <= mostTicks + 1e-9) return step * power;
        return 10 * power;
    }
}
