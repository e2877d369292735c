using System.Globalization;

namespace OilWatch.Synthesiser.Truths;

/// <summary>How well reported sensor faults match the faults that were put into a run.</summary>
/// <remarks>
/// A fault of half a second or longer is found when a report about its channel (any channel, for a fault of the whole log) overlaps it; a report is false when no
/// fault of its channel or of the log lies near. Shorter faults are counted neither way, and so is a report beside one.
/// </remarks>
public sealed record SensorFaultScore
{
    private const double LeastS = 0.5;
    private const double FoundSlackS = 1;
    private const double FalseSlackS = 1.5;

    /// <summary>Faults put in, by channel and kind: how many were found, of how many.</summary>
    public required IReadOnlyDictionary<(string Channel, string Kind), (int Found, int All)> Faults { get; init; }

    /// <summary>Reports without a fault.</summary>
    public required int False { get; init; }

    /// <summary>Length of the runs, h.</summary>
    public required double Hours { get; init; }

    /// <summary>Faults not found and reports without a fault, a sentence each.</summary>
    public required IReadOnlyList<string> Problems { get; init; }

    /// <summary>Faults of sensors that were found; those of the log as a whole are left out.</summary>
    public int Found => OfSensors.Sum(fault => fault.Value.Found);

    /// <summary>Faults of sensors that were put in.</summary>
    public int All => OfSensors.Sum(fault => fault.Value.All);

    private IEnumerable<KeyValuePair<(string Channel, string Kind), (int Found, int All)>> OfSensors => Faults.Where(fault => fault.Key.Channel is not "log");

    /// <summary>Scores one run.</summary>
    /// <param name="reports">Reported faults: the role's key, start and end, s.</param>
    /// <param name="truth">What was put in.</param>
    public static SensorFaultScore Of(IEnumerable<(string Channel, double StartS, double EndS)> reports, Truth truth)
    {
        List<(string Channel, double StartS, double EndS)> all = [.. reports];
        var faults = new Dictionary<(string, string), (int Found, int All)>();
        var problems = new List<string>();
        foreach (TrueFault fault in truth.Faults.Where(fault => fault.EndS - fault.StartS >= LeastS))
        {
            bool found = all.Exists(report => IsAbout(report.Channel, fault) && report.StartS <= fault.EndS + FoundSlackS && report.EndS >= fault.StartS - FoundSlackS);
            (int before, int count) = faults.GetValueOrDefault((fault.Channel, fault.Kind));
            faults[(fault.Channel, fault.Kind)] = (before + (found ? 1 : 0), count + 1);
            if (!found) problems.Add(Text($"fault not found: {fault.Kind} of {fault.Channel} at {fault.StartS:F2}..{fault.EndS:F2} s"));
        }

        int wrong = 0;
        foreach ((string channel, double startS, double endS) in all)
        {
            if (truth.Faults.Any(fault => IsAbout(channel, fault) && startS <= fault.EndS + FalseSlackS && endS >= fault.StartS - FalseSlackS)) continue;
            wrong++;
            problems.Add(Text($"no fault: {channel} at {startS:F2}..{endS:F2} s"));
        }

        return new SensorFaultScore
        {
            Faults = faults,
            False = wrong,
            Hours = truth.LengthS / 3600,
            Problems = [.. problems.Select(problem => Text($"{truth.Scenario} seed {truth.Seed}: {problem}"))],
        };
    }

    /// <summary>Several runs as one.</summary>
    public static SensorFaultScore Sum(IReadOnlyCollection<SensorFaultScore> scores) => new()
    {
        Faults = scores.SelectMany(score => score.Faults).GroupBy(fault => fault.Key)
            .ToDictionary(kind => kind.Key, kind => (kind.Sum(fault => fault.Value.Found), kind.Sum(fault => fault.Value.All))),
        False = scores.Sum(score => score.False),
        Hours = scores.Sum(score => score.Hours),
        Problems = [.. scores.SelectMany(score => score.Problems)],
    };

    private static bool IsAbout(string channel, TrueFault fault) => fault.Channel is "log" || string.Equals(fault.Channel, channel, StringComparison.Ordinal);

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
