namespace OilWatch.Synthesiser.Truths;

/// <summary>One true loss of oil pressure: below 90 % of healthy.</summary>
public sealed record TrueEvent
{
    /// <summary><c>oil-starvation</c> when the pickup was uncovered by load, otherwise <c>low-oil-pressure</c>.</summary>
    public required string Kind { get; init; }

    /// <summary>The last instant before it at which pressure was within 3 % of healthy, s.</summary>
    public required double StartS { get; init; }

    /// <summary>When pressure first fell below 90 % of healthy, s.</summary>
    public required double Pass10S { get; init; }

    /// <summary>When pressure first fell to 75 % of healthy, s; null when it never did.</summary>
    public double? Pass25S { get; init; }

    /// <summary>When pressure was back above 90 % of healthy for good, s.</summary>
    public required double EndS { get; init; }

    /// <summary>Lowest ratio of pressure to healthy.</summary>
    public required double MinRatio { get; init; }

    /// <summary>Pressure at that moment, kPa gauge.</summary>
    public required double MinKpa { get; init; }

    /// <summary>Healthy pressure at that moment, kPa gauge.</summary>
    public required double ExpectedKpa { get; init; }

    /// <summary>Engine speed at that moment, rpm.</summary>
    public required double RpmAtMin { get; init; }

    /// <summary><c>left</c>, <c>right</c>, <c>braking</c>, <c>accelerating</c>; null without load.</summary>
    public string? Direction { get; init; }

    /// <summary>Corner label, null outside any.</summary>
    public string? Corner { get; init; }

    /// <summary>Lap number.</summary>
    public required int Lap { get; init; }

    /// <summary>Seconds at or below 75 % of healthy above 2500 rpm, in all.</summary>
    public required double CautionS { get; init; }

    /// <summary>The longest unbroken stretch of those, s.</summary>
    public required double CautionHoldS { get; init; }

    /// <summary><c>advisory</c> or <c>caution</c> (25 % or more below healthy for 0.15 s or longer above 2500 rpm).</summary>
    public required string Severity { get; init; }

    /// <summary>True where a fair judge could call it either way; not to be scored.</summary>
    public required bool Borderline { get; init; }

    /// <summary>The lasting problem behind it, such as <c>pump-failing</c>; null when load alone did it.</summary>
    public string? Condition { get; init; }

    /// <summary>True at caution.</summary>
    public bool IsCaution => Severity is "caution";
}
