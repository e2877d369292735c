using OilWatch.Alerts;
using OilWatch.Analysis;
using OilWatch.Channels;

namespace OilWatch.Causes;

/// <summary>Adds up the alerts of a run as they end, in bounded memory.</summary>
internal sealed class DropTally
{
    private const int Recent = 32;
    private const double NearS = 2;
    private const double LostForS = 4;
    private const double DeepRatio = 0.5;
    private const double MostlyErratic = 0.6;
    private const int Depths = 100;
    private const double DepthKpa = 10;
    private readonly int[] _depths = new int[Depths];
    private readonly double[] _shares = new double[5];
    private readonly int[] _collapses = new int[5];
    private readonly RunMedian _loadedS = new(0.05, 1000);
    private readonly RunMedian _beforeS = new(0.02, 100);
    private readonly RunMedian _speeds = new(500, 20_000);
    private readonly List<(LogTime Start, LogTime End)> _faults = [];
    private readonly List<(LogTime Start, LogTime End)> _drops = [];
    private readonly Dictionary<string, int> _laps = [];
    private readonly int[] _faultsOf = new int[Roles.Count];

    /// <summary>Drops that ended.</summary>
    public int Drops { get; private set; }

    /// <summary>Of those, caution and above.</summary>
    public int Grave { get; private set; }

    /// <summary>Seconds below in all.</summary>
    public double DropS { get; private set; }

    /// <summary>The longest, s.</summary>
    public double LongestS { get; private set; }

    /// <summary>When the longest began.</summary>
    public LogTime LongestStart { get; private set; }

    /// <summary>Median length of the drops under load, s; NaN without any.</summary>
    public double LoadedS => _loadedS.Value;

    /// <summary>Median load before the drops under load, s.</summary>
    public double LoadBeforeS => _beforeS.Value;

    /// <summary>Median engine speed at the worst moment, rpm.</summary>
    public double SpeedRpm => _speeds.Value;

    /// <summary>Drops at a fault of the sensor, or that came and went in one reading each.</summary>
    public int Doubtful { get; private set; }

    /// <summary>Drops at a corner at which there had been one on an earlier lap.</summary>
    public int Repeats { get; private set; }

    /// <summary>Drops that came and went in one reading each.</summary>
    public int Steps { get; private set; }

    /// <summary>When pressure was deeply lost in the last grave drop and had not come back when the engine slowed or the log ended; null where it had.</summary>
    public LogTime? LostAt { get; private set; }

    /// <summary>True where what was left of it then strayed in most seconds.</summary>
    public bool LostErratically { get; private set; }

    /// <summary>The share of the drops of a direction, each counted by the square root of its deficit; one left open counts too.</summary>
    public double Share(LoadDirection direction)
    {
        double all = _shares.Sum();
        return all > 0 ? _shares[(int)direction] / all : 0;
    }

    /// <summary>Faults of a role's sensor.</summary>
    public int FaultsOf(Role role) => _faultsOf[(int)role];

    /// <summary>Faults of every sensor but that of oil pressure.</summary>
    public int OtherFaults => _faultsOf.Sum() - _faultsOf[(int)Role.OilPressure];

    /// <summary>Faults of engine speed and accelerations, by which a fall of pressure is judged.</summary>
    public int FaultsJudgedBy => _faultsOf[(int)Role.EngineSpeed] + _faultsOf[(int)Role.LateralG] + _faultsOf[(int)Role.LongitudinalG];

    /// <summary>The load under which most drops went to half of healthy and less while the engine slowed, and how many.</summary>
    public (LoadDirection Under, int Count) Collapses
    {
        get
        {
            int most = 1;
            for (int i = 2; i < _collapses.Length; i++)
                if (_collapses[i] > _collapses[most]) most = i;
            return _collapses[most] == 0 ? default : ((LoadDirection)most, _collapses[most]);
        }
    }

    /// <summary>Drops that took more than a pressure.</summary>
    public int DeeperThan(double kpa)
    {
        int deeper = 0;
        for (int i = (int)Math.Clamp(Math.Ceiling(kpa / DepthKpa), 0, Depths); i < Depths; i++) deeper += _depths[i];
        return deeper;
    }

    /// <summary>Takes a drop that is over.</summary>
    public void AddDrop(Alert alert, in DropShape shape)
    {
        Drops++;
        double seconds = alert.DurationS ?? 0;
        if (alert.Severity >= Severity.Caution)
        {
            Grave++;
            bool isLost = alert.Ending is EventEnd.EngineSlowed or EventEnd.LogEnded && seconds >= LostForS && alert.MinRatio < DeepRatio;
            LostAt = isLost ? alert.Start : null;
            LostErratically = isLost && shape.ErraticShare >= MostlyErratic;
        }
        DropS += seconds;
        if (seconds > LongestS) (LongestS, LongestStart) = (seconds, alert.Start);
        _shares[(int)alert.Direction] += Math.Sqrt(Math.Max(0, alert.DeficitKpaS ?? 0));
        if (alert.RpmAtMin is > 0 and var rpm) _speeds.Add(rpm);
        if (alert.Direction != LoadDirection.None)
        {
            _loadedS.Add(Math.Max(seconds, 0.05));
            if (alert.LoadBeforeS is { } before) _beforeS.Add(Math.Max(before, 0.02));
        }
        if (alert is { Corner: { } corner, Lap: { } lap })
        {
            if (_laps.TryGetValue(corner, out int first)) Repeats += first == lap ? 0 : 1;
            else if (_laps.Count < Recent) _laps.Add(corner, lap);
        }
        _collapses[(int)shape.CollapsedUnder]++;
        if (alert is { ExpectedKpa: { } expected, MinKpa: { } least }) _depths[(int)Math.Clamp((expected - least) / DepthKpa, 0, Depths - 1)]++;
        if (shape.IsStep) Steps++;
        if (shape.IsStep || _faults.Exists(fault => Near(fault, (alert.Start, alert.End)))) Doubtful++;
        else Keep(_drops, (alert.Start, alert.End));
    }

    /// <summary>A drop that was taken turned out to answer to another load.</summary>
    public void Turn(Alert before, Alert after)
    {
        double share = Math.Sqrt(Math.Max(0, before.DeficitKpaS ?? 0));
        _shares[(int)before.Direction] -= share;
        _shares[(int)after.Direction] += share;
    }

    /// <summary>Takes a sensor fault: when it is raised, and again when it is over.</summary>
    public void AddFault(Alert alert, bool ended)
    {
        if (!ended) _faultsOf[(int)alert.Channel]++;
        // Steps mask nothing: what falls while they last is doubtful by its depth alone.
        if (alert.Detail is SensorAlertText.Steps) return;
        if (alert.Channel is not (Role.OilPressure or Role.EngineSpeed)) return;
        if (ended) _faults.RemoveAll(fault => fault.Start == alert.Start);
        var span = (alert.Start, alert.End);
        Keep(_faults, span);
        // A fault is often known only after the drop that it made.
        Doubtful += _drops.RemoveAll(drop => Near(span, drop));
    }

    private static void Keep(List<(LogTime Start, LogTime End)> list, (LogTime Start, LogTime End) span)
    {
        if (list.Count == Recent) list.RemoveAt(0);
        list.Add(span);
    }

    private static bool Near((LogTime Start, LogTime End) fault, (LogTime Start, LogTime End) drop) =>
        fault.Start <= drop.End.AddSeconds(NearS) && fault.End >= drop.Start.AddSeconds(-NearS);
}
