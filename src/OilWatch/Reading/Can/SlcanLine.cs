namespace OilWatch.Reading.Can;

/// <summary>What a line of an SLCAN adapter says.</summary>
internal struct SlcanLine
{
    /// <summary>What the line is.</summary>
    public CanLineKind Kind;

    /// <summary>The identifier with its flags; for <see cref="CanLineKind.Error"/> the classes of linux/can/error.h.</summary>
    public CanId Id;

    /// <summary>Data bytes, or the length a remote frame asks for.</summary>
    public int Length;

    /// <summary>True when there is a time stamp.</summary>
    public bool HasStamp;

    /// <summary>The time stamp, ms, 0 to 59999: it starts again every minute.</summary>
    public int StampMs;

    /// <summary>Where a damaged line goes wrong, counted from 0.</summary>
    public int FaultAt;

    /// <summary>What would be right there; null for a good line.</summary>
    public string? Fault;
}
