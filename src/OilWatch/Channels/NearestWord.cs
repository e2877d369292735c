namespace OilWatch.Channels;

/// <summary>The word that somebody most likely meant.</summary>
internal static class NearestWord
{
    private const int LongestWord = 64;

    /// <summary>The candidate nearest to a mistyped word, or null when none is near: one slip for every three letters, at least one.</summary>
    public static string? To(string typed, IEnumerable<string> candidates)
    {
        string? nearest = null;
        int least = Math.Max(1, Math.Min(typed.Length, LongestWord) / 3) + 1;
        foreach (string candidate in candidates)
        {
            // What was cut short, such as heading for heading_deg, is nearer than its letters say.
            int slips = typed.Length >= 4 && candidate.StartsWith(typed, StringComparison.OrdinalIgnoreCase) ? Math.Min(1, Slips(typed, candidate)) : Slips(typed, candidate);
            if (slips < least || (slips == least && nearest is not null && string.CompareOrdinal(candidate, nearest) < 0))
            {
                nearest = candidate;
                least = slips;
            }
        }
        return nearest;
    }

    /// <summary>The few candidates nearest to a word, nearest first, however far.</summary>
    public static IEnumerable<string> Several(string typed, IEnumerable<string> candidates, int count) =>
        candidates.Distinct(StringComparer.Ordinal)
            .Select(candidate => (Name: candidate, Slips: Slips(typed, candidate)))
            .OrderBy(pair => pair.Slips).ThenBy(pair => pair.Name, StringComparer.Ordinal)
            .Take(count).Select(pair => pair.Name);

    /// <summary>Letters to change, add, leave out or swap with the next one; letter case, blanks and joiners do not count.</summary>
    public static int Slips(string first, string second)
    {
        string a = Plain(first);
        string b = Plain(second);
        int[] beforeLast = new int[b.Length + 1];
        int[] last = new int[b.Length + 1];
        int[] row = new int[b.Length + 1];
        for (int j = 0; j <= b.Length; j++) last[j] = j;
        for (int i = 1; i <= a.Length; i++)
        {
            row[0] = i;
            for (int j = 1; j <= b.Length; j++)
            {
                int cost = a[i - 1] == b[j - 1] ? 0 : 1;
                row[j] = Math.Min(Math.Min(row[j - 1], last[j]) + 1, last[j - 1] + cost);
                if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                    row[j] = Math.Min(row[j], beforeLast[j - 2] + 1);
            }
            (beforeLast, last, row) = (last, row, beforeLast);
        }
        return last[b.Length];
    }

    private static string Plain(string text)
    {
        Span<char> plain = stackalloc char[LongestWord];
        int length = 0;
        foreach (char c in text)
        {
            if (c is ' ' or '_' or '-') continue;
            plain[length++] = char.ToLowerInvariant(c);
            if (length == LongestWord) break;
        }
        return new string(plain[..length]);
    }
}
