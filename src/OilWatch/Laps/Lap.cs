namespace OilWatch.Laps;

/// <summary>One lap as it was counted.</summary>
/// <param name="Number">As the log counts it; with a gate or beacon the first piece is 0.</param>
/// <param name="Kind">Whether it is whole.</param>
/// <param name="Start">When it began.</param>
/// <param name="End">When it ended.</param>
/// <param name="LengthM">Distance covered in it as measured, m, before any scaling; NaN when not known.</param>
public sealed record Lap(int Number, LapKind Kind, LogTime Start, LogTime End, double LengthM)
{
    /// <summary>Seconds from start to end.</summary>
    public double DurationS => End.SecondsSince(Start);

    /// <summary>True when it began by passing the line.</summary>
    public bool StartsAtLine { get; init; }

    /// <summary>True when it ended by passing the line.</summary>
    public bool EndsAtLine { get; init; }

    /// <summary>Reference metres a measured metre, as frames in this lap were given; 1 before a reference is known.</summary>
    internal double Scale { get; init; } = 1;

    /// <summary>Reference metres added to the frames of this lap (a lap that began away from the line); NaN when not known.</summary>
    internal double OffsetM { get; init; }
}
