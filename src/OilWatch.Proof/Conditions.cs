namespace OilWatch.Proof;

/// <summary>Says why two groups cannot be compared. Every sentence carries its numbers.</summary>
internal static class Conditions
{
    public static IEnumerable<string> NotComparable(CommonSupport support, GroupOutcome before, GroupOutcome after, ProofOptions options)
    {
        foreach (GroupOutcome group in new[] { before, after })
        {
            if (group.Judged == 0)
            {
                yield return group.NotJudged > 0
                    ? $"None of the {Words.Count(group.NotJudged, "exposure")} of '{group.Name}' could be judged: oil pressure was not known there."
                    : $"'{group.Name}' has no exposure to sustained load.";
            }
        }
        if (before.Judged == 0 || after.Judged == 0) yield break;

        List<string> apart = [.. Apart(support, before, after, options)];
        foreach (string sentence in apart) yield return sentence;

        foreach (GroupOutcome group in new[] { before, after })
        {
            if (group.Exposures < options.MinExposures)
            {
                yield return $"Only {Words.Whole(group.Exposures)} of the {Words.Count(group.Judged, "exposure")} of '{group.Name}' lie where both groups drove; " +
                    $"at least {Words.Whole(options.MinExposures)} are needed.";
            }
            else if (group.Exposures < options.MinShareInRegion * group.Judged)
            {
                yield return $"Only {Words.Fixed(100.0 * group.Exposures / group.Judged, 0)} % of the exposures of '{group.Name}' lie where both groups drove; " +
                    $"at least {Words.Fixed(100 * options.MinShareInRegion, 0)} % are needed.";
            }
        }

        int events = before.Events + before.EventsOutside;
        if (events >= 3 && before.Events < options.MinShareOfEvents * events)
        {
            yield return $"{Words.Whole(before.EventsOutside)} of the {Words.Whole(events)} drops of '{before.Name}' came under conditions that '{after.Name}' never met: " +
                "where it used to fail it has not been tried again.";
        }
    }

    /// <summary>Axes on which the groups do not meet at all, or still differ within the region.</summary>
    private static IEnumerable<string> Apart(CommonSupport support, GroupOutcome before, GroupOutcome after, ProofOptions options)
    {
        foreach ((AxisCover cover, MatchAxis axis) in support.Covers.Zip(MatchAxis.All))
        {
            if (!cover.Matched || cover.Ranges[0] is not { } b || cover.Ranges[1] is not { } a) continue;
            double slack = axis.Of(options.Tolerance);
            if (b.High + slack < a.Low || a.High + slack < b.Low)
            {
                yield return $"The groups do not meet in {axis.Name}: '{before.Name}' {Range(b, axis)}, '{after.Name}' {Range(a, axis)}.";
            }
            else if (cover.Means is [{ } mb, { } ma] && Math.Abs(ma - mb) > axis.Of(options.LargestDifference))
            {
                yield return $"Even where both drove, {axis.Name} differs too much: mean {Words.Fixed(mb, axis.Digits)} {axis.Unit} in '{before.Name}', " +
                    $"{Words.Fixed(ma, axis.Digits)} {axis.Unit} in '{after.Name}'; up to {Words.Number(axis.Of(options.LargestDifference))} {axis.Unit} apart is allowed.";
            }
        }
    }

    private static string Range((double Low, double High) range, MatchAxis axis) =>
        $"{Words.Fixed(range.Low, axis.Digits)} to {Words.Fixed(range.High, axis.Digits)} {axis.Unit}";
}
