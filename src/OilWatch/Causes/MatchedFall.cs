namespace OilWatch.Causes;

/// <summary>How pressure went within one run between regions of like engine speed and oil temperature, before and after an instant: without anything that was learned from the run as healthy, which may have learned the fall as well.</summary>
/// <param name="UntilS">End of the earlier part, s of log time; NaN where the run does not show a fall.</param>
/// <param name="FromS">Begin of the later part: as late as the fall takes.</param>
/// <param name="Level">Mean of the logarithm of after over before.</param>
/// <param name="Sigma">How far that is from nothing, in standard errors.</param>
/// <param name="Regions">Regions that both parts have.</param>
internal readonly record struct MatchedFall(double UntilS, double FromS, double Level, double Sigma, int Regions)
{
    /// <summary>The logarithm from which on a fall counts.</summary>
    public const double SureLevel = -0.08;

    private const double SureSigma = 4;
    private const double ApartS = 15;                  // a change is dated to a stretch of the run, and may take ten seconds
    private const double LikeRpm = 300;
    private const double LikeThickness = 0.2;          // of the logarithm: six degrees
    private const double SpeedPower = 0.6;             // takes off what the two regions differ; common practice, no source
    private const double SpeedPowerSigma = 0.4;
    private const double ThicknessPower = 0.5;
    private const double ThicknessPowerSigma = 0.3;
    private const double LeastSigma = 0.03;
    private const double LeastKpa = 15;
    private const double CommonSigma = 0.02;           // what all regions have in common: the thermometer lags behind the oil in the bearings
    private const double FarSigma = 3;
    private const int LeastRegions = 6;
    private const int Rounds = 4;
    private const int Parts = 48;
    private const double LeastMore = 0.02;
    private const double StillSure = 0.6;
    private static readonly double[] Apart = [60, 120, 180, 240];

    /// <summary>How it went with the relief valve shut, by engine speed and thickness of the oil.</summary>
    public RampShift Shift { get; init; } = RampShift.Unknown;

    /// <summary>Between the two parts, s of log time.</summary>
    public double AtS => 0.5 * (UntilS + FromS);

    /// <summary>True where pressure surely fell.</summary>
    public bool IsSure => Level <= SureLevel && Sigma >= SureSigma;

    /// <summary>Not known.</summary>
    public static MatchedFall Unknown { get; } = new(double.NaN, double.NaN, double.NaN, double.NaN, 0);

    /// <summary>Looks for the instant in a run.</summary>
    /// <param name="map">The run.</param>
    /// <param name="anyLoad">False where loads took pressure: then calm running alone counts.</param>
    public static MatchedFall Of(PressureMap map, bool anyLoad = true)
    {
        (double fromS, double toS) = map.Span;
        double step = Math.Max(map.StretchS, (toS - fromS) / Parts);
        MatchedFall surest = Unknown;
        for (double atS = fromS + (2 * step); atS < toS - (2 * step); atS += step)
        {
            MatchedFall here = At(map, atS, atS, anyLoad);
            if (here.Level < 0 && !(here.Sigma <= surest.Sigma)) surest = here;
        }
        if (!surest.IsSure) return surest;
        // What fades takes minutes: the parts are moved apart for as long as that shows more of it.
        MatchedFall whole = surest;
        foreach (double apartS in Apart)
        {
            for (int side = -1; side <= 1; side++)
            {
                double middleS = surest.AtS + (0.5 * side * apartS);
                MatchedFall here = At(map, middleS - (0.5 * apartS), middleS + (0.5 * apartS), anyLoad);
                if (here.Level < whole.Level - LeastMore && here.Sigma >= StillSure * surest.Sigma) whole = here;
            }
        }
        return whole with { Shift = RampShift.Between(Cells(map, double.NegativeInfinity, whole.UntilS - ApartS, anyLoad), Cells(map, whole.FromS + ApartS, double.PositiveInfinity, anyLoad)) };
    }

    /// <summary>Holds two parts of a run against each other.</summary>
    /// <param name="map">The run.</param>
    /// <param name="untilS">End of the first, less some seconds.</param>
    /// <param name="fromS">Begin of the second, and some seconds.</param>
    /// <param name="anyLoad">False for calm running alone.</param>
    private static MatchedFall At(PressureMap map, double untilS, double fromS, bool anyLoad)
    {
        PressureMap.Cell[] before = Cells(map, double.NegativeInfinity, untilS - ApartS, anyLoad), after = Cells(map, fromS + ApartS, double.PositiveInfinity, anyLoad);
        var off = new List<(double Off, double Sigma)>();
        foreach (PressureMap.Cell late in after)
        {
            if (!(late.PressureKpa > LeastKpa)) continue;
            (double Off, double Sigma) best = (0, double.PositiveInfinity);
            foreach (PressureMap.Cell early in before)
            {
                if (!(early.PressureKpa > LeastKpa) || Math.Abs(late.SpeedRpm - early.SpeedRpm) > LikeRpm) continue;
                double thicker = Math.Log(late.Thickness / early.Thickness);
                if (Math.Abs(thicker) > LikeThickness) continue;
                double faster = Math.Log(late.SpeedRpm / early.SpeedRpm);
                double sigma = Math.Sqrt(Math.Pow(late.SigmaKpa / late.PressureKpa, 2) + Math.Pow(early.SigmaKpa / early.PressureKpa, 2)
                    + Math.Pow(SpeedPowerSigma * faster, 2) + Math.Pow(ThicknessPowerSigma * thicker, 2) + (LeastSigma * LeastSigma));
                if (sigma < best.Sigma) best = (Math.Log(late.PressureKpa / early.PressureKpa) - (SpeedPower * faster) - (ThicknessPower * thicker), sigma);
            }
            if (double.IsFinite(best.Sigma)) off.Add(best);
        }
        if (off.Count < LeastRegions) return Unknown;
        double level = 0, weight = 0;
        for (int round = 0; round < Rounds; round++)
        {
            double sum = 0;
            weight = 0;
            foreach ((double one, double sigma) in off)
            {
                double apart = round == 0 ? 0 : (one - level) / sigma;
                double counts = 1 / ((1 + (apart * apart / (FarSigma * FarSigma))) * sigma * sigma);
                sum += counts * one;
                weight += counts;
            }
            level = sum / weight;
        }
        return new MatchedFall(untilS, fromS, level, Math.Abs(level) / Math.Sqrt((1 / weight) + (CommonSigma * CommonSigma)), off.Count);
    }

    private static PressureMap.Cell[] Cells(PressureMap map, double fromS, double toS, bool anyLoad) =>
        anyLoad ? map.CellsOfAnyLoad(fromS, toS) : [.. map.IdleCells(fromS, toS), .. map.Cells(fromS, toS)];
}
