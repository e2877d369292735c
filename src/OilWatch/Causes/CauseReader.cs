using System.Collections.Immutable;
using OilWatch.Alerts;
using static System.FormattableString;

namespace OilWatch.Causes;

/// <summary>Reads the likely cause out of what a run showed.</summary>
/// <remarks>
/// Each cause has tests (<see cref="CauseRules"/>). A cause is named when its score reaches <see cref="NamedFrom"/> and leads the next one by <see cref="Margin"/>;
/// otherwise it cannot be told, and the causes within the margin are the candidates.
/// </remarks>
internal static class CauseReader
{
    /// <summary>Least score of a cause that is named.</summary>
    public const double NamedFrom = 0.78;

    /// <summary>How far its score must lead.</summary>
    public const double Margin = 0.15;

    /// <summary>The reading of a run, or of what is known of it so far.</summary>
    public static CauseReading Read(Signature signature, InspectionFor inspect)
    {
        ImmutableArray<CauseScore> scores =
        [
            .. CauseRules.All.Select(rule => new CauseScore(rule.Cause, rule.Score(signature)))
                .Where(score => score.Score > 0 && !(IsUnproven(signature) && NeedsFall(score.Cause)) && (score.Cause == Cause.Sensor || !CauseRules.IsContacts(signature))).OrderByDescending(score => score.Score),
        ];
        // Sensors of other quantities are a reading of their own where there is no other: pressure that is low or flutters is not their doing.
        if (signature.PressureFaults + signature.Steps == 0 && scores.Any(score => score.Cause != Cause.Sensor)) scores = scores.RemoveAll(score => score.Cause == Cause.Sensor);
        bool toExplain = signature.Drops > 0 || (CauseRules.Lasts(signature) && !IsUnproven(signature)) || scores.Length > 0;
        CauseReading reading = toExplain ? Explained(signature, scores, inspect) : Nothing(signature, inspect);
        return reading with { Scores = scores, Measurements = Measurements(signature) };
    }

    /// <summary>True where a ratio that fell may be the learning's doing: what is healthy was still being learned, and no alert stood.</summary>
    private static bool IsUnproven(Signature signature) => signature.AsItRan && signature.Drops == 0;

    private static bool NeedsFall(Cause cause) => cause is Cause.PickupBroken or Cause.ReliefValve or Cause.PumpDamage;

    private static CauseReading Explained(Signature signature, ImmutableArray<CauseScore> scores, InspectionFor inspect)
    {
        if (scores.Length > 0 && scores[0].Score >= NamedFrom && (scores.Length == 1 || scores[0].Score - scores[1].Score >= Margin))
        {
            Cause cause = scores[0].Cause;
            LoadDirection direction = cause != Cause.PickupUncovered ? LoadDirection.None
                : CauseRules.CollapsesUnderOne(signature) ? signature.Collapses.Under
                : signature.Main.Share >= 0.6 ? signature.Main.Direction : LoadDirection.None;
            return new CauseReading
            {
                Outcome = CauseOutcome.Named,
                Cause = cause,
                Direction = direction,
                Reading = Sentence(cause, direction, signature),
                Evidence = Sayable(EvidenceOf(cause, signature)),
                Inspect = inspect([cause]),
                Also = Sayable(Also(signature, cause)),
            };
        }
        return CannotTell(signature, scores, inspect);
    }

    private static CauseReading CannotTell(Signature signature, ImmutableArray<CauseScore> scores, InspectionFor inspect)
    {
        bool isWeighed = signature.Fell && double.IsFinite(signature.Kind.ValveEvidence) && (scores.Length == 0 || scores[0].Score < NamedFrom);
        ImmutableArray<Cause> candidates = isWeighed ? CauseRules.Weighed(signature) : scores.Length > 0
            ? [.. scores.Where(score => score.Score >= scores[0].Score - Margin || score.Score >= NamedFrom).Select(score => score.Cause)]
            : Remaining(signature);
        // No load makes pressure fall as the engine turns faster: a pickup that draws air above a flow does.
        if (!candidates.Contains(Cause.PickupBroken) && CauseRules.FallsWithSpeed(signature)) candidates = candidates.Add(Cause.PickupBroken);
        var evidence = ImmutableArray.CreateBuilder<string>();
        foreach (Cause cause in candidates)
            foreach (string sentence in EvidenceOf(cause, signature))
                if (!evidence.Contains(sentence)) evidence.Add(sentence);
        if (evidence.Count == 0) evidence.Add(Invariant($"{signature.Drops} falls of pressure, {100 * (1 - signature.Unloaded):F0} % of them under sustained load; no signature fits well enough"));
        return new CauseReading
        {
            Outcome = CauseOutcome.CannotTell,
            Reading = candidates.Length == 1
                ? $"cannot tell: most like {candidates[0].Phrase()}, but not clearly so"
                : "cannot tell: " + string.Join(", or ", candidates.Select(cause => cause.Phrase())),
            Evidence = Sayable(evidence.ToImmutable()),
            Candidates = candidates,
            Inspect = inspect(candidates.AsSpan()),
            Also = Sayable(Also(signature, null)),
        };
    }

