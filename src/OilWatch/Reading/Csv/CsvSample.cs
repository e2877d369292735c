namespace OilWatch.Reading.Csv;

/// <summary>The first rows of a log, cut up with one separator.</summary>
internal sealed class CsvSample
{
    /// <summary>How many rows are looked at ...</summary>
    private const int MaxRows = 1000;

    /// <summary>... unless so many with equal counts of cells have come one after another: that is the table.</summary>
    private const int EnoughRows = 100;

    private readonly ReadOnlyMemory<byte> _bytes;
    private readonly List<Row> _rows = [];
    private readonly List<CsvCells.Cell> _cells = [];

    /// <summary>Cuts up the beginning of a log.</summary>
    /// <param name="bytes">The beginning.</param>
    /// <param name="whole">True when that is the whole log.</param>
    /// <param name="separator">Between cells.</param>
    /// <param name="lineEnd">Between lines.</param>
    public CsvSample(ReadOnlyMemory<byte> bytes, bool whole, byte separator, byte lineEnd)
    {
        _bytes = bytes;
        Separator = separator;
        var scanner = new CsvCells();
        int at = 0;
        long line = 1;
        int equal = 0;
        while (at < bytes.Length && _rows.Count < MaxRows && equal < EnoughRows)
        {
            ReadOnlySpan<byte> rest = bytes.Span[at..];
            RowScan scan = scanner.Scan(rest, whole, separator, lineEnd);
            if (scan == RowScan.NeedMore) break;
            if (scan == RowScan.Malformed)
            {
                int end = rest.IndexOf(lineEnd);
                if (end < 0) break;
                _rows.Add(new Row(at, end + 1, line++, 1, _cells.Count, 0));
                at += end + 1;
                continue;
            }
            equal = scanner.Count > 1 && _rows.Count > 0 && _rows[^1].Cells == scanner.Count ? equal + 1 : 0;
            _rows.Add(new Row(at, scanner.Used, line, scanner.Lines, _cells.Count, scanner.Count));
            for (int i = 0; i < scanner.Count; i++)
                _cells.Add(scanner[i] with { Start = at + scanner[i].Start, End = at + scanner[i].End });
            at += scanner.Used;
            line += scanner.Lines;
        }
        LineEnd = lineEnd;
        (UsualCells, Score) = Usual();
    }

    /// <summary>What stands between cells.</summary>
    public byte Separator { get; }

    /// <summary>What stands between lines.</summary>
    public byte LineEnd { get; }

    /// <summary>How many rows there are.</summary>
    public int Count => _rows.Count;

    /// <summary>How many cells the rows of the table have; 0 when there seems to be none.</summary>
    public int UsualCells { get; }

    /// <summary>How well the separator fits: equal counts of cells over many rows, and cells that are numbers or times.</summary>
    public double Score { get; }

    /// <summary>A row.</summary>
    public Row this[int row] => _rows[row];

    /// <summary>The bytes of a cell, without quotes, trimmed.</summary>
    public ReadOnlySpan<byte> Cell(int row, int column)
    {
        CsvCells.Cell cell = _cells[_rows[row].FirstCell + column];
        return _bytes.Span[cell.Start..cell.End].Trim(" \t\r"u8);
    }

    /// <summary>True when the cell is quoted.</summary>
    public bool IsQuoted(int row, int column) => _cells[_rows[row].FirstCell + column].Quoted;

    /// <summary>The bytes of a row without its line end.</summary>
    public ReadOnlyMemory<byte> Bytes(int row)
    {
        ReadOnlyMemory<byte> bytes = _bytes.Slice(_rows[row].Offset, _rows[row].Length);
        if (bytes.Span is [.., var last] && last == LineEnd) bytes = bytes[..^1];
        return bytes.Span is [.., (byte)'\r'] ? bytes[..^1] : bytes;
    }

    /// <summary>True when the row is nothing but blanks and separators.</summary>
    public bool IsEmpty(int row)
    {
        for (int column = 0; column < _rows[row].Cells; column++)
            if (!Cell(row, column).IsEmpty) return false;
        return _rows[row].Cells > 0;
    }

    /// <summary>True when the row is a line that begins with a number sign.</summary>
    public bool IsComment(int row) => Bytes(row).Span.TrimStart(" \t"u8) is [(byte)'#', ..];

    /// <summary>True when the cell is a number with either decimal sign, or a time.</summary>
    public static bool IsValue(ReadOnlySpan<byte> cell) =>
        cell.Length > 0 && cell[0] < 0x40
        && (CsvNumber.TryDecimal(cell, (byte)'.', out _) || CsvNumber.TryDecimal(cell, (byte)',', out _)
            || CsvTime.TryClock(cell, false, out _) || CsvTime.TryDateAndClock(cell, DateOrder.DayFirst, out _)
            || CsvTime.TryDateAndClock(cell, DateOrder.MonthFirst, out _)
            || CsvTime.TryDate(cell, DateOrder.DayFirst, out _) || CsvTime.TryDate(cell, DateOrder.MonthFirst, out _));

    private (int Cells, double Score) Usual()
    {
        // Empty cells count half: a table of different rates is mostly empty, a wrong separator makes no empty cells.
        var byCount = new Dictionary<int, (double Good, double All)>();
        for (int row = 0; row < _rows.Count; row++)
        {
            int cells = _rows[row].Cells;
            if (cells == 0 || IsEmpty(row)) continue;
            double good = 0;
            int values = 0;
            for (int column = 0; column < cells; column++)
            {
                ReadOnlySpan<byte> cell = Cell(row, column);
                if (cell.IsEmpty) good += 0.5;
                else if (IsValue(cell)) values++;
            }
            if (values == 0) continue;
            byCount.TryGetValue(cells, out (double Good, double All) sum);
            byCount[cells] = (sum.Good + good + values, sum.All + cells);
        }
        (int Cells, double Score) best = default;
        foreach ((int cells, (double good, double all)) in byCount.OrderBy(pair => pair.Key))
            if (good * good / all / _rows.Count is var score && score > best.Score) best = (cells, score);     // a row: the right separator is sure after fewer rows than a wrong one
        return best;
    }

    /// <summary>A row of the sample.</summary>
    /// <param name="Offset">Where it begins.</param>
    /// <param name="Length">Bytes with its line end.</param>
    /// <param name="Line">The line it begins on, from 1.</param>
    /// <param name="Lines">Physical lines that it takes.</param>
    /// <param name="FirstCell">Its first cell among all.</param>
    /// <param name="Cells">How many cells it has; 0 when its quotes make no sense.</param>
    internal readonly record struct Row(int Offset, int Length, long Line, int Lines, int FirstCell, int Cells);
}
