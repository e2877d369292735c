namespace OilWatch.Reading.Can;

/// <summary>One line of a CAN text log, read in full generality.</summary>
/// <remarks>
/// The log form <c>(1436509052.249713) can0 123#DEADBEEF</c> and the screen form <c>(1436509052.249713)  can0  123   [4]  DE AD BE EF</c>.
/// Source of both: can-utils, candump.c and lib.c (check-values 4.2). The reader has a quicker way for the most usual shape, which agrees with this.
/// </remarks>
internal struct CanLine
{
    /// <summary>What the line is.</summary>
    public CanLineKind Kind;

    /// <summary>True when there is a time stamp.</summary>
    public bool HasStamp;

    /// <summary>True when the stamp is a date and a time of day.</summary>
    public bool IsDated;

    /// <summary>True for the screen form.</summary>
    public bool IsScreen;

    /// <summary>The stamp as written, ns; a date counts from 1970.</summary>
    public long StampNs;

    /// <summary>How many decimals the stamp has.</summary>
    public int Decimals;

    /// <summary>Where the interface's name begins.</summary>
    public int InterfaceAt;

    /// <summary>How long it is, bytes.</summary>
    public int InterfaceLength;

    /// <summary>The identifier with its flags.</summary>
    public CanId Id;

    /// <summary>Data bytes.</summary>
    public int Length;

    /// <summary>Where a damaged line goes wrong, counted from 0.</summary>
    public int FaultAt;

    /// <summary>What would be right there; null for a good line.</summary>
    public string? Fault;
}
