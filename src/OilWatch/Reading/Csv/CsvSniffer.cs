using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using OilWatch.Channels;

namespace OilWatch.Reading.Csv;

/// <summary>Finds out how a CSV log is laid out by looking at its beginning.</summary>
/// <remarks>
/// The separator is the one that cuts several rows of the table into equal numbers of cells that are numbers; it is never guessed
/// from one line. The header is then looked for above the first row of numbers.
/// </remarks>
internal sealed class CsvSniffer
{
    private const int MaxNotes = 4096;

    private static readonly (byte Separator, string Words)[] Separators = [((byte)',', "commas"), ((byte)';', "semicolons"), ((byte)'\t', "tabs")];

    private readonly string _file;
    private readonly CsvSample _sample;
    private readonly List<string> _assumptions = [];
    private readonly List<ReadingProblem> _problems = [];
    private readonly bool[] _isNumeric;
    private readonly bool[] _isText;
    private bool _latin1;

    private CsvSniffer(string file, CsvSample sample)
    {
        _file = file;
        _sample = sample;
        _isNumeric = new bool[sample.UsualCells];
        _isText = new bool[sample.UsualCells];
    }

    /// <summary>Looks at the beginning of a log.</summary>
    /// <param name="file">Its name, for messages.</param>
    /// <param name="head">Its first bytes, decoded.</param>
    /// <param name="whole">True when that is the whole log.</param>
    /// <param name="note">What was decoded, or null.</param>
    /// <exception cref="InputException">There is no table in it, or no time.</exception>
    public static CsvLayout Look(string file, ReadOnlyMemory<byte> head, bool whole, string? note)
    {
        byte lineEnd = head.Span.Contains((byte)'\n') || !head.Span.Contains((byte)'\r') ? (byte)'\n' : (byte)'\r';
        byte? told = Told(head.Span);
        CsvSample? best = null;
        foreach ((byte separator, _) in Separators)
        {
            if (told is not null && separator != told) continue;
            if (best is not null && !head.Span.Contains(separator)) continue;
            var sample = new CsvSample(head, whole, separator, lineEnd);
            if (Rank(sample).CompareTo(Rank(best)) > 0) best = sample;
        }
        if (best is null) throw NoTable(file, head.Length);
        if (best.UsualCells > CsvLayout.MaxColumns) throw TooManyColumns(file, best.UsualCells);
        return new CsvSniffer(file, best).Look(note);
    }

    /// <summary>A table of several columns before one of a single column, then the better fit.</summary>
    private static (bool HasTable, bool HasColumns, double Score) Rank(CsvSample? sample) =>
        sample is null ? default : (sample.UsualCells > 0, sample.UsualCells > 1, sample.Score);

    /// <summary>The separator that a first line such as <c>sep=;</c>, a spreadsheet's habit, tells.</summary>
    private static byte? Told(ReadOnlySpan<byte> head) =>
        head.StartsWith("sep="u8) && head.Length > 5 && head[5] is (byte)'\r' or (byte)'\n' && head[4] is (byte)',' or (byte)';' or (byte)'\t' ? head[4] : null;

    private static InputException NoTable(string file, int bytes) => new(new ReadingProblem(file, 0, 0, string.Create(
        CultureInfo.InvariantCulture,
        $"no table of numbers was found in the first {Math.Max(1, bytes / 1024)} KiB; a line of column names and rows of numbers are expected, separated by commas, semicolons or tabs")));

    private static InputException TooManyColumns(string file, int columns) => new(new ReadingProblem(file, 0, 0, string.Create(
        CultureInfo.InvariantCulture,
        $"the table has {columns} columns; at most {CsvLayout.MaxColumns} can be read, leave out those that are not needed")));

