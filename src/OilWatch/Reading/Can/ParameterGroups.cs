namespace OilWatch.Reading.Can;

/// <summary>What SAE J1939-71 says of any signal: the top of its range is kept for codes that are no values.</summary>
internal static class ParameterGroups
{
    /// <summary>The first raw number that is an error or not-available code of a signal of a database.</summary>
    /// <remarks>
    /// Unsigned 8, 16 and 32 bits: FE.. error, FF.. not available, by the top byte alone (check-values 0e and 3.1).
    /// Where the database's own range admits such a number, as for counters and checksums, it is a value.
    /// </remarks>
    public static ulong NotAValueFrom(CanSignal signal)
    {
        SignalLayout layout = signal.Layout;
        if (layout.IsSigned || layout.Form != CanNumberForm.Integer || layout.Bits is not (8 or 16 or 32)) return ulong.MaxValue;
        ulong from = 0xFEUL << (layout.Bits - 8);
        double lowest = (from * signal.Scale) + signal.Offset;
        bool admitted = signal.Maximum > signal.Minimum && signal.Scale > 0 && lowest <= signal.Maximum;
        return admitted ? ulong.MaxValue : from;
    }
}
