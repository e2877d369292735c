using System.Collections.Immutable;

namespace OilWatch.Vibration;

/// <summary>Order levels by engine speed, and the order spectrum of the whole run. Size does not grow with the run.</summary>
public sealed class OrderTable
{
    /// <summary>Width of a step of engine speed, rpm.</summary>
    public const double StepRpm = 100;

    /// <summary>How many steps there are: up to 16,000 rpm.</summary>
    public const int Steps = 160;

    private const int LinesReach = 2;                 // a line under a Hann window lies within two bins either side
    private const int Line = (2 * LinesReach) + 1;
    private const double SteadyShare = 0.06;          // speed may move this much within a window that is put under one speed
    private readonly double[] _power = new double[Steps * EngineOrders.Count];
    private readonly double[] _noise = new double[Steps * EngineOrders.Count];
    private readonly int[] _windows = new int[Steps * EngineOrders.Count];
    private readonly double[] _spectrum = new double[OrderTracker.Bins];
    private readonly int[] _spectrumWindows = new int[OrderTracker.Bins];

    /// <summary>Windows of sixteen revolutions taken.</summary>
    public long Windows { get; private set; }

    /// <summary>Windows that were not put under an engine speed, because it moved too much in them.</summary>
    public long Unsteady { get; private set; }

    internal static int BinOf(double order) => (int)Math.Round(order * OrderTracker.Revolutions);

    internal void Add(ReadOnlySpan<float> power, in OrderWindow window)
    {
        Windows += window.Windows;
        int highest = Math.Min((int)(window.HighestOrder * OrderTracker.Revolutions), OrderTracker.Bins - 1);
        for (int bin = 0; bin <= highest; bin++)
        {
            _spectrum[bin] += power[bin];
            _spectrumWindows[bin] += window.Windows;
        }
        int row = (int)Math.Round(window.SpeedRpm / StepRpm);
        if (window.HighestRpm - window.LowestRpm > Math.Max(SteadyShare * window.SpeedRpm, 2 * StepRpm) || row is < 0 or >= Steps)
        {
            Unsteady += window.Windows;
            return;
        }
        for (int order = 0; order < EngineOrders.Count; order++)
        {
            int centre = BinOf(EngineOrders.OrderOf(order));
            if (centre + LinesReach > highest) return;
            double line = 0;
            for (int bin = centre - LinesReach; bin <= centre + LinesReach; bin++) line += power[bin];
            double noise = Line * Floor(power, centre);
            int place = (row * EngineOrders.Count) + order;
            _power[place] += line - noise;
            _noise[place] += noise;
            _windows[place] += window.Windows;
        }
    }

    /// <summary>RMS of an order at an engine speed, g; NaN where fewer than <paramref name="least"/> windows were seen.</summary>
    /// <param name="order">Index of the order: 0 is 0.5, 15 is 8.</param>
    /// <param name="step">Index of the engine speed: its middle is <c>step · StepRpm</c>.</param>
    /// <param name="least">The fewest windows that count.</param>
    public double RmsG(int order, int step, int least = 1)
    {
        int place = (step * EngineOrders.Count) + order;
        return _windows[place] < least ? double.NaN : Math.Sqrt(Math.Max(0, _power[place] / _windows[place]));
    }

    /// <summary>RMS of the noise under an order at an engine speed, g, which is taken off its level.</summary>
    internal double NoiseG(int order, int step)
    {
        int place = (step * EngineOrders.Count) + order;
        return Math.Sqrt(_noise[place] / _windows[place]);
    }

    /// <summary>The levels of the orders 0.5 to 8; an order that the waveform's rate does not reach is left out.</summary>
    /// <param name="named">Names for them.</param>
    public ImmutableArray<OrderLevel> Levels(ImmutableArray<NamedOrder> named)
    {
        var levels = ImmutableArray.CreateBuilder<OrderLevel>();
        double[] spectrum = Spectrum();
        for (int order = 0; order < EngineOrders.Count; order++)
        {
            double number = EngineOrders.OrderOf(order);
            int centre = BinOf(number);
            if (_spectrumWindows[centre + LinesReach] == 0) break;
            (double peak, double at) = (double.NaN, double.NaN);
            for (int step = 0; step < Steps; step++)
            {
                double level = RmsG(order, step, 4);
                if (level > peak || (double.IsNaN(peak) && !double.IsNaN(level))) (peak, at) = (level, step * StepRpm);
            }
            levels.Add(new OrderLevel(number, EngineOrders.NameOf(number, named), LineRms(spectrum, centre), peak, at));
        }
        return levels.ToImmutable();
    }

