using OilWatch.Alerts;

namespace OilWatch.Detectors;

/// <summary>Finds noise that goes on: a value that turns round by far more than it can, over and over.</summary>
/// <remarks>
/// A turn is a large step one way and a large one back, reading by reading; of a level that goes with its own size, steps up and down by a multiple of it. What lies behind a lag, a crankcase, a fuel rail, the mean that a vibration level is, makes none; a foot makes few. Between
/// the turns there are sound readings, but none of them can be told from the others: the whole burst is one fault.
/// </remarks>
internal struct BurstWatch
{
    private const int ToTell = 24;
    private const int Turn = 6;                          // four of them
    private const int SmallTurn = 4;                     // six of them: steps of a level, up and down in turn, or turns of a pedal
    private const int FootMoves = 3;                     // eight frames that stand for readings far apart: a pedal that is pushed down and let go makes four
    private const double TogetherS = 0.35;               // from one turn to the next, or
    private const double TogetherIntervals = 4.5;        // of the channel
    private const double SnapS = 0.125;                  // nobody moves a pedal to and fro by half its way eight times a second
    private const double HoldS = 0.6;                    // after the last turn, or
    private const double HoldIntervals = 8;
    private const double TurnSteps = 12;                 // usual ones
    private const double Follows = 0.01;                 // of the usual step, with each
    private const int Enough = 500;                      // readings
    private const double QuietS = 3;                     // since the last turn: what a burst leaves between its turns teaches nothing
    private const double WayS = 120;                     // what goes on for longer is the way of the channel
    private const double LeastStepShare = 0.01;          // of the smallest turn
    private const double LevelTimes = 4.5;               // a level that goes with its own size leaps by so much: a kerb makes less of it
    private LogTime _last;
    private int _inRow;
    private bool _wasOn;                                 // within the last three seconds: then one turn is enough
    private int _followed;
    private bool _up;                                    // the last step of a level
    private double _usualStep;                           // half of all are larger

    /// <summary>True from the turn that tells it to the end of the burst.</summary>
    public bool IsOn { get; private set; }

    /// <summary>The first reading that turned round.</summary>
    public LogTime Since { get; private set; }

    /// <summary>Takes a reading with the two before it; true when it is one more turn of a burst.</summary>
    /// <param name="earlier">The reading before the last.</param>
    /// <param name="before">The last reading.</param>
    /// <param name="beforeAt">When it came.</param>
    /// <param name="at">When.</param>
    /// <param name="value">The reading.</param>
    /// <param name="isRagged">True where it stands for several that lay apart as those of one moment cannot.</param>
    /// <param name="rule">What is possible for the role.</param>
    public bool Step(double earlier, double before, LogTime beforeAt, LogTime at, double value, bool isRagged, in GuardRule rule)
    {
        double interval = at.SecondsSince(beforeAt), quiet = at.SecondsSince(_last);
        if (IsOn && quiet > Math.Max(HoldS, HoldIntervals * interval)) IsOn = false;
        if (_wasOn && quiet > QuietS && !IsOn) Forget();
        if (_followed < Enough || quiet > QuietS || (IsOn && at.SecondsSince(Since) > WayS)) Follow(Math.Abs(value - before), rule.LeastTurn);
        double least = Math.Max(rule.LeastTurn, TurnSteps * _usualStep), up = before - earlier, down = value - before;
        bool isLevel = rule.SpikeTimes > 0;
        bool turns = Math.Abs(down) > least && (isLevel ? Leaps(before, value) && (_inRow == 0 || down > 0 != _up) : up * down < 0 && Math.Abs(up) > least);
        if (!turns && !isRagged) return false;
        bool again = _wasOn || (_inRow > 0 && quiet <= (rule.MaySnap ? SnapS : Math.Max(TogetherS, TogetherIntervals * interval)));
        if (!again) (Since, _inRow) = (turns && !isLevel ? beforeAt : at, 0);
        _inRow = Math.Min(_inRow + (isRagged ? rule.MaySnap ? FootMoves : Turn : isLevel || rule.MaySnap ? SmallTurn : Turn), ToTell);
        _up = down > 0;
        _last = at;
        if (_inRow >= ToTell) IsOn = _wasOn = true;
        return IsOn;
    }

    /// <summary>Learns what the value usually changes by from one reading to the next.</summary>
    public void Follow(double step, double least)
    {
        if (_followed < Enough) _followed++;
        _usualStep = _usualStep == 0 ? step : Math.Max(LeastStepShare * least, _usualStep * (step > _usualStep ? 1 + Follows : 1 - Follows));
    }

    /// <summary>Nothing that came before counts any more.</summary>
    public void Forget()
    {
        IsOn = _wasOn = false;
        _inRow = 0;
    }

    private static bool Leaps(double one, double other) => Math.Max(Math.Abs(one), Math.Abs(other)) >= LevelTimes * Math.Min(Math.Abs(one), Math.Abs(other));
}
