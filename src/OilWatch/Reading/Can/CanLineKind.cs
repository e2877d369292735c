namespace OilWatch.Reading.Can;

/// <summary>What a line of a CAN text log is. Every line is exactly one of these.</summary>
internal enum CanLineKind
{
    /// <summary>A data frame.</summary>
    Frame = 0,

    /// <summary>A remote frame: a request, without data.</summary>
    Remote = 1,

    /// <summary>An error frame: the controller reports a fault of the bus or of itself.</summary>
    Error = 2,

    /// <summary>The recorder says that it lost frames, or a bus adapter reports its state.</summary>
    Notice = 3,

    /// <summary>Empty, or a comment.</summary>
    Comment = 4,

    /// <summary>None of these.</summary>
    Damaged = 5,
}
