namespace OilWatch.Board.Showing;

/// <summary>One part of what is shown, written once for all pages.</summary>
/// <param name="Json">A member of an object: its name, a colon, its value.</param>
/// <param name="Version">The step with which it came to be.</param>
internal sealed record BoardPart(byte[] Json, long Version);