    /// <summary>Where no rule fits at all: what the bare facts leave.</summary>
    private static ImmutableArray<Cause> Remaining(Signature signature) =>
        CauseRules.IsLost(signature) ? [Cause.PickupBroken, Cause.PumpDamage]
            : signature.Unloaded >= 0.5 || signature.Fell
            ? [Cause.PumpDamage, Cause.PickupBroken, Cause.ReliefValve, Cause.AirInOil]
            : [Cause.PickupUncovered, Cause.PickupBroken, Cause.AirInOil];

    private static CauseReading Nothing(Signature signature, InspectionFor inspect)
    {
        if (!CauseRules.IsBelowPractice(signature))
        {
            return new CauseReading
            {
                Outcome = CauseOutcome.NothingFound,
                Reading = "nothing to explain: no loss of oil pressure was found",
                Evidence = Sayable(LevelNotes(signature)),
                Also = Sayable(Also(signature, null)),
            };
        }
        ImmutableArray<Cause> candidates = [Cause.ThinOil, Cause.Wear];
        return new CauseReading
        {
            Outcome = CauseOutcome.CannotTell,
            Reading = "cannot tell: low at every speed for the whole run; thinner oil, or larger clearances (wear), or usual for this engine",
            Evidence = Sayable(LevelNotes(signature)),
            Candidates = candidates,
            Inspect = inspect(candidates.AsSpan()),
        };
    }

    private static ImmutableArray<string> LevelNotes(Signature signature)
    {
        double level = signature.Level.PerThousandRpmKpa;
        if (double.IsNaN(level)) return [];
        string against = CauseRules.IsBelowPractice(signature) ? "under the" : "against a";
        string note = Invariant($"at 4000 rpm and 100 °C pressure is {level:F0} kPa for each 1000 rpm, {against} rule of thumb of 69 kPa (10 psi)");
        return signature.Level.ReferenceName is { } name
            ? [note, Invariant($"against {name} it stands at {100 * signature.Level.LowRatio:F0} % at 2000 rpm and {100 * signature.Level.TopRatio:F0} % near the top")]
            : [note, "whether that is this engine's usual level cannot be told from one run: compare with an earlier one"];
    }

    private static ImmutableArray<string> EvidenceOf(Cause cause, Signature signature) =>
        [.. CauseRules.All.First(rule => rule.Cause == cause).Evidence(signature).Where(sentence => sentence.Length > 0)];

    private static ImmutableArray<string> Also(Signature signature, Cause? named)
    {
        var also = ImmutableArray.CreateBuilder<string>();
        if (named != Cause.Sensor && signature.PressureFaults + signature.SpeedFaults + signature.OtherFaults > 0)
            also.Add(Invariant($"sensors or wiring: faults found of oil pressure {signature.PressureFaults}, of other channels {signature.SpeedFaults + signature.OtherFaults}"));
        if (named is not (Cause.ThinOil or Cause.Wear) && CauseRules.IsLow(signature))
            also.Add(Invariant($"pressure is lower than in {signature.Level.ReferenceName} at equal temperature: {100 * signature.Level.LowRatio:F0} % at 2000 rpm"));
        else if (signature.Drops > 0 && CauseRules.IsBelowPractice(signature))
            also.AddRange(LevelNotes(signature));
        if (named != Cause.RestrictedPickup && CauseRules.FallsOff(signature)) also.Add(CauseRules.FallsOffText(signature) + ": a pump that cavitates or a restricted pickup");
        return also.ToImmutable();
    }

