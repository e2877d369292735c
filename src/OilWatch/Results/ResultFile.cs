namespace OilWatch.Results;

/// <summary>One file of a session's results: its name and how to write it.</summary>
/// <param name="Name">The file's name, without a folder.</param>
/// <param name="Write">Writes the whole content; neither flushes to disk nor closes. What the stream throws passes through.</param>
public sealed record ResultFile(string Name, Action<SessionResult, Stream> Write);
