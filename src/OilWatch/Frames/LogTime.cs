namespace OilWatch;

/// <summary>An instant in a log's own time base: whole nanoseconds since the log's zero.</summary>
/// <remarks>
/// Not a wall clock and not comparable between logs. The default value is the log's zero. A double of epoch
/// seconds holds about 0.2 µs and drifts in sums; whole nanoseconds do not (292 years either way).
/// </remarks>
/// <param name="Nanoseconds">Whole nanoseconds since the log's zero; may be negative.</param>
public readonly record struct LogTime(long Nanoseconds) : IComparable<LogTime>
{
    /// <summary>Nanoseconds in a second.</summary>
    public const long NanosecondsPerSecond = 1_000_000_000;

    /// <summary>Seconds, for files and screens. Never feed it back into arithmetic on instants.</summary>
    public double Seconds => Nanoseconds / 1e9;

    /// <summary>The instant nearest to <paramref name="seconds"/> after the log's zero.</summary>
    /// <param name="seconds">Seconds, finite, at most 292 years.</param>
    public static LogTime FromSeconds(double seconds) => new((long)Math.Round(seconds * 1e9));

    /// <summary>Seconds from <paramref name="earlier"/> to this instant; negative when this is the earlier one.</summary>
    public double SecondsSince(LogTime earlier) => (Nanoseconds - earlier.Nanoseconds) / 1e9;

    /// <summary>This instant moved by <paramref name="seconds"/>.</summary>
    public LogTime AddSeconds(double seconds) => new(Nanoseconds + (long)Math.Round(seconds * 1e9));

    /// <inheritdoc/>
    public int CompareTo(LogTime other) => Nanoseconds.CompareTo(other.Nanoseconds);

    /// <summary>True when <paramref name="left"/> is before <paramref name="right"/>.</summary>
    public static bool operator <(LogTime left, LogTime right) => left.Nanoseconds < right.Nanoseconds;

    /// <summary>True when <paramref name="left"/> is after <paramref name="right"/>.</summary>
    public static bool operator >(LogTime left, LogTime right) => left.Nanoseconds > right.Nanoseconds;

    /// <summary>True when <paramref name="left"/> is not after <paramref name="right"/>.</summary>
    public static bool operator <=(LogTime left, LogTime right) => left.Nanoseconds <= right.Nanoseconds;

    /// <summary>True when <paramref name="left"/> is not before <paramref name="right"/>.</summary>
    public static bool operator >=(LogTime left, LogTime right) => left.Nanoseconds >= right.Nanoseconds;
}
