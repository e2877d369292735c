namespace OilWatch.Positions;

/// <summary>What a line of an NMEA 0183 stream turned out to be.</summary>
public enum NmeaLine
{
    /// <summary>A whole sentence with a position or a speed in it.</summary>
    Fix,

    /// <summary>A whole sentence by which the receiver says that it has no fix.</summary>
    NoFix,

    /// <summary>A whole sentence of another kind.</summary>
    Other,

    /// <summary>Nothing but white space.</summary>
    Empty,

    /// <summary>Not a sentence, damaged, or with an impossible value.</summary>
    Problem,
}
