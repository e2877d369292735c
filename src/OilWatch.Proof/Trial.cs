namespace OilWatch.Proof;

/// <summary>An exposure with where it belongs: what the analysis counts.</summary>
/// <param name="Exposure">The exposure, judged.</param>
/// <param name="Group">Number of its group.</param>
/// <param name="Session">Number of its session over all groups.</param>
/// <param name="Lap">Number of its lap over all sessions.</param>
internal sealed record Trial(Exposure Exposure, int Group, int Session, int Lap)
{
    public bool Event => Exposure.Event == true;

    /// <summary>When it ended, s of load, and how.</summary>
    public (double TimeS, bool Event) Survival =>
        Event ? (Math.Max(0, Exposure.TimeToDropS ?? Exposure.HoldS), true) : (Exposure.HoldS, false);
}
