using System.Globalization;

namespace OilWatch.Synthesiser.Truths;

/// <summary>How well detections match the truth, at caution and above.</summary>
/// <remarks>
/// A true caution counts as found when any detection of caution or above overlaps it, and a detection is right when it
/// overlaps any true caution. Borderline events are counted neither way, and so is a detection that overlaps one.
/// A true caution answered only by an advisory is a miss; an advisory is never a false alarm.
/// </remarks>
public sealed record TruthScore
{
    // Lags of the channel and the sampling can move a short event by about this much.
    private const double SlackS = 0.3;

    /// <summary>True cautions that were found.</summary>
    public required int Found { get; init; }

    /// <summary>True cautions that were not found.</summary>
    public required int Missed { get; init; }

    /// <summary>Detections of caution or above that match a true caution.</summary>
    public required int Right { get; init; }

    /// <summary>Detections of caution or above that match nothing.</summary>
    public required int False { get; init; }

    /// <summary>Detections of caution or above that fell on a borderline event and were not counted.</summary>
    public required int NotCounted { get; init; }

    /// <summary>Found events that were called with the true kind; lasting problems are left out.</summary>
    public required int RightKind { get; init; }

    /// <summary>Found events that were called with another kind.</summary>
    public required int WrongKind { get; init; }

    /// <summary>Starts detected minus true starts, s, one a found event.</summary>
    public required IReadOnlyList<double> StartErrorsS { get; init; }

    /// <summary>Time of raising minus the time at which pressure passed 75 %, s, one a found event.</summary>
    public required IReadOnlyList<double> RaiseLatenciesS { get; init; }

    /// <summary>Misses and false alarms, a sentence each.</summary>
    public required IReadOnlyList<string> Problems { get; init; }

    /// <summary>Share of detections that are right; 1 without any.</summary>
    public double Precision => Right + False == 0 ? 1 : (double)Right / (Right + False);

    /// <summary>Share of true cautions found; 1 without any.</summary>
    public double Recall => Found + Missed == 0 ? 1 : (double)Found / (Found + Missed);

    /// <summary>Harmonic mean of precision and recall.</summary>
    public double F1 => Precision + Recall == 0 ? 0 : 2 * Precision * Recall / (Precision + Recall);

    /// <summary>Median of the magnitudes of the start errors, s; NaN without any.</summary>
    public double MedianStartErrorS => Median([.. StartErrorsS.Select(Math.Abs)]);

    /// <summary>Median raise latency, s; NaN without any.</summary>
    public double MedianRaiseLatencyS => Median([.. RaiseLatenciesS]);

    /// <summary>Scores one run.</summary>
    public static TruthScore Of(IEnumerable<Detection> detections, Truth truth)
    {
        List<Detection> called = [.. detections
            .Where(d => d.Severity is "caution" or "warning" && d.Kind is "oil-starvation" or "low-oil-pressure")
            .OrderBy(d => d.StartS)];
        var problems = new List<string>();
        var startErrors = new List<double>();
        var latencies = new List<double>();
        int found = 0, missed = 0, right = 0, wrong = 0, notCounted = 0, rightKind = 0, wrongKind = 0;

        foreach (TrueEvent e in truth.Events.Where(e => e.IsCaution && !e.Borderline))
        {
            Detection? first = called.FirstOrDefault(d => Overlap(d, e));
            if (first is null)
            {
                missed++;
                problems.Add(Text($"missed: {e.Kind} at {e.StartS:F2}..{e.EndS:F2} s, ratio {e.MinRatio:F2}, {e.CautionHoldS:F2} s below 75 %, lap {e.Lap} {e.Corner ?? "no corner"}{Near(e.StartS, e.EndS)}"));
                continue;
            }

            found++;
            startErrors.Add(first.StartS - e.StartS);
            latencies.Add(first.RaisedS - (e.Pass25S ?? e.Pass10S));
            if (e.Condition is null && string.Equals(first.Kind, e.Kind, StringComparison.Ordinal)) rightKind++;
            else if (e.Condition is null) wrongKind++;
        }

        foreach (Detection d in called)
        {
            List<TrueEvent> hit = [.. truth.Events.Where(e => Overlap(d, e))];
            if (hit.Any(e => e.IsCaution && !e.Borderline))
            {
                right++;
            }
            else if (hit.Any(e => e.Borderline))
            {
                notCounted++;
            }
            else
            {
                wrong++;
                string why = hit.Count > 0 ? Text($"the truth is an advisory, ratio {hit.Min(e => e.MinRatio):F2}") : "nothing happened then";
                problems.Add(Text($"false: {d.Kind} {d.Severity} at {d.StartS:F2}..{d.EndS:F2} s, {why}{Near(d.StartS, d.EndS)}"));
            }
        }

        return new TruthScore
        {
            Found = found,
            Missed = missed,
            Right = right,
            False = wrong,
            NotCounted = notCounted,
            RightKind = rightKind,
            WrongKind = wrongKind,
            StartErrorsS = startErrors,
            RaiseLatenciesS = latencies,
            Problems = [.. problems.Select(p => Text($"{truth.Scenario} seed {truth.Seed}: {p}"))],
        };

        string Near(double from, double to)
        {
            TrueFault? fault = truth.Faults.FirstOrDefault(f => f.StartS <= to + 1 && f.EndS >= from - 1);
            return fault is null ? "" : Text($"; beside the fault {fault.Kind} of {fault.Channel} at {fault.StartS:F2}..{fault.EndS:F2} s");
        }
    }

    /// <summary>Several runs as one.</summary>
    public static TruthScore Sum(IReadOnlyCollection<TruthScore> scores) => new()
    {
        Found = scores.Sum(s => s.Found),
        Missed = scores.Sum(s => s.Missed),
        Right = scores.Sum(s => s.Right),
        False = scores.Sum(s => s.False),
        NotCounted = scores.Sum(s => s.NotCounted),
        RightKind = scores.Sum(s => s.RightKind),
        WrongKind = scores.Sum(s => s.WrongKind),
        StartErrorsS = [.. scores.SelectMany(s => s.StartErrorsS)],
        RaiseLatenciesS = [.. scores.SelectMany(s => s.RaiseLatenciesS)],
        Problems = [.. scores.SelectMany(s => s.Problems)],
    };

    /// <summary>The score in one line.</summary>
    public override string ToString() => Text(
        $"precision {Precision:F3} recall {Recall:F3} F1 {F1:F3} (found {Found}, missed {Missed}, right {Right}, false {False}, not counted {NotCounted}), start error {MedianStartErrorS:F3} s, raised after {MedianRaiseLatencyS:F3} s, kind right {RightKind} wrong {WrongKind}");

    private static bool Overlap(Detection d, TrueEvent e) => d.StartS <= e.EndS + SlackS && d.EndS >= e.StartS - SlackS;

    private static double Median(double[] values)
    {
        if (values.Length == 0) return double.NaN;
        Array.Sort(values);
        int middle = values.Length / 2;
        return values.Length % 2 == 1 ? values[middle] : (values[middle - 1] + values[middle]) / 2;
    }

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
