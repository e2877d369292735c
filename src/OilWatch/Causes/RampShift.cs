using OilWatch.Pressure;

namespace OilWatch.Causes;

/// <summary>How pressure with the relief valve shut went from one run to a later one, by engine speed and by how thick the oil was; without any model of the oil system.</summary>
/// <remarks>
/// Thinner oil does what hotter oil does, and the earlier run shows in its warm-up what that is at each speed and thickness: e, the power of thickness there against that at 2000 rpm and 100 °C. So regions of like speed and
/// thickness of both runs are held against each other, and the logarithm of later over earlier is a · e + b ln(n / 2000) + c ln(thickness). Thinner oil leaves b and c near zero (fuel and other grades take
/// more from cold oil, if anything). Clearances that have grown take most where little is delivered and the oil is thin: at hot idle (common practice, no source: clearances that are laminar throughout
/// and grow alike would leave b and c at zero as well, and then both remain). A valve that stands partly open takes most at low speed too, and more from cold oil, which finds no other way.
/// </remarks>
/// <param name="Level">The logarithm at 2000 rpm and the viscosity of 100 °C.</param>
/// <param name="LevelSigma">Standard error of that.</param>
/// <param name="BySpeed">Its slope against the logarithm of engine speed.</param>
/// <param name="BySpeedSigma">Standard error of that.</param>
/// <param name="ByThickness">Its slope against the logarithm of the thickness.</param>
/// <param name="ByThicknessSigma">Standard error of that.</param>
internal sealed record RampShift(double Level, double LevelSigma, double BySpeed, double BySpeedSigma, double ByThickness, double ByThicknessSigma)
{
    private const double GrownBySpeed = 0.05;          // wear reads 0.07 to 0.21, thinner oil mostly at most 0.03
    private const double GrownWithinRun = 0.12;
    private const double SurelyGrown = 0.02;           // two standard errors below that
    private const double GrownByThickness = 0.1;       // wear 0.12 to 0.23
    private const double SurelyByThickness = 0.05;
    private const double LargestByThickness = 0.3;     // more than that came while the oil warmed up
    private const double KnownThickness = 0.05;
    private const double HardlyKnownThickness = 0.2;   // two hot runs say nothing of cold oil
    private const double EvenBySpeed = 0.04;
    private const double EvenByThickness = 0.08;
    private const double GrownBySpeedShare = 0.2;      // the same against all that was lost: what e has wrong grows with that; wear 0.26 to 0.40, thinner oil 0.09
    private const double GrownByThicknessShare = 0.24; // wear mostly 0.25 to 0.60, thinner oil mostly at most 0.19
    private const double LeastBySpeed = -0.06;         // under it e was taken too strong, and c with it
    private const double EvenBySpeedShare = 0.1;
    private const double EvenByThicknessShare = 0.2;
    private const double HoleBySpeed = 0.25;           // a valve that stands partly open: 0.28 and more, and 0.18 where it stands open by little
    private const double HoleByThickness = 0;          // hot oil passes clearances besides, cold oil finds the hole alone
    private const double MaybeHoleBySpeed = 0.14;
    private const double MaybeHoleByThickness = -0.05;
    private const double LowLevel = -0.15;             // of the logarithm: 0.86
    private const int Terms = 3;
    private const double UsualSpeedPower = 0.85;       // takes off what the two regions differ in speed and thickness; common practice, no source
    private const double SpeedPowerSigma = 0.2;
    private const double UsualThicknessPower = 0.7;
    private const double ThicknessPowerSigma = 0.15;
    private const double Thickest = 3;                 // about 60 °C: what the filter takes of colder oil opens the valve early, and hides a loss of any kind
    private const double ThickestBefore = 5;
    private const double PowerBend = 0.15;
    private const double LeastPower = 0.2;
    private const double LeastAnswer = 0.4;
    private const double MostAnswer = 1.6;
    private const double ReferenceKpa = 200;
    private const double LargestSigma = 0.12;
    private const double ShutShare = 0.88;             // of the plateau
    private const double PlateauQuantile = 0.9;
    private const double LeastKpa = 15;
    private const double LeastSigma = 0.03;            // no two days are more alike
    private const double FarSigma = 3;
    private const int LeastPairs = 6;
    private const int Rounds = 8;
    private const double ReferenceRpm = 2000;

    /// <summary>True where it is known.</summary>
    public bool IsKnown => double.IsFinite(Level);

