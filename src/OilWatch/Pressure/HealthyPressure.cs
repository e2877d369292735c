using OilWatch.Results;

namespace OilWatch.Pressure;

/// <summary>A fitted model of healthy pressure: the curve, what it left over by engine speed, the lag, the drift and the spread.</summary>
internal sealed class HealthyPressure
{
    /// <summary>Width of a bin of <see cref="Correction"/>, rpm.</summary>
    public const double CorrectionRpm = 250;

    /// <summary>Bins of <see cref="Correction"/>: up to 16,000 rpm.</summary>
    public const int CorrectionBins = 64;

    /// <summary>Bins of <see cref="ThicknessCorrection"/>.</summary>
    public const int ThicknessBins = 40;

    private const double LeastThickness = 0.01;
    private const double ThicknessStep = 0.12;            // in the logarithm: about four degrees
    private const double UnseenSpreadShare = 0.22;       // what a fitted curve can be off by where it was never checked
    private const double UnseenBlindSpreadShare = 0.32;    // more where temperature is not known either
    private const double LeastSpreadShare = 0.012;       // a model within 1.2 % everywhere would be luck

    public required PressureCurve Curve { get; init; }

    /// <summary>Which of <see cref="SpeedLags"/> fits best.</summary>
    public int Lag { get; init; }

    /// <summary>Relative correction of the curve by engine speed: soft knees, pumps that fall off near the top.</summary>
    public double[] Correction { get; init; } = new double[CorrectionBins];

    /// <summary>Relative correction by how thick the oil is, one a bin of <see cref="ThicknessBin"/>: a relief valve that passes more hot oil, a thermometer that lags.</summary>
    public double[] ThicknessCorrection { get; init; } = new double[ThicknessBins];

    /// <summary>What is left over by both together; null before it was estimated.</summary>
    public LocalCorrection? Local { get; init; }

    /// <summary>The drift of the ramp's gain along the run.</summary>
    public GainTrack? Gain { get; set; }

    /// <summary>The warm-up that the drift is about.</summary>
    public WarmUp WarmUp { get; init; }

    /// <summary>One standard deviation of healthy frames about the model, kPa.</summary>
    public double SpreadKpa { get; init; }

    /// <summary>Lowest and highest engine speed that calm running covered, rpm.</summary>
    public double CoveredLowRpm { get; init; }

    /// <inheritdoc cref="CoveredLowRpm"/>
    public double CoveredHighRpm { get; init; } = double.PositiveInfinity;

    /// <summary>True when oil temperature is part of the model.</summary>
    public bool UsesTemperature { get; init; }

    /// <summary>Where it comes from and how good it is.</summary>
    public required BaselineSummary Summary { get; init; }

    /// <summary>Typical healthy pressure of the run, kPa.</summary>
    public double TypicalKpa { get; init; }

    /// <summary>The viscosity ratio that the curve is to be asked with.</summary>
    public double RatioOrOne(double viscosityRatio) => UsesTemperature && viscosityRatio > 0 ? viscosityRatio : 1;

    /// <summary>How thick the oil is against hot oil: by temperature where it is known, otherwise by the gain that follows the run.</summary>
    public double Thickness(double viscosityRatio, double gain) => UsesTemperature ? RatioOrOne(viscosityRatio) : gain;

    /// <summary>Healthy pressure at a lagged engine speed, kPa.</summary>
    public double Steady(double speedRpm, double viscosityRatio, double gain)
    {
        double pressure = Curve.AtPower(speedRpm, PowerOf(viscosityRatio), gain);
        double logarithm = LogarithmOf(Thickness(viscosityRatio, gain));
        return pressure * (1 + CorrectionAt(speedRpm)) * (1 + ThicknessCorrectionAt(logarithm)) * (1 + (Local?.At(speedRpm, logarithm) ?? 0));
    }

    /// <summary>How much running agreed with the model in each region of speed and viscosity; null before it was counted.</summary>
    public Evidence? Seen { get; set; }

    /// <summary>One standard deviation at an expected pressure, kPa; wider where no running has confirmed the model.</summary>
    public double SpreadAt(double expectedKpa, double speedRpm, double viscosityRatio, double gain)
    {
        double least = LeastSpreadShare * expectedKpa;
        double unseen = 0, wrong = 0;
        if (Seen is { } seen)
        {
            double logarithm = LogarithmOf(Thickness(viscosityRatio, gain));
            unseen = (UsesTemperature ? UnseenSpreadShare : UnseenBlindSpreadShare) * expectedKpa * seen.Lack(speedRpm, logarithm);
            wrong = seen.Wrong(speedRpm, logarithm) * expectedKpa;
        }
        return Math.Sqrt((SpreadKpa * SpreadKpa) + (least * least) + (unseen * unseen) + (wrong * wrong));
    }

    /// <summary>How wide the gain's filter looks, kPa: the spread, and what the gain's own uncertainty can make of pressure.</summary>
    internal double ScaleFor(double information)
    {
        double drift = TypicalKpa * Math.Sqrt(1 / information);
        return Math.Sqrt((SpreadKpa * SpreadKpa) + Math.Pow(0.02 * TypicalKpa, 2) + (0.5 * drift * drift));
    }

    /// <summary>Place of a thickness among the bins, between two of them where it is not whole.</summary>
    /// <param name="logarithm">The natural logarithm of the thickness.</param>
    public static double ThicknessBin(double logarithm) => Math.Clamp((logarithm / ThicknessStep) + 12, 0, ThicknessBins - 1.001);

    /// <summary>The natural logarithm of a thickness, remembered.</summary>
    internal double LogarithmOf(double thickness) => Logarithm.At(thickness);

    /// <summary>How much healthy pressure changes for a relative change of the ramp's gain, kPa.</summary>
    internal double GainSlope(double speedRpm, double viscosityRatio, double gain) =>
        Curve.GainSlopeAtPower(speedRpm, PowerOf(viscosityRatio), gain);

    private RememberedFunction Logarithm { get; } = new(thickness => Math.Log(thickness > LeastThickness ? thickness : LeastThickness));

    private RememberedFunction Power => field ??= new RememberedFunction(ratio => Math.Pow(ratio, Curve.ViscosityPower));

    private double PowerOf(double viscosityRatio) => Curve.ViscosityPower == 0 ? 1 : Power.At(RatioOrOne(viscosityRatio));

    private double ThicknessCorrectionAt(double logarithm) => Between(ThicknessCorrection, ThicknessBin(logarithm));

    /// <summary>The correction by engine speed.</summary>
    internal double CorrectionAt(double speedRpm) =>
        Between(Correction, Math.Clamp((speedRpm / CorrectionRpm) - 0.5, 0, CorrectionBins - 1.001));

    private static double Between(double[] bins, double place)
    {
        int below = (int)place;
        return bins[below] + ((place - below) * (bins[below + 1] - bins[below]));
    }
}
