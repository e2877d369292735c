namespace OilWatch.Pressure;

/// <summary>Finds a model that has taken starved running for healthy: again and again pressure stood far above it, and nothing lifts pressure above healthy.</summary>
/// <remarks>
/// A pickup that is refilled more slowly than the pump draws starves on every straight, so that most calm readings of a speed are starved ones. The same speed with the same oil shows the healthy
/// pressure too, after a slow corner and before the reserve is used up. So of the readings of one speed and one thickness of the oil those near the highest are kept.
/// A sensor that leaps up stands above the model once, and an engine that cannot have what it once had stands below what it was.
/// </remarks>
internal static class HigherReadings
{
    private const double AboveRpm = 2500;
    private const double SettledRpmS = 2000;
    private const double HigherRatio = 1.15;
    private const double StandsS = 1;
    private const int LeastTimes = 4;
    private const double LeastShare = 0.025;
    private const double CellRpm = 250;
    private const double CellThickness = 0.12;           // of the logarithm of viscosity: about four degrees
    private const double CellS = 60;                     // where oil temperature is not known: oil grows thinner as a run goes on
    private const int LeastInCell = 12;
    private const double HighShare = 0.9;
    private const double FallsOffShare = 0.98;           // for each cell of speed: a pump that falls off in hot oil loses more only near the top
    private static readonly double ThinnerShare = Math.Exp(-CellThickness);
    private const double KeptShare = 0.88;
    private const double FarBelowShare = 0.8;
    private const double LeastFarBelow = 0.12;

    /// <summary>Share of the settled running above 2500 rpm for which pressure stood far above a model, and how often for long.</summary>
    public static (int Times, double Share) Above(ReadOnlySpan<PressureSample> samples, HealthyPressure model)
    {
        int all = 0, above = 0, times = 0;
        double since = double.NaN;
        foreach (ref readonly PressureSample sample in samples)
        {
            double speed = sample.SpeedRpm[model.Lag];
            if (!IsSettled(in sample, speed)) continue;
            all++;
            if (!(sample.PressureKpa > HigherRatio * model.Steady(speed, sample.ViscosityRatio, model.Gain!.At(sample.AtS))))
            {
                since = double.NaN;
                continue;
            }
            above++;
            if (double.IsNaN(since)) since = sample.AtS;
            if (!(sample.AtS - since >= StandsS)) continue;
            times++;
            since = double.PositiveInfinity;
        }
        return (times, (double)above / Math.Max(all, 1));
    }

    /// <summary>The readings without those far below others of the same speed and oil; null where the model need not be doubted.</summary>
    /// <param name="samples">What the run showed, in order of time.</param>
    /// <param name="model">What was fitted to it.</param>
    /// <param name="aboveShare">Share of the settled running for which pressure stood far above that.</param>
    public static PressureSample[]? Of(ReadOnlySpan<PressureSample> samples, HealthyPressure model, out double aboveShare)
    {
        (int times, aboveShare) = Above(samples, model);
        if (times < LeastTimes || aboveShare < LeastShare) return null;
        Dictionary<(int Speed, int Thickness), double> high = HealthyAtLeast(Cells(samples, model.Lag));
        var kept = new List<PressureSample>(samples.Length);
        foreach (ref readonly PressureSample sample in samples)
        {
            double speed = sample.SpeedRpm[model.Lag];
            if (speed > AboveRpm && high.TryGetValue(CellOf(in sample, speed), out double kpa) && sample.PressureKpa < KeptShare * kpa) continue;
            kept.Add(sample);
        }
        return [.. kept];
    }

    /// <summary>True when pressure of the same speed and oil stands now near its highest and now far below it: what broke would have lowered it for good.</summary>
    public static bool StandAtTwoLevels(ReadOnlySpan<PressureSample> samples, int lag)
    {
        int all = 0, below = 0;
        foreach (List<float> cell in Cells(samples, lag).Values)
        {
            if (cell.Count < LeastInCell) continue;
            cell.Sort();
            float kpa = cell[(int)(HighShare * (cell.Count - 1))];
            all += cell.Count;
            below += cell.Count(pressure => pressure < FarBelowShare * kpa);
        }
        return below > LeastFarBelow * all;
    }

    private static Dictionary<(int Speed, int Thickness), List<float>> Cells(ReadOnlySpan<PressureSample> samples, int lag)
    {
        var cells = new Dictionary<(int, int), List<float>>();
        foreach (ref readonly PressureSample sample in samples)
        {
            double speed = sample.SpeedRpm[lag];
            if (!IsSettled(in sample, speed)) continue;
            (int, int) place = CellOf(in sample, speed);
            if (!cells.TryGetValue(place, out List<float>? cell)) cells[place] = cell = [];
            cell.Add(sample.PressureKpa);
        }
        return cells;
    }

    /// <summary>What is at least healthy in each cell: more speed does not lower it by much, and thinner oil by no more than it is thinner.</summary>
    private static Dictionary<(int Speed, int Thickness), double> HealthyAtLeast(Dictionary<(int Speed, int Thickness), List<float>> cells)
    {
        var least = new Dictionary<(int, int), double>();
        // Slow before fast and thick before thin, so that each leans on those that are settled already.
        foreach ((int speed, int thickness) in cells.Keys.OrderBy(cell => cell.Speed).ThenByDescending(cell => cell.Thickness))
        {
            List<float> cell = cells[(speed, thickness)];
            cell.Sort();
            double own = cell.Count < LeastInCell ? 0 : cell[(int)(HighShare * (cell.Count - 1))];
            double slower = least.GetValueOrDefault((speed - 1, thickness)), thicker = least.GetValueOrDefault((speed, thickness + 1));
            if (Math.Max(own, Math.Max(slower * FallsOffShare, thicker * ThinnerShare)) is > 0 and var kpa) least[(speed, thickness)] = kpa;
        }
        return least;
    }

    private static bool IsSettled(in PressureSample sample, double speed) => speed > AboveRpm && Math.Abs(sample.SlopeRpmS) <= SettledRpmS;

    private static (int, int) CellOf(in PressureSample sample, double speed) =>
        ((int)(speed / CellRpm), sample.ViscosityRatio > 0 ? (int)Math.Floor(Math.Log(sample.ViscosityRatio) / CellThickness) : -(int)(sample.AtS / CellS));
}