    private CsvLayout Look(string? note)
    {
        if (note is not null) _assumptions.Add(note);
        Profile();
        int data = FirstDataRow();
        (int header, int units) = HeaderAbove(data);
        int columns = ColumnCount(header);
        if (columns > CsvLayout.MaxColumns) throw TooManyColumns(_file, columns);
        byte decimalSign = DecimalSign(data);
        SaySeparator(decimalSign);

        Column[] table = Columns(header, units, columns);
        ImmutableArray<(string Key, string Value)> preamble = Preamble(header, data);
        SayHeader(header, units, data);
        CsvTimeSource time = new CsvTimeFinder(_file, _sample, data, table, preamble, _assumptions).Find();
        NameDuplicates(table, header, time);
        if (_latin1) _assumptions.Add("The header is not UTF-8; it was read as Windows-1252.");

        ImmutableArray<int> columnOf = [.. Enumerable.Range(0, columns).Where(column => table[column].IsChannel && column != time.Column && column != time.DateColumn)];
        SayText(table, columnOf);
        int dataOffset = units >= 0 ? EndOf(units) : header >= 0 ? EndOf(header) : _sample[data].Offset;
        return new CsvLayout
        {
            Separator = _sample.Separator,
            DecimalSign = decimalSign,
            LineEnd = _sample.LineEnd,
            RowCells = _sample.UsualCells,
            ColumnCount = columns,
            DataOffset = dataOffset,
            FrontLines = FrontLines(header, units, dataOffset),
            HeaderBytes = header >= 0 ? _sample.Bytes(header).ToArray() : default,
            UnitsBytes = units >= 0 ? _sample.Bytes(units).ToArray() : default,
            Time = time,
            ColumnOf = columnOf,
            Channels = [.. columnOf.Select((column, index) => new LogChannel(index, table[column].Name, table[column].Unit))],
            IsText = [.. columnOf.Select(IsText)],
            Preamble = preamble,
            Assumptions = [.. _assumptions],
            Problems = [.. _problems],
        };
    }

    private int EndOf(int row) => _sample[row].Offset + _sample[row].Length;

    private bool IsText(int column) => column < _isText.Length && _isText[column];

    /// <summary>Learns from the second half of the sample, where the table surely is, which columns hold numbers.</summary>
    private void Profile()
    {
        var values = new int[_sample.UsualCells];
        var filled = new int[_sample.UsualCells];
        var rows = Enumerable.Range(0, _sample.Count).Where(row => _sample[row].Cells == _sample.UsualCells && !_sample.IsEmpty(row)).ToList();
        foreach (int row in rows.Skip(rows.Count / 2))
        {
            for (int column = 0; column < _sample.UsualCells; column++)
            {
                ReadOnlySpan<byte> cell = _sample.Cell(row, column);
                if (cell.IsEmpty) continue;
                filled[column]++;
                if (CsvSample.IsValue(cell) || IsNone(cell)) values[column]++;
            }
        }
        for (int column = 0; column < _sample.UsualCells; column++)
        {
            _isNumeric[column] = values[column] * 2 >= filled[column] && filled[column] > 0;
            _isText[column] = values[column] == 0 && filled[column] > 0;
        }
    }

    private static bool IsNone(ReadOnlySpan<byte> cell) => CsvNumber.Read(cell, (byte)'.', out _) is CellKind.None or CellKind.Empty;

    private int FirstDataRow()
    {
        for (int row = 0; row < _sample.Count; row++)
            if (IsData(row, out bool hasWords) && (!hasWords || FilledBelow(row) is not (>= 0 and var next) || IsData(next, out _))) return row;
        throw NoTable(_file, _sample.Count == 0 ? 0 : EndOf(_sample.Count - 1));
    }

