namespace OilWatch.Pressure;

/// <summary>How much running agreed with the healthy model, and how much did not, by engine speed and thickness of the oil.</summary>
/// <remarks>
/// Where nothing agreed, the curve is a guess between what was seen, and its spread must say so; oil a few degrees hotter than any seen is no guess yet. Where calm readings, or even the
/// highest of all readings, lie together below the curve, it is wrong. A loss lies below it too: so only the first readings of each speed and thickness are asked, from before anything was
/// lost, and a wrong curve goes wrong step by step while the oil heats up.
/// </remarks>
internal sealed class Evidence
{
    private const double SpeedStepRpm = 500;
    private const int Speeds = 34;
    private const double RatioStep = 0.15;             // in the logarithm of the viscosity ratio: about five degrees
    private const int Ratios = 28;
    private const int FirstRatio = -10;
    private const double Enough = 15;                  // readings that agree and are as good as certainty
    private const double BesideSpeed = 0.3;
    private const double FineStepRpm = 200;
    private const int FineSpeeds = 60;
    private const int Bands = 14;
    private const double BandShare = 0.025;
    private const double LowestShare = -0.325;
    private const int LeastInCell = 6;
    private const int LeastCalmInCell = 4;
    private const double HighestFifth = 0.2;
    private const double Half = 0.5;
    private const double LeastWrong = 0.04;
    private const double LargestWrong = 0.16;            // far more than that is a loss, whatever the curve
    private const int LeastVisits = 2;                   // one visit may be one loss
    private const double NewVisitS = 5;
    private const double LargestStep = 0.08;             // from one thickness to the next
    private const int FirstReadings = 30;
    private const int FirstCalmReadings = 16;

    private static readonly double[] Reach = [1, 0.5, 0.15, 0.03];      // what readings say of oil so many steps thicker or thinner

    private readonly float[] _counts = new float[Speeds * Ratios];
    private readonly float[] _lack = new float[Speeds * Ratios];
    private readonly byte[] _bands = new byte[FineSpeeds * Ratios * Bands];
    private readonly byte[] _calmBands = new byte[FineSpeeds * Ratios * Bands];
    private readonly byte[] _any = new byte[FineSpeeds * Ratios];
    private readonly byte[] _calm = new byte[FineSpeeds * Ratios];
    private readonly byte[] _visits = new byte[FineSpeeds * Ratios];
    private readonly float[] _visitedAtS = new float[FineSpeeds * Ratios];
    private readonly float[] _wrong = new float[FineSpeeds * Ratios];

    /// <summary>Counts a reading that agreed with the model.</summary>
    /// <param name="speedRpm">Engine speed, rpm.</param>
    /// <param name="logarithm">The natural logarithm of how thick the oil is against hot oil.</param>
    /// <param name="weight">How much it says.</param>
    public void Add(double speedRpm, double logarithm, double weight) => _counts[(SpeedRow(speedRpm) * Ratios) + RatioColumn(logarithm)] += (float)weight;

    /// <summary>Counts any reading at all, in order of time.</summary>
    /// <param name="atS">Log time, s.</param>
    /// <param name="speedRpm">Engine speed, rpm.</param>
    /// <param name="logarithm">The natural logarithm of how thick the oil is against hot oil.</param>
    /// <param name="share">How far above the model it was, as a share of the model.</param>
    /// <param name="calm">True when no load acted.</param>
    public void AddShare(float atS, double speedRpm, double logarithm, double share, bool calm)
    {
        int cell = FineCell(speedRpm, logarithm), place = (cell * Bands) + Math.Clamp((int)((share - LowestShare) / BandShare), 0, Bands - 1);
        if (_any[cell] < FirstReadings)
        {
            if (_visits[cell] == 0 || atS - _visitedAtS[cell] > NewVisitS) _visits[cell]++;
            _visitedAtS[cell] = atS;
            _any[cell]++;
            _bands[place]++;
        }
        if (!calm || _calm[cell] >= FirstCalmReadings) return;
        _calm[cell]++;
        _calmBands[place]++;
    }