    /// <summary>Lines of the order spectrum that stand out of what lies around them, strongest first, at most thirty-two.</summary>
    public ImmutableArray<OrderPeak> Peaks()
    {
        double[] spectrum = Spectrum();
        var peaks = new List<OrderPeak>();
        for (int bin = 4; bin + 4 < spectrum.Length; bin++)
        {
            if (_spectrumWindows[bin + 4] == 0) break;
            if (spectrum[bin] < spectrum[bin - 1] || spectrum[bin] <= spectrum[bin + 1]) continue;
            if (spectrum[bin] < 8 * Floor(spectrum, bin)) continue;
            peaks.Add(new OrderPeak(Place(spectrum, bin) / OrderTracker.Revolutions, LineRms(spectrum, bin)));
        }
        peaks.Sort((one, other) => other.RmsG.CompareTo(one.RmsG));
        double least = peaks.Count == 0 ? 0 : 1e-3 * peaks[0].RmsG;     // single precision leaves ripples 80 dB down
        return [.. peaks.Where(peak => peak.RmsG >= least).Take(32)];
    }

    /// <summary>Mean square a bin, g², of the whole run; bin b is order b / 16. NaN where the waveform's rate does not reach.</summary>
    public double[] Spectrum()
    {
        var spectrum = new double[_spectrum.Length];
        for (int bin = 0; bin < spectrum.Length; bin++)
            spectrum[bin] = _spectrumWindows[bin] == 0 ? double.NaN : _spectrum[bin] / _spectrumWindows[bin];
        return spectrum;
    }

    private static double LineRms(double[] spectrum, int centre)
    {
        double line = 0;
        for (int bin = centre - LinesReach; bin <= centre + LinesReach; bin++) line += spectrum[bin];
        return Math.Sqrt(Math.Max(0, line - (Line * Floor(spectrum, centre))));
    }

    /// <summary>Where a line lies between bins: for a Hann window (2α − 1)/(α + 1) bins from the higher neighbour's side, α the ratio of the amplitudes.</summary>
    /// <remarks>Source: T. Grandke, IEEE Trans. Instrum. Meas. 32 (1983) 350.</remarks>
    private static double Place(double[] spectrum, int bin)
    {
        bool right = spectrum[bin + 1] > spectrum[bin - 1];
        double floor = Floor(spectrum, bin);
        double top = Math.Sqrt(Math.Max(spectrum[bin] - floor, 0));
        double side = Math.Sqrt(Math.Max(spectrum[right ? bin + 1 : bin - 1] - floor, 0));
        double alpha = top > 0 ? side / top : 0.5;
        double shift = Math.Clamp(((2 * alpha) - 1) / (alpha + 1), 0, 0.5);
        return right ? bin + shift : bin - shift;
    }

    /// <summary>Noise a bin beside a line: the middle of the four bins just outside it, so that a neighbouring line does not count.</summary>
    private static double Floor(ReadOnlySpan<double> spectrum, int centre) =>
        Middle(spectrum[centre - 4], spectrum[centre - 3], spectrum[centre + 3], spectrum[centre + 4]);

    private static double Floor(ReadOnlySpan<float> power, int centre) =>
        Middle(power[centre - 4], power[centre - 3], power[centre + 3], power[centre + 4]);

    private static double Middle(double a, double b, double c, double d)
    {
        double low = Math.Max(Math.Min(a, b), Math.Min(c, d));
        double high = Math.Min(Math.Max(a, b), Math.Max(c, d));
        return 0.5 * (low + high);
    }
}