    private static string Sentence(Cause cause, LoadDirection direction, Signature signature) => cause switch
    {
        Cause.PickupUncovered => direction switch
        {
            LoadDirection.Left => "oil pickup uncovered in left-hand corners: fill level, baffle or pickup position",
            LoadDirection.Right => "oil pickup uncovered in right-hand corners: fill level, baffle or pickup position",
            LoadDirection.Braking => "oil pickup uncovered under braking: fill level, baffle or pickup position",
            LoadDirection.Accelerating => "oil pickup uncovered under acceleration: fill level, baffle or pickup position",
            _ => "oil pickup uncovered under load in more than one direction: fill level, baffle or pickup position",
        },
        Cause.ThinOil => $"{cause.Phrase()}; larger clearances beside a relief valve as good as new would look the same, so change it and compare",
        Cause.AirInOil => "air in the oil (aeration): overfill, a suction leak, windage or foam",
        Cause.PickupBroken => "oil pickup broken, cracked or come loose: it draws air, most under load",
        Cause.PumpDamage => "oil pump or its drive failing: delivery is lost at every speed and load",
        Cause.Sensor when signature.PressureFaults + signature.Steps == 0 && !CauseRules.IsContacts(signature) => "sensor, connector or wiring; oil pressure itself gives no sign of trouble",
        Cause.Sensor => "oil pressure sensor, connector or wiring, not the oil system",
        _ => cause.Phrase(),
    };