    /// <summary>Later over earlier at an engine speed, rpm, and a thickness against 100 °C.</summary>
    public double Ratio(double speedRpm, double thickness) => Math.Exp(Level + (BySpeed * Math.Log(speedRpm / ReferenceRpm)) + (ByThickness * Math.Log(thickness)));

    /// <summary>True where pressure is surely lower.</summary>
    public bool IsLow => Level + (2 * LevelSigma) <= LowLevel;

    /// <summary>True where a valve that stands partly open is what takes most at low speed, in cold oil as well.</summary>
    public bool IsHole => BySpeed >= HoleBySpeed && ByThickness <= HoleByThickness;

    /// <summary>True where more is lost at low speed than thinner oil takes, or in hot oil than in cold: clearances that have grown.</summary>
    public bool IsGrown => (BySpeed < HoleBySpeed || ByThickness - ByThicknessSigma > HoleByThickness) && !MayBeHole
        && ((BySpeed >= Math.Max(GrownBySpeed, GrownBySpeedShare * -Level) && BySpeed - (2 * BySpeedSigma) >= SurelyGrown)
            || (BySpeed >= LeastBySpeed && ByThickness >= Math.Max(GrownByThickness, GrownByThicknessShare * -Level) && ByThickness <= LargestByThickness && ByThicknessSigma <= KnownThickness && ByThickness - (1.5 * ByThicknessSigma) >= SurelyByThickness));

    /// <summary>True where the same share is lost at every speed and no less in cold oil, as far as that is known.</summary>
    public bool IsEven => BySpeed <= Math.Max(EvenBySpeed, EvenBySpeedShare * -Level) && !(ByThickness > Math.Max(EvenByThickness, EvenByThicknessShare * -Level) && ByThickness <= LargestByThickness && ByThicknessSigma <= HardlyKnownThickness);

    /// <summary>True where it is even, and no less is lost at low speed either: less is what is left over where e was taken too strong.</summary>
    public bool IsEvenEitherWay => IsEven && BySpeed >= LeastBySpeed;

    /// <summary>True where clearances have grown, between two parts of one run: what fades while the oil gets hotter leaves up to 0.11 of speed.</summary>
    public bool IsGrownWithinRun => IsGrown && BySpeed >= GrownWithinRun;

    /// <summary>True where it may be such a valve, or clearances that have grown.</summary>
    public bool MayBeHole => BySpeed >= MaybeHoleBySpeed && ByThickness + ByThicknessSigma <= MaybeHoleByThickness;

    /// <summary>Nothing known.</summary>
    public static RampShift Unknown { get; } = new(double.NaN, double.NaN, double.NaN, double.NaN, double.NaN, double.NaN);

    /// <summary>Compares two runs.</summary>
    /// <param name="earlier">What the earlier one showed.</param>
    /// <param name="later">What the later one showed.</param>
    /// <param name="fromS">Where the part of the later one begins that counts, s of its log time.</param>
    public static RampShift Between(PressureMap earlier, PressureMap later, double fromS = double.NegativeInfinity) => Between(earlier.CellsOfAnyLoad(), later.CellsOfAnyLoad(fromS));

    /// <summary>Compares two runs, or two parts of one.</summary>
    public static RampShift Between(PressureMap.Cell[] before, PressureMap.Cell[] after)
    {
        if (before.Length == 0) return Unknown;
        double plateau = Robust.Quantile([.. before.Select(cell => cell.PressureKpa)], PlateauQuantile), shut = ShutShare * plateau;
        var pairs = new List<(double Off, double Speed, double Thickness, double Sigma)>();
        foreach (PressureMap.Cell late in after)
        {
            (double Off, double Speed, double Thickness, double Sigma) best = (0, 0, 0, double.PositiveInfinity);
            if (!(late.PressureKpa > LeastKpa && late.PressureKpa < shut && late.Thickness < Thickest)) continue;
            foreach (PressureMap.Cell early in before)
            {
                if (!(early.PressureKpa > LeastKpa && early.PressureKpa < shut)) continue;
                double faster = Math.Log(late.SpeedRpm / early.SpeedRpm), thicker = Math.Log(late.Thickness / early.Thickness);
                double sigma = Math.Sqrt(Math.Pow(late.SigmaKpa / late.PressureKpa, 2) + Math.Pow(early.SigmaKpa / early.PressureKpa, 2)
                    + Math.Pow(SpeedPowerSigma * faster, 2) + Math.Pow(ThicknessPowerSigma * thicker, 2) + (LeastSigma * LeastSigma));
                if (sigma < best.Sigma) best = (Math.Log(late.PressureKpa / early.PressureKpa) - (UsualSpeedPower * faster) - (UsualThicknessPower * thicker), Math.Log(late.SpeedRpm / ReferenceRpm), Math.Log(late.Thickness), sigma);
            }
            if (best.Sigma < LargestSigma) pairs.Add(best);
        }
        return pairs.Count < LeastPairs || Sensitivity(before, shut) is not { } thinning ? Unknown : Fit(pairs, thinning);
    }

