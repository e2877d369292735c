namespace OilWatch.Reading.Csv;

/// <summary>How the search for the end of a row went.</summary>
internal enum RowScan
{
    /// <summary>A whole row was found.</summary>
    Row,

    /// <summary>The row goes on behind the bytes at hand.</summary>
    NeedMore,

    /// <summary>The quotes of the row make no sense. Only its first line is to be passed over.</summary>
    Malformed,
}

/// <summary>The cells of one row by RFC 4180, found byte by byte: the way for rows with quotes, and the reference for the quick way.</summary>
/// <remarks>
/// Lenient where real files are: blanks may stand between a quote and the separator; a quote inside an unquoted cell is itself. A quoted
/// cell may hold separators, line ends and doubled quotes, but one that is not closed within <see cref="MaxQuotedBytes"/> is a stray
/// quote: it must not swallow the rest of the log.
/// </remarks>
internal sealed class CsvCells
{
    /// <summary>The longest quoted cell, bytes.</summary>
    public const int MaxQuotedBytes = 16 * 1024;

    /// <summary>The longest row that goes over several lines, bytes.</summary>
    public const int MaxManyLinesBytes = 64 * 1024;

    private Cell[] _cells = new Cell[64];

    /// <summary>How many cells the row has.</summary>
    public int Count { get; private set; }

    /// <summary>Bytes of the row with its line end.</summary>
    public int Used { get; private set; }

    /// <summary>Physical lines that the row takes.</summary>
    public int Lines { get; private set; }

    /// <summary>A cell, as offsets from the start of the row, without its quotes.</summary>
    public Cell this[int index] => _cells[index];

    /// <summary>Finds the cells of the row that begins at the front of <paramref name="bytes"/>, which is not empty.</summary>
    public RowScan Scan(ReadOnlySpan<byte> bytes, bool final, byte separator, byte lineEnd)
    {
        Count = 0;
        Used = 0;
        Lines = 1;
        int at = 0;
        while (true)
        {
            int open = at;
            while (open < bytes.Length && IsBlank(bytes[open], separator)) open++;
            if (open == bytes.Length && !final) return Incomplete(bytes.Length);
            bool quoted = open < bytes.Length && bytes[open] == (byte)'"';
            int end = quoted ? EndOfQuoted(bytes, open, lineEnd) : EndOfPlain(bytes, at, separator, lineEnd);
            if (end == Stray) return RowScan.Malformed;
            if (end == Unknown)
            {
                if (!final) return Incomplete(bytes.Length);
                if (quoted) return RowScan.Malformed;
                end = bytes.Length;
            }

            int next = end;
            if (quoted)
            {
                Add(new Cell(open + 1, end, Quoted: true));
                next = end + 1;
                while (next < bytes.Length && IsBlank(bytes[next], separator)) next++;
                if (next < bytes.Length && bytes[next] == (byte)'\r' && lineEnd == (byte)'\n') next++;
                if (next == bytes.Length && !final) return Incomplete(bytes.Length);
                if (next < bytes.Length && bytes[next] != separator && bytes[next] != lineEnd) return RowScan.Malformed;
            }
            else
            {
                bool cr = lineEnd == (byte)'\n' && end > at && bytes[end - 1] == (byte)'\r' && (end == bytes.Length || bytes[end] == lineEnd);
                Add(new Cell(at, cr ? end - 1 : end, Quoted: false));
            }
            if (Lines > 1 && next > MaxManyLinesBytes) return RowScan.Malformed;
            if (next == bytes.Length || bytes[next] == lineEnd)
            {
                Used = Math.Min(next + 1, bytes.Length);
                return RowScan.Row;
            }
            at = next + 1;
        }
    }

    private const int Unknown = -1;
    private const int Stray = -2;

    private RowScan Incomplete(int length) =>
        Lines > 1 && length > MaxManyLinesBytes ? RowScan.Malformed : RowScan.NeedMore;

    private static bool IsBlank(byte value, byte separator) => value == (byte)' ' || (value == (byte)'\t' && separator != (byte)'\t');

    private static int EndOfPlain(ReadOnlySpan<byte> bytes, int at, byte separator, byte lineEnd)
    {
        int length = bytes[at..].IndexOfAny(separator, lineEnd);
        return length < 0 ? Unknown : at + length;
    }

    /// <summary>The place of the closing quote.</summary>
    private int EndOfQuoted(ReadOnlySpan<byte> bytes, int open, byte lineEnd)
    {
        int limit = Math.Min(bytes.Length, open + MaxQuotedBytes);
        int at = open + 1;
        while (true)
        {
            int length = bytes[at..limit].IndexOf((byte)'"');
            if (length < 0) return limit < open + MaxQuotedBytes ? Unknown : Stray;
            int quote = at + length;
            if (quote + 1 < bytes.Length && bytes[quote + 1] == (byte)'"')
            {
                at = quote + 2;
                if (at >= limit) return limit < open + MaxQuotedBytes ? Unknown : Stray;
                continue;
            }
            Lines += bytes[(open + 1)..quote].Count(lineEnd);
            return quote;
        }
    }

    private void Add(Cell cell)
    {
        if (Count == _cells.Length) Array.Resize(ref _cells, 2 * _cells.Length);
        _cells[Count++] = cell;
    }

    /// <summary>Where a cell is in its row.</summary>
    internal readonly record struct Cell(int Start, int End, bool Quoted);
}
