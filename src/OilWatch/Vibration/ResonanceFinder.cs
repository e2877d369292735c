using System.Collections.Immutable;

namespace OilWatch.Vibration;

/// <summary>Finds resonances in order levels over engine speed: peaks of several orders that lie at one frequency.</summary>
/// <remarks>
/// An order line rises where its frequency, order · rpm / 60, is a natural frequency (the crossings of a Campbell diagram). A peak of one order alone counts only where it is
/// prominent. The level that an order is driven by may itself rise with speed; the peak then lies a little above the natural frequency.
/// </remarks>
public static class ResonanceFinder
{
    private const int Most = 12;
    private const int LeastWindows = 2;
    private const double LeastRise = 1.5;              // over the lower of its two sides' lowest points
    private const double AloneRise = 2.5;              // where no second order agrees
    private const double SameShare = 0.04;             // peaks this close in frequency are one resonance
    private const double LeastShare = 0.03;            // of the strongest level of all
    private const double OverNoise = 1.5;              // what is left of a line that was not there is less than the noise under it
    private const int Reach = 15;                      // steps on either side in which the sides' lowest points are looked for

    /// <summary>Finds the resonances, strongest first, at most twelve.</summary>
    /// <param name="table">Order levels over engine speed.</param>
    /// <param name="named">Names of the orders.</param>
    public static ImmutableArray<Resonance> Find(OrderTable table, ImmutableArray<NamedOrder> named)
    {
        ArgumentNullException.ThrowIfNull(table);
        var peaks = new List<(ResonanceCrossing Crossing, double FrequencyHz, double WidthHz)>();
        var levels = new double[OrderTable.Steps];
        double strongest = 0;
        for (int order = 0; order < EngineOrders.Count; order++)
        {
            Smooth(table, order, levels);
            foreach (double level in levels) strongest = level > strongest ? level : strongest;
            for (int step = 1; step + 1 < levels.Length; step++)
            {
                if (!(levels[step] >= levels[step - 1] && levels[step] > levels[step + 1])) continue;
                double rise = Math.Min(Side(levels, step, -1), Side(levels, step, 1));
                if (!(rise >= LeastRise) || levels[step] < OverNoise * table.NoiseG(order, step)) continue;
                double number = EngineOrders.OrderOf(order);
                double place = step + Vertex(levels[step - 1], levels[step], levels[step + 1]);
                double rpm = place * OrderTable.StepRpm;
                double width = (Half(levels, step, 1) - Half(levels, step, -1)) * OrderTable.StepRpm * number / 60;
                peaks.Add((new(number, EngineOrders.NameOf(number, named), rpm, levels[step], rise), EngineOrders.FrequencyHz(number, rpm), width));
            }
        }
        peaks.RemoveAll(peak => peak.Crossing.RmsG < LeastShare * strongest);
        peaks.Sort((one, other) => other.Crossing.RmsG.CompareTo(one.Crossing.RmsG));
        var found = ImmutableArray.CreateBuilder<Resonance>();
        while (peaks.Count > 0 && found.Count < Most)
        {
            double centre = peaks[0].FrequencyHz;
            double widthHz = peaks[0].WidthHz;
            // A step of engine speed is a wider step of frequency for a high order: that much may two orders differ.
            var same = peaks.FindAll(peak =>
                Math.Abs(peak.FrequencyHz - centre) <= Math.Max(SameShare * centre, 0.5 * OrderTable.StepRpm * peak.Crossing.Order / 60));
            peaks.RemoveAll(same.Contains);
            if (same.Count == 1 && same[0].Crossing.Rise < AloneRise) continue;
            double weight = 0, sum = 0;
            foreach (var peak in same)
            {
                double w = peak.Crossing.RmsG / peak.Crossing.Order;      // a low order places a frequency best
                weight += w;
                sum += w * peak.FrequencyHz;
            }
            found.Add(new Resonance(sum / weight, [.. same.Select(peak => peak.Crossing)], widthHz));
        }
        return found.ToImmutable();
    }

    /// <summary>Levels with gaps of one step closed and a light smoothing.</summary>
    private static void Smooth(OrderTable table, int order, double[] levels)
    {
        var raw = new double[levels.Length];
        for (int step = 0; step < raw.Length; step++) raw[step] = table.RmsG(order, step, LeastWindows);
        for (int step = 1; step + 1 < raw.Length; step++)
            if (double.IsNaN(raw[step])) raw[step] = 0.5 * (raw[step - 1] + raw[step + 1]);
        raw.CopyTo(levels, 0);
        for (int step = 1; step + 1 < raw.Length; step++)
        {
            double smooth = (0.25 * raw[step - 1]) + (0.5 * raw[step]) + (0.25 * raw[step + 1]);
            if (!double.IsNaN(smooth)) levels[step] = smooth;
        }
    }

    /// <summary>How many times the lowest level on one side before a higher peak comes; NaN where that side was not seen.</summary>
    private static double Side(double[] levels, int peak, int direction)
    {
        double lowest = double.NaN;
        for (int i = 1; i <= Reach; i++)
        {
            int step = peak + (direction * i);
            if ((uint)step >= (uint)levels.Length || double.IsNaN(levels[step]) || levels[step] > levels[peak]) break;
            if (!(lowest <= levels[step])) lowest = levels[step];
        }
        return levels[peak] / lowest;
    }

    private static double Vertex(double before, double top, double after)
    {
        double bend = before - (2 * top) + after;
        return bend < 0 ? Math.Clamp(0.5 * (before - after) / bend, -0.5, 0.5) : 0;
    }

    /// <summary>Where the level crosses 0.707 of the peak on one side, in steps.</summary>
    private static double Half(double[] levels, int peak, int direction)
    {
        double half = levels[peak] * Math.Sqrt(0.5);
        for (int i = 1; i <= Reach; i++)
        {
            int step = peak + (direction * i);
            if ((uint)step >= (uint)levels.Length || double.IsNaN(levels[step])) return double.NaN;
            if (levels[step] > half) continue;
            double before = levels[step - direction];
            return step - (direction * ((half - levels[step]) / (before - levels[step])));
        }
        return double.NaN;
    }
}
