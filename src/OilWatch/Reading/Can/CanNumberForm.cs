namespace OilWatch.Reading.Can;

/// <summary>How the bits of a signal make a number (the numbers are those of <c>SIG_VALTYPE_</c>).</summary>
internal enum CanNumberForm
{
    /// <summary>Integer, signed or not.</summary>
    Integer = 0,

    /// <summary>IEEE 754, 32 bits.</summary>
    Single = 1,

    /// <summary>IEEE 754, 64 bits.</summary>
    Double = 2,
}