    /// <summary>How pressure answers to the thickness of the oil, as the earlier run shows it in its warm-up: its power, and how that changes with speed and thickness. Null where it does not show it.</summary>
    private static double[]? Sensitivity(PressureMap.Cell[] cells, double shut)
    {
        const int Shape = 6;
        var normal = new double[Shape, Shape];
        var sides = new double[Shape];
        ReadOnlySpan<double> usual = [0, UsualSpeedPower, UsualThicknessPower, 0, 0, 0], spread = [10, 0.3, 0.3, PowerBend, PowerBend, PowerBend];
        for (int i = 0; i < Shape; i++)
        {
            normal[i, i] = 1 / (spread[i] * spread[i]);
            sides[i] = usual[i] * normal[i, i];
        }
        foreach (PressureMap.Cell cell in cells)
        {
            if (!(cell.PressureKpa > LeastKpa && cell.PressureKpa < shut && cell.Thickness < ThickestBefore)) continue;
            double speed = Math.Log(cell.SpeedRpm / ReferenceRpm), thickness = Math.Log(cell.Thickness);
            double weight = 1 / (Math.Pow(cell.SigmaKpa / cell.PressureKpa, 2) + (LeastSigma * LeastSigma));
            ReadOnlySpan<double> terms = [1, speed, thickness, speed * thickness, thickness * thickness, speed * speed];
            for (int i = 0; i < Shape; i++)
            {
                sides[i] += weight * terms[i] * Math.Log(cell.PressureKpa / ReferenceKpa);
                for (int j = 0; j < Shape; j++) normal[i, j] += weight * terms[i] * terms[j];
            }
        }
        return NormalEquations.Solve(normal, sides, 0) is { } found && found[2] > LeastPower ? found : null;
    }

    /// <summary>Weighted least squares with Cauchy's weights, renewed at each round.</summary>
    private static RampShift Fit(List<(double Off, double Speed, double Thickness, double Sigma)> pairs, double[] power)
    {
        double[] at = new double[Terms];
        double[,] normal = new double[Terms, Terms];
        for (int round = 0; round < Rounds; round++)
        {
            normal = new double[Terms, Terms];
            // A speed or a thickness that hardly varied says nothing of its slope.
            for (int i = 1; i < Terms; i++) normal[i, i] = 1;
            var sides = new double[Terms];
            foreach ((double off, double speed, double thickness, double sigma) in pairs)
            {
                double thinner = Math.Clamp(1 + (((power[3] * speed) + (2 * power[4] * thickness)) / power[2]), LeastAnswer, MostAnswer);
                double apart = (off - (at[0] * thinner) - (at[1] * speed) - (at[2] * thickness)) / sigma;
                double weight = 1 / ((1 + (round == 0 ? 0 : apart * apart / (FarSigma * FarSigma))) * sigma * sigma);
                ReadOnlySpan<double> terms = [thinner, speed, thickness];
                for (int i = 0; i < Terms; i++)
                {
                    sides[i] += weight * terms[i] * off;
                    for (int j = 0; j < Terms; j++) normal[i, j] += weight * terms[i] * terms[j];
                }
            }
            if (NormalEquations.Solve(normal, sides, 0) is not { } found) return Unknown;
            at = found;
        }
        return new RampShift(at[0], SigmaOf(normal, 0), at[1], SigmaOf(normal, 1), at[2], SigmaOf(normal, 2));
    }

    private static double SigmaOf(double[,] normal, int term)
    {
        var one = new double[Terms];
        one[term] = 1;
        return NormalEquations.Solve(normal, one, 0) is { } column ? Math.Sqrt(column[term]) : double.NaN;
    }
}
