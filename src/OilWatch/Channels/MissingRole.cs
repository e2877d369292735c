namespace OilWatch.Channels;

/// <summary>A role that no channel of the log fills.</summary>
/// <param name="Role">The role.</param>
/// <param name="Cost">One sentence: what cannot be judged, or is judged less surely, without it.</param>
public sealed record MissingRole(Role Role, string Cost);
