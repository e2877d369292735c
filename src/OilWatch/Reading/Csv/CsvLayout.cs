using System.Collections.Immutable;
using OilWatch.Channels;

namespace OilWatch.Reading.Csv;

/// <summary>The classes into which lines of a CSV log fall, in the order of the report.</summary>
internal enum CsvLine
{
    /// <summary>A row with a time, given to the sink.</summary>
    Row,

    /// <summary>A row that repeats, byte for byte, another row of the same time.</summary>
    Repeated,

    /// <summary>A row further out of order than can be mended.</summary>
    OutOfOrder,

    /// <summary>A row whose time cell is empty.</summary>
    WithoutTime,

    /// <summary>Nothing but blanks.</summary>
    Blank,

    /// <summary>A line before the header.</summary>
    Preamble,

    /// <summary>The header, also where it comes again.</summary>
    Header,

    /// <summary>The units under the header, also where they come again.</summary>
    Units,

    /// <summary>A line that begins with a number sign.</summary>
    Comment,

    /// <summary>A row that cannot be read: no time, or quotes that make no sense.</summary>
    Damaged,

    /// <summary>A line longer than <see cref="RecordPump.MaxRecordBytes"/>.</summary>
    TooLong,
}

/// <summary>Where a row's time comes from.</summary>
internal sealed record CsvTimeSource
{
    /// <summary>How it is written.</summary>
    public required TimeForm Form { get; init; }

    /// <summary>Its column's name; empty for <see cref="TimeForm.Rate"/>.</summary>
    public string Name { get; init; } = "";

    /// <summary>Its column, from 0; -1 for <see cref="TimeForm.Rate"/>.</summary>
    public int Column { get; init; } = -1;

    /// <summary>The column of the date beside it, or -1.</summary>
    public int DateColumn { get; init; } = -1;

    /// <summary>Nanoseconds of its unit, for <see cref="TimeForm.Number"/>.</summary>
    public long UnitNs { get; init; } = LogTime.NanosecondsPerSecond;

    /// <summary>Point or comma, whichever this column uses.</summary>
    public byte DecimalSign { get; init; } = (byte)'.';

    /// <summary>Of dates with the year at the end.</summary>
    public DateOrder Order { get; init; }

    /// <summary>True when times count from the first row's.</summary>
    public bool FromFirst { get; init; }

    /// <summary>For <see cref="TimeForm.Rate"/>: <see cref="PeriodRows"/> rows take this many nanoseconds.</summary>
    public ulong PeriodNs { get; init; }

    /// <summary>For <see cref="TimeForm.Rate"/>: at least 1.</summary>
    public ulong PeriodRows { get; init; } = 1;
}

/// <summary>All that was found out about a CSV log by looking at its beginning.</summary>
internal sealed record CsvLayout
{
    /// <summary>The most columns a table may have.</summary>
    public const int MaxColumns = 4096;

    /// <summary>Comma, semicolon or tab.</summary>
    public required byte Separator { get; init; }

    /// <summary>Point or comma.</summary>
    public required byte DecimalSign { get; init; }

    /// <summary>LF, or CR in a file that has no LF.</summary>
    public required byte LineEnd { get; init; }

    /// <summary>How many cells most rows have.</summary>
    public required int RowCells { get; init; }

    /// <summary>How many columns the table has; cells beyond are expected to be empty.</summary>
    public required int ColumnCount { get; init; }

    /// <summary>Bytes before the first row of data.</summary>
    public required int DataOffset { get; init; }

    /// <summary>How many lines before the first row of data are of each <see cref="CsvLine"/> class.</summary>
    public required ImmutableArray<long> FrontLines { get; init; }

    /// <summary>The bytes of the header's line, without its end; empty when there is no header.</summary>
    public required ReadOnlyMemory<byte> HeaderBytes { get; init; }

    /// <summary>The bytes of the units' line, without its end; empty when there is none.</summary>
    public required ReadOnlyMemory<byte> UnitsBytes { get; init; }

    /// <summary>Where the time comes from.</summary>
    public required CsvTimeSource Time { get; init; }

    /// <summary>The columns that are channels.</summary>
    public required ImmutableArray<LogChannel> Channels { get; init; }

    /// <summary>The column of each channel, from 0; ascending.</summary>
    public required ImmutableArray<int> ColumnOf { get; init; }

    /// <summary>For each channel: true when it holds words, which are then not problems.</summary>
    public required ImmutableArray<bool> IsText { get; init; }

    /// <summary>The lines before the header, as keys and values.</summary>
    public required ImmutableArray<(string Key, string Value)> Preamble { get; init; }

    /// <summary>What was assumed, a sentence each.</summary>
    public required ImmutableArray<string> Assumptions { get; init; }

    /// <summary>What is wrong with the header, though the table can be read.</summary>
    public required ImmutableArray<ReadingProblem> Problems { get; init; }
}