    private static ImmutableArray<(string Name, double Value, string Unit)> Measurements(Signature s)
    {
        (string, double, string)[] all =
        [
            ("drops", s.Drops, ""), ("drop_s", s.DropS, "s"), ("longest_drop_s", s.LongestS, "s"), ("loaded_drop_s", s.LoadedS, "s"),
            ("load_before_s", s.LoadBeforeS, "s"), ("share_without_load", s.Directions[0], ""), ("share_left", s.Directions[1], ""),
            ("share_right", s.Directions[2], ""), ("share_braking", s.Directions[3], ""), ("share_accelerating", s.Directions[4], ""),
            ("jumps_up", s.Contact.Up, ""), ("jumps_down", s.Contact.Down, ""), ("jump_largest", s.Contact.LargestKpa, "kPa"), ("deeper_than_jumps", s.Contact.IsLoose ? s.Deeper : double.NaN, ""),
            ("noise_growth", s.Contact.NoiseGrowth, ""), ("noise_sigma", s.Contact.NoiseSigma, ""), ("noise_correlation", s.Contact.NoiseCorrelation, ""), ("noise_share", s.Contact.NoiseShare, ""), ("noise_at", s.Contact.NoiseAtS, "s"), ("reading_step", s.Contact.StepS, "s"),
            ("doubtful_drops", s.Doubtful, ""), ("steps", s.Steps, ""), ("pressure_faults", s.PressureFaults, ""),
            ("other_faults", s.SpeedFaults + s.OtherFaults, ""), ("fell_at", s.FellAtS, "s"), ("fell_sigma", s.FellSigma, ""), ("unsteady_at", s.UnsteadyAtS, "s"),
            ("ratio_before", s.Before.Ratio, ""), ("ratio_after", s.After.Ratio, ""), ("calm_ratio_after", s.After.CalmRatio, ""),
            ("idle_ratio_after", s.After.IdleRatio, ""), ("load_gap_before", s.Before.LoadGap, ""), ("load_gap_after", s.After.LoadGap, ""),
            ("scatter_before", s.Before.Scatter, ""), ("scatter_after", s.After.Scatter, ""),
            ("flutter_before", s.Before.FlutterKpa, "kPa"), ("flutter_after", s.After.FlutterKpa, "kPa"),
            ("flutter_growth", s.Flutter.Growth, ""), ("flutter_sigma", s.Flutter.Sigma, ""), ("flutter_growth_near", s.Flutter.NearGrowth, ""), ("flutter_growth_calm", s.Flutter.CalmGrowth, ""), ("flutter_share", s.Flutter.Share, ""),
            ("speed_power_before", s.Before.SpeedPower, ""), ("half_gap_before", s.Before.HalfLoadGap, ""), ("half_gap_after", s.After.HalfLoadGap, ""), ("grave", s.Grave, ""), ("lost_at", s.LostAtS, "s"), ("lost_erratically", s.LostErratically ? 1 : 0, ""), ("measured_fall", s.MeasuredFall, ""),
            ("speed_power_after", s.After.SpeedPower, ""), ("top_fall", s.Before.TopFall, ""), ("top_rpm", s.Before.TopRpm, "rpm"), ("drop_rpm", s.DropRpm, "rpm"), ("level_4000rpm_100c", s.Level.PerThousandRpmKpa, "kPa per 1000 rpm"),
            ("level_2000rpm_100c", s.Level.LowPerThousandRpmKpa, "kPa per 1000 rpm"), ("level_top_100c", s.Level.TopPerThousandRpmKpa, "kPa per 1000 rpm"), ("level_top_power", s.Level.TopPower, ""), ("level_idle_share", s.Level.IdleShare, ""),
            ("reference_ratio_low", s.Level.LowRatio, ""), ("reference_ratio_middle", s.Level.MiddleRatio, ""), ("reference_ratio_top", s.Level.TopRatio, ""),
            ("came_at", s.Course.FromS, "s"), ("came_in", s.Course.TookS, "s"), ("sudden_evidence", s.Course.SuddenEvidence, ""), ("came_sigma", s.Course.Sigma, ""), ("fall_low", s.Course.LowFall, ""), ("fall_top", s.Course.TopFall, ""),
            ("lately_before", s.Before.LatelyCorrelation, ""), ("lately_after", s.After.LatelyCorrelation, ""), ("lost_by_lately", s.After.LostByLately, ""), ("repeats", s.Repeats, ""), ("collapses", s.Collapses.Count, ""), ("minds_alone", s.MindsAlone == s.Collapses.Under && s.MindsAlone != LoadDirection.None ? 1 : 0, ""),
            ("matched_at", s.Matched.AtS, "s"), ("matched_level", s.Matched.Level, ""), ("matched_sigma", s.Matched.Sigma, ""), ("matched_regions", s.Matched.Regions, ""),
            ("matched_shift", s.Matched.Shift.Level, ""), ("matched_shift_sigma", s.Matched.Shift.LevelSigma, ""), ("matched_shift_speed", s.Matched.Shift.BySpeed, ""), ("matched_shift_speed_sigma", s.Matched.Shift.BySpeedSigma, ""), ("matched_shift_thickness", s.Matched.Shift.ByThickness, ""),
            ("fall_shift", s.Kind.Shift.Level, ""), ("fall_shift_speed", s.Kind.Shift.BySpeed, ""), ("fall_shift_speed_sigma", s.Kind.Shift.BySpeedSigma, ""), ("fall_shift_thickness", s.Kind.Shift.ByThickness, ""), ("fall_shift_thickness_sigma", s.Kind.Shift.ByThicknessSigma, ""),
            ("valve_evidence", s.Kind.ValveEvidence, ""), ("hole_evidence", s.Kind.HoleEvidence, ""), ("froth_evidence", s.Kind.FrothEvidence, ""), ("thin_evidence", s.Kind.ThinEvidence, ""), ("relief_after", s.Kind.Relief, ""), ("delivery_after", s.Kind.Delivery, ""),
            ("reference_ramp", s.Level.Change.Ramp, ""), ("reference_relief", s.Level.Change.Relief, ""), ("reference_relief_sigma", s.Level.Change.ReliefSigma, ""), ("reference_relief_evidence", s.Level.Change.Evidence, ""), ("reference_hole_evidence", s.Level.Change.HoleEvidence, ""), ("reference_hole_ramp", s.Level.Change.HoleRamp, ""),
            ("reference_ratio_idle", s.Level.Change.IdleRatio, ""), ("reference_shift", s.Level.Change.Shift.Level, ""), ("reference_shift_sigma", s.Level.Change.Shift.LevelSigma, ""), ("reference_shift_speed", s.Level.Change.Shift.BySpeed, ""), ("reference_shift_speed_sigma", s.Level.Change.Shift.BySpeedSigma, ""),
            ("reference_shift_thickness", s.Level.Change.Shift.ByThickness, ""), ("reference_shift_thickness_sigma", s.Level.Change.Shift.ByThicknessSigma, ""),
        ];
        return [.. all.Where(measurement => double.IsFinite(measurement.Item2))];
    }

    /// <summary>A sentence about something that was not measured is no evidence.</summary>
    private static ImmutableArray<string> Sayable(ImmutableArray<string> sentences) =>
        sentences.RemoveAll(sentence => sentence.Contains("NaN", StringComparison.Ordinal) || sentence.Contains("Infinity", StringComparison.Ordinal));
}
