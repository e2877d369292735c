namespace OilWatch.Reading;

/// <summary>A sink that takes a table's row at once: the same as its readings one by one and the end of the record, without a call for each.</summary>
internal interface IRowSink : IReadingSink
{
    /// <summary>What stands in a row for a channel without a reading; a NaN that no arithmetic makes.</summary>
    const long AbsentBits = 0x7FF8_0000_0A11_0000;

    /// <summary>A row.</summary>
    /// <param name="at">When.</param>
    /// <param name="channels">The channels, the same array for every row of a table.</param>
    /// <param name="values">A value for each of them, or <see cref="AbsentBits"/>.</param>
    void AddRow(LogTime at, int[] channels, ReadOnlySpan<double> values);
}