    /// <summary>True for a row that has numbers where the table has them. A few words among them are let through: they may be a note before the table.</summary>
    private bool IsData(int row, out bool hasWords)
    {
        hasWords = false;
        if (_sample[row].Cells != _sample.UsualCells || _sample.IsComment(row)) return false;
        int values = 0, words = 0, numeric = 0;
        for (int column = 0; column < _sample.UsualCells; column++)
        {
            if (!_isNumeric[column]) continue;
            numeric++;
            ReadOnlySpan<byte> cell = _sample.Cell(row, column);
            if (CsvSample.IsValue(cell)) values++;
            else if (!IsNone(cell)) words++;
        }
        hasWords = words > 0;
        return values > 0 && words * 3 <= numeric;
    }

    private int FilledBelow(int row)
    {
        do row++;
        while (row < _sample.Count && (_sample[row].Cells == 0 || _sample.IsEmpty(row)));
        return row < _sample.Count ? row : -1;
    }

    /// <summary>The rows of the header and of the units above the first row of data; -1 where there is none.</summary>
    private (int Header, int Units) HeaderAbove(int data)
    {
        int below = FilledAbove(data);
        while (below >= 0 && IsSpoiltData(below)) below = FilledAbove(below);
        if (below < 0) return (-1, -1);
        if (IsUnits(below) && FilledAbove(below) is >= 0 and var above && IsHeader(above)) return (above, below);
        return IsHeader(below) ? (below, -1) : (-1, -1);
    }

    /// <summary>A row of the table that is too full of words to be known as data: its first number is where numbers are.</summary>
    private bool IsSpoiltData(int row) =>
        _sample[row].Cells == _sample.UsualCells && !_sample.IsComment(row) && _isNumeric[0] && CsvSample.IsValue(_sample.Cell(row, 0));

    private int FilledAbove(int row)
    {
        do row--;
        while (row >= 0 && (_sample[row].Cells == 0 || _sample.IsEmpty(row)));
        return row;
    }

    private bool IsHeader(int row)
    {
        int cells = _sample[row].Cells, names = 0, values = 0;
        if (cells < 2 && _sample.UsualCells > 1) return false;
        for (int column = 0; column < cells; column++)
        {
            ReadOnlySpan<byte> cell = _sample.Cell(row, column);
            if (cell.IsEmpty) continue;
            if (CsvSample.IsValue(cell)) values++;
            else names++;
        }
        int slack = Math.Max(2, _sample.UsualCells / 4);
        return names > values && cells >= _sample.UsualCells - slack && cells <= _sample.UsualCells + slack;
    }

    private bool IsUnits(int row)
    {
        int filled = 0, units = 0;
        for (int column = 0; column < _sample[row].Cells; column++)
        {
            string cell = Text(_sample.Cell(row, column));
            if (cell.Length == 0) continue;
            filled++;
            if (CsvTimeFinder.IsTimeName(CsvUnits.Unwrapped(cell))) return false;
            if (CsvUnits.IsUnit(cell) || (cell.Length > 2 && CsvUnits.Unwrapped(cell).Length < cell.Length)) units++;
        }
        return filled > 0 && units * 5 >= filled * 3;
    }

    /// <summary>The header's cells, without empty ones at its end.</summary>
    private int ColumnCount(int header)
    {
        if (header < 0) return _sample.UsualCells;
        int columns = _sample[header].Cells;
        while (columns > 0 && _sample.Cell(header, columns - 1).IsEmpty && (columns > _sample.UsualCells || !_isNumeric[columns - 1])) columns--;
        return Math.Max(columns, LastNumericColumn() + 1);
    }

    private int LastNumericColumn() => Array.LastIndexOf(_isNumeric, true);

    /// <summary>Counts the numbers that have the one sign and those that have the other.</summary>
    private byte DecimalSign(int data)
    {
        int points = 0, commas = 0;
        for (int row = data; row < _sample.Count; row++)
        {
            for (int column = 0; column < _sample[row].Cells; column++)
            {
                ReadOnlySpan<byte> cell = _sample.Cell(row, column);
                if (cell.Contains((byte)'.') && CsvNumber.TryDecimal(cell, (byte)'.', out _)) points++;
                else if (cell.Contains((byte)',') && CsvNumber.TryDecimal(cell, (byte)',', out _)) commas++;
            }
        }
        return commas > points ? (byte)',' : (byte)'.';
    }

