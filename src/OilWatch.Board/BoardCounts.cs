namespace OilWatch.Board;

/// <summary>What a board did and did not do.</summary>
/// <param name="Readers">Pages that look on now.</param>
/// <param name="Refused">Requests that got nothing: another host, another origin, no token, no such thing.</param>
/// <param name="Crowded">Pages that found no place.</param>
/// <param name="Skipped">Steps that a slow page did not see one by one; it was shown what came of them.</param>
/// <param name="Cut">Pages cut off because they took nothing any more.</param>
public readonly record struct BoardCounts(int Readers, long Refused, long Crowded, long Skipped, long Cut);
