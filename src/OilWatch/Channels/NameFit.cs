namespace OilWatch.Channels;

/// <summary>How well a channel's name fits a role.</summary>
/// <param name="Pattern">What the words that fit score by themselves.</param>
/// <param name="Score">The same, less what speaks against it.</param>
/// <param name="Against">What speaks against it most, in words; null when nothing does.</param>
internal sealed record NameFit(int Pattern, int Score, string? Against);
