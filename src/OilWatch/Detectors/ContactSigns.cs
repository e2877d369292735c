namespace OilWatch.Detectors;

/// <summary>What a run showed of the contacts of its oil pressure sensor.</summary>
internal readonly record struct ContactSigns()
{
    private const double LagS = 0.05;                    // gallery, line and sensor together, at least
    private const double GalleryS = 0.03;                // the same, in its two parts: gallery with line, and sensor
    private const double SensorS = 0.02;
    private const double LongestStepS = 0.06;            // between slower readings real flutter is as white
    private const double Manyfold = 1.39;                // four times the variance, as a logarithm
    private const double Doubled = 0.69;                 // the same for twice
    private const double Surely = 20;
    private const double BeyondDoubt = 40;
    private const double ClearlyLess = 0.03;             // ten standard errors of a thousand readings
    private const double LeastShare = 0.02;              // of pressure: pumps pulse by less behind a line and a sensor
    private const double LittleShare = 0.004;            // under that it is a sensor's own noise

    /// <summary>Steps up within one reading.</summary>
    public int Up { get; init; }

    /// <summary>Steps down within one reading.</summary>
    public int Down { get; init; }

    /// <summary>True when they came often enough, up and down, to be a connection's.</summary>
    public bool IsLoose { get; init; }

    /// <summary>The largest of them until contact was last bad, kPa.</summary>
    public double LargestKpa { get; init; }

    /// <summary>When noise from one reading to the next grew, s of log time; NaN where it did not.</summary>
    public double NoiseAtS { get; init; } = double.NaN;

    /// <summary>True when most of the run since then is so noisy.</summary>
    public bool IsLasting { get; init; }

    /// <summary>Natural logarithm of the variance of the differences of two readings since then against before, at equal engine speed.</summary>
    public double NoiseGrowth { get; init; }

    /// <summary>The same in units of what equal variances would show by chance.</summary>
    public double NoiseSigma { get; init; }

    /// <summary>Correlation of a difference with the next in what came to it: -0.5 is white noise.</summary>
    public double NoiseCorrelation { get; init; }

    /// <summary>RMS of the white part of what came, as a share of pressure.</summary>
    public double NoiseShare { get; init; }

    /// <summary>Mean time between two readings, s.</summary>
    public double StepS { get; init; } = double.NaN;

    /// <summary>Nothing.</summary>
    public static ContactSigns None { get; } = new();

    /// <summary>
    /// True when noise came that no pressure can make. However quick the oil, a lag makes neighbouring readings alike: the differences of what passed a lag of 0.05 s correlate by
    /// no less than -(1 - e^(-T/0.05)) / 2, and white noise by -0.5. What lies clearly under the first was made behind the sensor; flutter of oil is slower than that limit, and comes out above zero.
    /// </summary>
    public bool Chatters => IsLasting && StepS <= LongestStepS && NoiseGrowth >= Manyfold && NoiseSigma >= Surely && NoiseShare >= LeastShare
        && NoiseCorrelation <= LeastOfLag(StepS) - ClearlyLess;

    /// <summary>
    /// True when what flutters more was made behind the sensor, though it is little: gallery and sensor are two lags in series, and through 0.03 and 0.02 s neighbouring differences of anything correlate by
    /// no less than 0.2 at 50 readings a second and -0.14 at 25; air in oil, whose flutter is slower, showed 0.4 and more at every rate.
    /// </summary>
    public bool Prickles => IsLasting && StepS <= LongestStepS && NoiseGrowth >= Doubled && NoiseSigma >= BeyondDoubt && NoiseShare >= LittleShare
        && NoiseCorrelation <= LeastOfTwoLags(StepS) - ClearlyLess;

    /// <summary>What white noise leaves behind one lag.</summary>
    private static double LeastOfLag(double stepS) => -0.5 * (1 - Math.Exp(-stepS / LagS));

    /// <summary>What it leaves behind two in series: R(s) = a e^(-s/a) - b e^(-s/b), and of its differences (2 R(T) - R(0) - R(2T)) / (2 R(0) - 2 R(T)).</summary>
    private static double LeastOfTwoLags(double stepS)
    {
        double now = Left(0), next = Left(stepS), over = Left(2 * stepS);
        return ((2 * next) - now - over) / (2 * (now - next));

        static double Left(double s) => (GalleryS * Math.Exp(-s / GalleryS)) - (SensorS * Math.Exp(-s / SensorS));
    }
}
