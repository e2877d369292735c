namespace OilWatch.Proof;

/// <summary>The trials of several groups, numbered, and what was not a trial.</summary>
internal sealed class TrialSet
{
    private TrialSet(IReadOnlyList<Trial> judged, int[] notJudged, int[] sessions, List<string> notes) =>
        (Judged, NotJudged, Sessions, Notes) = (judged, notJudged, sessions, notes);

    public IReadOnlyList<Trial> Judged { get; }

    /// <summary>Exposures of each group whose pressure could not be judged.</summary>
    public int[] NotJudged { get; }

    /// <summary>Sessions of each group, repeated ones counted once.</summary>
    public int[] Sessions { get; }

    /// <summary>What people should know about the sessions given.</summary>
    public List<string> Notes { get; }

    /// <summary>True when one and the same session is in two groups.</summary>
    public bool Shared { get; private init; }

    public static TrialSet From(IReadOnlyList<ProofGroup> groups)
    {
        var judged = new List<Trial>();
        var notJudged = new int[groups.Count];
        var sessions = new int[groups.Count];
        var notes = new List<string>();
        var seen = new List<(int Group, string Name, IReadOnlyList<Exposure> Exposures)>();
        bool shared = false;
        int session = 0, lap = 0;
        for (int g = 0; g < groups.Count; g++)
        {
            foreach (ProofSession given in groups[g].Sessions)
            {
                IReadOnlyList<Exposure> exposures = given.Exposures();
                (int Group, string Name, IReadOnlyList<Exposure> Exposures) same = seen.FirstOrDefault(s => exposures.Count > 0 && s.Exposures.SequenceEqual(exposures));
                if (same.Exposures is not null)
                {
                    shared |= same.Group != g;
                    notes.Add(same.Group == g
                        ? $"'{given.Name}' holds the same passes as '{same.Name}' and is counted once."
                        : $"'{given.Name}' in '{groups[g].Name}' holds the same passes as '{same.Name}' in '{groups[same.Group].Name}'.");
                    if (same.Group == g) continue;
                }
                seen.Add((g, given.Name, exposures));
                sessions[g]++;
                var laps = new Dictionary<int, int>();
                foreach (Exposure exposure in exposures)
                {
                    if (exposure.Event is null)
                    {
                        notJudged[g]++;
                        continue;
                    }
                    int number = lap;
                    if (exposure.Lap is { } known && !laps.TryGetValue(known, out number)) laps[known] = number = lap++;
                    else if (exposure.Lap is null) lap++;
                    judged.Add(new(exposure, g, session, number));
                }
                session++;
            }
        }
        return new(judged, notJudged, sessions, notes) { Shared = shared };
    }
}
