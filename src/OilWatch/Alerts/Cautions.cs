using System.Collections.Immutable;

namespace OilWatch.Alerts;

/// <summary>What is said wherever advice is shown.</summary>
public static class Cautions
{
    /// <summary>One line for a small screen.</summary>
    public const string OneLine = "Advice, not protection: keep the gauge or warning light; the driver and officials decide.";

    /// <summary>The whole of it, a sentence each.</summary>
    public static ImmutableArray<string> All { get; } =
    [
        "This is advice, not protection: keep the mechanical gauge or warning light and the engine's own safeguards.",
        "A warning means ease off, get off line safely and shut down when safe; the driver and the officials decide.",
        "Hot oil and running engines injure.",
        "The rules of the event come first, and teardown calls belong to a qualified engine builder.",
        "Thresholds are starting points, to be set with the builder.",
    ];
}