    private Column[] Columns(int header, int units, int count)
    {
        var columns = new Column[count];
        for (int i = 0; i < count; i++)
        {
            string heading = header >= 0 && i < _sample[header].Cells ? Text(_sample.Cell(header, i), _sample.IsQuoted(header, i)) : "";
            if (i == 0) heading = heading.TrimStart('#').TrimStart();
            string? unit = units >= 0 && i < _sample[units].Cells ? CsvUnits.Unwrapped(Text(_sample.Cell(units, i))) : null;
            if (string.IsNullOrEmpty(unit)) unit = null;
            string name = heading;
            if (unit is null) name = CsvUnits.Split(heading, out unit);
            else if (CsvUnits.Split(heading, out string? inHeading) is { } shorter && string.Equals(inHeading, unit, StringComparison.OrdinalIgnoreCase)) name = shorter;
            bool named = name.Length > 0;
            columns[i] = new Column(named ? name : Numbered("Column ", i), unit, heading, IsChannel: named || (i < _isNumeric.Length && _isNumeric[i]));
        }
        if (header >= 0 && columns.Where((column, i) => column.Heading.Length == 0 && column.IsChannel).Any())
            _assumptions.Add("Columns without a name are called 'Column' and their number.");
        return columns;
    }

    private static string Numbered(string text, int column) => text + (column + 1).ToString(CultureInfo.InvariantCulture);

    /// <summary>Later columns of the same name get their number behind it.</summary>
    private void NameDuplicates(Column[] table, int header, CsvTimeSource time)
    {
        var first = new Dictionary<string, int>(StringComparer.Ordinal);
        for (int i = 0; i < table.Length; i++)
        {
            if (i == time.Column || i == time.DateColumn || !table[i].IsChannel) continue;
            string name = table[i].Name;
            if (first.TryAdd(name, i)) continue;
            string other = name;
            do other = Numbered(other + "#", i);
            while (!first.TryAdd(other, i));
            table[i] = table[i] with { Name = other };
            var problem = new ReadingProblem(_file, header >= 0 ? _sample[header].Line : 0, 0, string.Create(
                CultureInfo.InvariantCulture,
                $"column '{name}' appears twice (columns {first[name] + 1} and {i + 1}); rename one, or name the second as source = \"{other}\""));
            _problems.Add(problem);
            if (_problems.Count <= CsvProblems.Kept) _assumptions.Add(problem.ToString());
        }
    }

    private ImmutableArray<(string Key, string Value)> Preamble(int header, int data)
    {
        var notes = ImmutableArray.CreateBuilder<(string, string)>();
        for (int row = 0; row < (header >= 0 ? header : data) && notes.Count < MaxNotes; row++)
        {
            if (_sample.IsEmpty(row)) continue;
            string line = Text(_sample.Bytes(row).Span).TrimStart('#').Trim();
            if (line.Length > 0) notes.Add(Note(row, line));
        }
        return notes.ToImmutable();
    }

    private (string Key, string Value) Note(int row, string line)
    {
        if (_sample[row].Cells > 1)
        {
            var values = Enumerable.Range(1, _sample[row].Cells - 1).Select(column => Text(_sample.Cell(row, column), _sample.IsQuoted(row, column)));
            return (Text(_sample.Cell(row, 0), _sample.IsQuoted(row, 0)).TrimStart('#').TrimEnd(':').Trim(), string.Join(", ", values.Where(value => value.Length > 0)));
        }
        int at = line.AsSpan().IndexOfAny(",;\t");
        if (at <= 0) at = line.AsSpan().IndexOfAny(":=");
        return at <= 0 ? ("", line) : (line[..at].TrimEnd().Trim('"'), line[(at + 1)..].Trim().Trim('"'));
    }

