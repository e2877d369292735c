namespace OilWatch.Console;

/// <summary>What is said wherever advice is shown.</summary>
internal static class Caution
{
    public const string Sentence =
        "Advice, not protection: keep the mechanical gauge or warning light and the engine's own safeguards. The driver and the officials decide; " +
        "event rules and a qualified engine builder come first. Thresholds are starting points.";
}