    /// <summary>Settles what it says, once all readings were counted.</summary>
    public void Settle()
    {
        for (int row = 0; row < Speeds; row++)
        {
            for (int column = 0; column < Ratios; column++)
            {
                double near = About(row, column) + (BesideSpeed * ((row > 0 ? About(row - 1, column) : 0) + (row < Speeds - 1 ? About(row + 1, column) : 0)));
                _lack[(row * Ratios) + column] = (float)Math.Exp(-near / Enough);
            }
        }
        for (int row = 0; row < FineSpeeds; row++)
        {
            double thicker = double.NaN;
            for (int column = Ratios - 1; column >= 0; column--)
            {
                int cell = (row * Ratios) + column;
                double any = Below(_bands.AsSpan(cell * Bands, Bands), HighestFifth, LeastInCell);
                double calm = Below(_calmBands.AsSpan(cell * Bands, Bands), Half, LeastCalmInCell);
                double wrong = double.IsNaN(any) ? calm : double.IsNaN(calm) ? any : Math.Max(any, calm);
                if (_visits[cell] < LeastVisits) wrong = double.NaN;
                if (wrong > thicker + LargestStep) wrong = thicker + LargestStep;
                // A pump that cavitates does so from some speed and heat on: where too little was seen to say, it is as at the speed below, or in thicker oil.
                if (double.IsNaN(wrong)) wrong = Math.Max(row > 0 ? _wrong[cell - Ratios] : 0, double.IsNaN(thicker) ? 0 : thicker);
                else thicker = wrong;
                _wrong[cell] = (float)wrong;
            }
        }
    }

    /// <summary>1 where nothing was seen, towards 0 where much was.</summary>
    public double Lack(double speedRpm, double logarithm)
    {
        double place = Math.Clamp((logarithm / RatioStep) - FirstRatio - 0.5, 0, Ratios - 1.001);
        if (double.IsNaN(place)) return 1;
        int column = (int)place, cell = (SpeedRow(speedRpm) * Ratios) + column;
        return _lack[cell] + ((place - column) * (_lack[cell + 1] - _lack[cell]));
    }

    /// <summary>How far, as a share of the model, readings lie below it together at a speed and thickness; 0 where they agree.</summary>
    public double Wrong(double speedRpm, double logarithm)
    {
        float wrong = _wrong[FineCell(speedRpm, logarithm)];
        return wrong >= LeastWrong ? Math.Min(wrong, LargestWrong) : 0;
    }

    /// <summary>Readings of a speed that agreed, at a thickness and beside it.</summary>
    private double About(int row, int column)
    {
        double about = 0;
        for (int away = 1 - Reach.Length; away < Reach.Length; away++)
            if (column + away is >= 0 and < Ratios and int other) about += Reach[Math.Abs(away)] * _counts[(row * Ratios) + other];
        return about;
    }

    /// <summary>How far below the model the reading lies that a share of them lie above, between the ends of a band by a straight line; NaN of too few.</summary>
    private static double Below(ReadOnlySpan<byte> bands, double share, int least)
    {
        int count = 0;
        foreach (byte band in bands) count += band;
        if (count < least) return double.NaN;
        double readings = share * count;
        int place = Bands - 1;
        for (; place > 0 && bands[place] < readings; place--) readings -= bands[place];
        return Math.Max(0, -(LowestShare + (BandShare * (place + 1 - Math.Min(readings / Math.Max((int)bands[place], 1), 1)))));
    }

    private static int FineCell(double speedRpm, double logarithm) => (Math.Clamp((int)(speedRpm / FineStepRpm), 0, FineSpeeds - 1) * Ratios) + RatioColumn(logarithm);

    private static int SpeedRow(double speedRpm) => Math.Clamp((int)(speedRpm / SpeedStepRpm), 0, Speeds - 1);

    private static int RatioColumn(double logarithm) => Math.Clamp((int)Math.Floor(logarithm / RatioStep) - FirstRatio, 0, Ratios - 1);
}