    private ImmutableArray<long> FrontLines(int header, int units, int dataOffset)
    {
        var lines = new long[(int)CsvLine.TooLong + 1];
        for (int row = 0; row < _sample.Count && _sample[row].Offset < dataOffset; row++)
        {
            CsvLine kind = row == header ? CsvLine.Header
                : row == units ? CsvLine.Units
                : _sample[row].Cells == 1 && _sample.IsEmpty(row) ? CsvLine.Blank
                : _sample.IsComment(row) ? CsvLine.Comment
                : CsvLine.Preamble;
            lines[(int)kind] += _sample[row].Lines;
        }
        return [.. lines];
    }

    private void SaySeparator(byte decimalSign)
    {
        string words = Separators.First(known => known.Separator == _sample.Separator).Words;
        string sign = decimalSign == (byte)',' ? "a comma" : "a point";
        _assumptions.Add(_sample.UsualCells == 1
            ? $"The table has one column; the decimal sign is {sign}."
            : $"Columns are separated by {words}; the decimal sign is {sign}.");
        if (_sample.LineEnd == (byte)'\r') _assumptions.Add("Lines end with a carriage return alone.");
    }

    private void SayHeader(int header, int units, int data)
    {
        if (header < 0)
        {
            _assumptions.Add(string.Create(
                CultureInfo.InvariantCulture, $"No line of names was found above the first row of numbers (line {_sample[data].Line}); columns are called by their number."));
            return;
        }
        if (_sample[header].Line > 1)
            _assumptions.Add(string.Create(CultureInfo.InvariantCulture, $"The names of the columns are on line {_sample[header].Line}; the lines before it are notes."));
        if (units >= 0)
            _assumptions.Add(string.Create(CultureInfo.InvariantCulture, $"Units are on line {_sample[units].Line}."));
    }

    private void SayText(Column[] table, ImmutableArray<int> columnOf)
    {
        string[] names = [.. columnOf.Where(IsText).Take(10).Select(column => $"'{table[column].Name}'")];
        if (names.Length > 0) _assumptions.Add($"Columns of words have no values: {string.Join(", ", names)}.");
    }

    /// <summary>The text of a cell: UTF-8, or Windows-1252 where it is not that; on one line, without control characters.</summary>
    private string Text(ReadOnlySpan<byte> bytes, bool quoted = false)
    {
        string text;
        try
        {
            text = Strict.GetString(bytes);
        }
        catch (DecoderFallbackException)
        {
            text = Windows1252(bytes);
            _latin1 = true;
        }
        if (quoted) text = text.Replace("\"\"", "\"", StringComparison.Ordinal);
        var clean = new StringBuilder(text.Length);
        foreach (char letter in text) clean.Append(char.IsControl(letter) ? ' ' : letter);
        return string.Join(' ', clean.ToString().Split(' ', StringSplitOptions.RemoveEmptyEntries));
    }

    private static readonly UTF8Encoding Strict = new(encoderShouldEmitUTF8Identifier: false, throwOnInvalidBytes: true);

    /// <summary>The few letters that set it apart from Latin-1 do not occur in names and units; they become a question mark.</summary>
    private static string Windows1252(ReadOnlySpan<byte> bytes) =>
        string.Create(bytes.Length, bytes, static (text, from) =>
        {
            for (int i = 0; i < text.Length; i++) text[i] = from[i] is >= 0x80 and < 0xA0 ? '?' : (char)from[i];
        });

    /// <summary>A column of the table.</summary>
    /// <param name="Name">Its name without the unit.</param>
    /// <param name="Unit">Its unit, or null.</param>
    /// <param name="Heading">What the header says in full.</param>
    /// <param name="IsChannel">False for a nameless column without numbers, as a separator at the end of each line makes.</param>
    internal readonly record struct Column(string Name, string? Unit, string Heading, bool IsChannel);
}
