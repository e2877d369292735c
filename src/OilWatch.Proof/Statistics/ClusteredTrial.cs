namespace OilWatch.Proof.Statistics;

/// <summary>One trial of two groups, with what it belongs to.</summary>
/// <param name="Group">0 before, 1 after.</param>
/// <param name="Stratum">Number of the stratum, 0 or more: what is compared with what.</param>
/// <param name="Session">Number of the session, 0 or more, different in the two groups.</param>
/// <param name="Lap">Number of the lap, 0 or more, different in every session.</param>
/// <param name="Event">Whether the event came.</param>
public readonly record struct ClusteredTrial(int Group, int Stratum, int Session, int Lap, bool Event);
