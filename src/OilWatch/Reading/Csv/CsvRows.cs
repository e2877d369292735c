using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace OilWatch.Reading.Csv;

/// <summary>One pass over the rows of a CSV log: bytes in, readings out.</summary>
/// <remarks>
/// A row of the usual shape takes the quick way: its cells are looked up among the marks and only those wanted are parsed. Any other row (quotes,
/// too few or too many cells, an odd time) takes the careful way, which is the definition of what a row means.
/// Nothing is allocated for a row; a problem beyond the first few is only counted.
/// </remarks>
internal sealed unsafe class CsvRows : IRecordHandler
{
    private const int StretchBytes = 16 * 1024;
    private const double Pending = double.NaN;
    private const int ClassCount = (int)CsvLine.TooLong + 1;

    private readonly CsvLayout _layout;
    private readonly CsvTimeSource _time;
    private readonly RowWindow _window;
    private readonly CsvProblems _problems;
    private readonly CsvMarks _marks = new();
    private readonly CsvCells _cells = new();
    private readonly int[] _channels;
    private readonly int[] _columns;
    private readonly int* _columnsPinned;
    private readonly double* _tables = CsvNumber.Tables;
    private readonly byte _decimalSign;
    private readonly int _usualColumns;
    private readonly long[] _classes = new long[ClassCount];
    private readonly ulong[] _quickScale = new ulong[16];
    private readonly ulong[] _quickLimit = new ulong[16];
    private long _line = 1;
    private long _front;
    private long _rateRow;
    private long _clockDays;
    private long _lastClock;
    private long _timeWentBack;
    private bool _wasLate;

    /// <param name="layout">What is known about the log.</param>
    /// <param name="channels">The channels wanted, ascending, each once.</param>
    /// <param name="sink">Takes the readings.</param>
    /// <param name="problems">Takes the problems.</param>
    public CsvRows(CsvLayout layout, int[] channels, IReadingSink sink, CsvProblems problems)
    {
        _layout = layout;
        _time = layout.Time;
        _problems = problems;
        _channels = channels;
        _columns = GC.AllocateArray<int>(channels.Length, pinned: true);
        for (int i = 0; i < channels.Length; i++) _columns[i] = layout.ColumnOf[channels[i]];
        _columnsPinned = (int*)Unsafe.AsPointer(ref MemoryMarshal.GetArrayDataReference(_columns));
        _decimalSign = layout.DecimalSign;
        _usualColumns = _columns.Count(column => column < layout.RowCells);
        _window = new RowWindow(sink, channels, _time.FromFirst);
        _front = layout.DataOffset;
        for (int i = 0; i < ClassCount; i++)
        {
            _classes[i] = layout.FrontLines[i];
            _line += layout.FrontLines[i];
        }
        PrepareQuickTime();
    }

    /// <summary>Lines seen, of every class.</summary>
    public long LineCount => _line - 1;

    /// <summary>How many times the time went back further than could be mended.</summary>
    public long TimeWentBack => _timeWentBack;

    /// <summary>The first instant given to the sink, or null.</summary>
    public LogTime? First => _window.HasEmitted ? _window.First : null;

    /// <summary>The last instant given to the sink, or null.</summary>
    public LogTime? Last => _window.HasEmitted ? _window.Last : null;

    /// <inheritdoc/>
    byte IRecordHandler.LineEnd => _layout.LineEnd;

    /// <summary>How many lines are of a class.</summary>
    public long CountOf(CsvLine kind) => _classes[(int)kind] + kind switch
    {
        CsvLine.Row => -_window.LinesAhead,
        CsvLine.OutOfOrder => _window.LinesAhead,
        _ => 0,
    };

    /// <inheritdoc/>
    public int Handle(ReadOnlySpan<byte> bytes, bool final)
    {
        int used = (int)Math.Min(_front, bytes.Length);
        _front -= used;
        fixed (byte* data = bytes)
        {
            while (used < bytes.Length)
            {
                int more = Stretch(data + used, bytes.Length - used, final);
                if (more == 0) break;
                used += more;
            }
            _window.Settle();
        }
        if (final) Finish();
        return used;
    }

    /// <inheritdoc/>
    public void TooLong(ReadOnlySpan<byte> beginning)
    {
        _problems.TooLong(_line, beginning);
        PassOver(CsvLine.TooLong);
    }

    private void Finish()
    {
        _window.Flush();
        if (_window.RowsAhead > 0) _problems.Ahead(0, _window.RowsAhead);
    }

    /// <summary>Handles the rows of a stretch that fits the nearest cache.</summary>
    /// <param name="bytes">Everything at hand, from the start of a row.</param>
    /// <param name="length">How many bytes that is.</param>
    /// <param name="final">No more will come.</param>
    /// <returns>Bytes used; 0 when more are needed.</returns>
    [MethodImpl(MethodImplOptions.AggressiveOptimization | MethodImplOptions.NoInlining)]
    private int Stretch(byte* bytes, int length, bool final)
    {
        int size = Math.Min(length, StretchBytes);
        _marks.Find(bytes, size, _layout.Separator, _layout.LineEnd);
        while (_marks.LineCount == 0 && size < length)
        {
            size = Math.Min(length, 4 * size);
            _marks.Find(bytes, size, _layout.Separator, _layout.LineEnd);
        }
        int* marks = _marks.Marks, lines = _marks.Lines;
        int lineCount = _marks.LineCount, usual = _layout.RowCells;
        if (lineCount == 0) return final ? Careful(new ReadOnlySpan<byte>(bytes, length), final) : 0;

        int start = 0, first = 1;
        for (int line = 0; line < lineCount; line++)
        {
            int last = lines[line] >> 1, end = marks[last];
            bool quoted = (lines[line] & 1) != 0;
            if (end >= start)                      // else it is inside a row of several lines that was read already
            {
                if (!quoted && last - first + 1 == usual && Quick(bytes, length, marks + first - 1))
                {
                    start = end + 1;
                }
                else
                {
                    int used = Careful(new ReadOnlySpan<byte>(bytes + start, length - start), final);
                    if (used == 0) return start;
                    start += used;
                }
            }
            first = last + 1;
        }
        return start;
    }

    /// <summary>A row of the usual shape.</summary>
    /// <param name="bytes">What the marks count in.</param>
    /// <param name="length">How many of them there are.</param>
    /// <param name="marks">The end of the line before, and the end of each of the usual cells.</param>
    /// <returns>False when it is not so usual after all; nothing has been done then.</returns>
    [MethodImpl(MethodImplOptions.AggressiveOptimization | MethodImplOptions.NoInlining)]
    private bool Quick(byte* bytes, int length, int* marks)
    {
        int cells = _layout.RowCells, start = marks[0] + 1, lineEnd = marks[cells], end = lineEnd;
        if (end > start && bytes[end - 1] == (byte)'\r') marks[cells] = --end;
        bool done = TryQuickTime(bytes, length, marks, out long time);
        if (done)
        {
            double* slot = _window.Slot;
            if (!TryQuickCells(bytes, length - CsvNumber.QuickReach, marks, _columnsPinned, _usualColumns, Vector128.Create(_decimalSign), _tables, slot))
                ReadPending(bytes, marks);
            for (int i = _usualColumns; i < _columns.Length; i++) slot[i] = RowWindow.Absent;
            Add(time, bytes + start, end - start, 1);
        }
        marks[cells] = lineEnd;
        return done;
    }

    /// <summary>The cells of a row, those that are numbers in a usual form; the others are left pending.</summary>
    /// <remarks>A loop of its own that calls nothing, so that everything it needs stays in registers.</remarks>
    /// <returns>False when any are pending.</returns>
    [MethodImpl(MethodImplOptions.AggressiveOptimization | MethodImplOptions.NoInlining)]
    private static bool TryQuickCells(byte* bytes, int reach, int* marks, int* columns, int count, Vector128<byte> sign, double* tables, double* slot)
    {
        bool all = true;
        for (int i = 0; i < count; i++)
        {
            int* mark = marks + columns[i];
            int from = mark[0] + 1, size = mark[1] - from;
            if (from <= reach && CsvNumber.TryQuickDouble(bytes + from, size, sign, tables, out double value))
            {
                slot[i] = value;
            }
            else
            {
                slot[i] = Pending;
                all = false;
            }
        }
        return all;
    }

    [MethodImpl(MethodImplOptions.NoInlining)]
    private void ReadPending(byte* bytes, int* marks)
    {
        double* slot = _window.Slot;
        for (int i = 0; i < _usualColumns; i++)
        {
            if (!double.IsNaN(slot[i])) continue;         // the quick way makes no NaN
            int from = marks[_columns[i]] + 1, size = marks[_columns[i] + 1] - from;
            slot[i] = Value(new ReadOnlySpan<byte>(bytes + from, size), i, from - marks[0]);
        }
    }

    /// <summary>Any row, read by the book.</summary>
    /// <returns>Bytes used; 0 when more are needed.</returns>
    private int Careful(ReadOnlySpan<byte> bytes, bool final)
    {
        RowScan scan = _cells.Scan(bytes, final, _layout.Separator, _layout.LineEnd);
        if (scan == RowScan.NeedMore) return 0;
        if (scan == RowScan.Malformed)
        {
            int end = bytes.IndexOf(_layout.LineEnd);
            if (end < 0 && !final) return 0;
            _problems.BadQuotes(_line);
            PassOver(CsvLine.Damaged);
            return end < 0 ? bytes.Length : end + 1;
        }
        ReadOnlySpan<byte> row = bytes[.._cells.Used];
        bool ended = row[^1] == _layout.LineEnd;
        row = row[..(ended ? ^1 : ^0)];
        if (row is [.., (byte)'\r']) row = row[..^1];
        Record(row, ended);
        return _cells.Used;
    }

    private void Record(ReadOnlySpan<byte> row, bool ended)
    {
        if (Unlike(row) is { } other)
        {
            _classes[(int)other] += _cells.Lines;
            _line += _cells.Lines;
            return;
        }
        if (!TryCarefulTime(row, out long time)) return;

        int count = _cells.Count, missing = 0;
        if (count < _layout.RowCells)
        {
            if (ended)
            {
                _problems.TooFewCells(_line, count, _layout.RowCells);
            }
            else
            {
                _problems.CutOff(_line, count, _layout.RowCells);
                missing = 1;
            }
        }
        else if (HasExtraCells(row))
        {
            _problems.TooManyCells(_line, count, _layout.ColumnCount);
        }

        double* slot = _window.Slot;
        for (int i = 0; i < _columns.Length; i++)
        {
            int column = _columns[i];
            slot[i] = column < count - missing ? Value(Cell(row, column), i, _cells[column].Start + 1) : RowWindow.Absent;
        }
        fixed (byte* bytes = row) Add(time, bytes, row.Length, _cells.Lines);      // within what Handle keeps in place
    }

    /// <summary>What kind of line it is when it is not a row of data.</summary>
    private CsvLine? Unlike(ReadOnlySpan<byte> row)
    {
        if (_cells.Count == 1 && !_cells[0].Quoted && row.Trim(" \t"u8).IsEmpty) return CsvLine.Blank;
        if (!_layout.HeaderBytes.IsEmpty && row.SequenceEqual(_layout.HeaderBytes.Span)) return CsvLine.Header;
        if (!_layout.UnitsBytes.IsEmpty && row.SequenceEqual(_layout.UnitsBytes.Span)) return CsvLine.Units;
        return row.TrimStart(" \t"u8) is [(byte)'#', ..] ? CsvLine.Comment : null;
    }

    private bool HasExtraCells(ReadOnlySpan<byte> row)
    {
        for (int i = Math.Max(_layout.ColumnCount, _layout.RowCells); i < _cells.Count; i++)
            if (!Cell(row, i).Trim(" \t"u8).IsEmpty) return true;
        return false;
    }

    private bool HasNothing(ReadOnlySpan<byte> row)
    {
        for (int i = 0; i < _cells.Count; i++)
            if (!Cell(row, i).Trim(" \t"u8).IsEmpty) return false;
        return true;
    }

    private ReadOnlySpan<byte> Cell(ReadOnlySpan<byte> row, int column) => row[_cells[column].Start.._cells[column].End];

    private double Value(ReadOnlySpan<byte> cell, int index, int column)
    {
        CellKind kind = CsvNumber.Read(cell, _layout.DecimalSign, out double value);
        if (kind == CellKind.Empty) return RowWindow.Absent;
        int channel = _channels[index];
        if (kind == CellKind.Text && !_layout.IsText[channel])
            _problems.NotANumber(_line, column, _layout.Channels[channel].Name, cell, _layout.DecimalSign);
        return value;
    }

    private void Add(long time, byte* row, int length, int lines)
    {
        RowFate fate = _window.Add(time, row, length, _line, lines);
        if (fate == RowFate.Kept)
        {
            _wasLate = false;
            _classes[(int)CsvLine.Row] += lines;
        }
        else
        {
            NotKept(fate, time, lines);
        }
        _line += lines;
    }

    private void NotKept(RowFate fate, long time, int lines)
    {
        _classes[(int)(fate == RowFate.Repeated ? CsvLine.Repeated : CsvLine.OutOfOrder)] += lines;
        if (fate == RowFate.Repeated) return;
        if (!_wasLate) _timeWentBack++;
        _wasLate = true;
        _problems.Late(_line, _window.BehindS(time));
    }

    private void PassOver(CsvLine kind)
    {
        _classes[(int)kind]++;
        _line++;
        _rateRow++;       // it was a row once: the rows behind it keep their times
    }

    private void PrepareQuickTime()
    {
        if (_time.Form != TimeForm.Number) return;
        ulong scale = (ulong)_time.UnitNs;
        for (int decimals = 0; decimals < _quickScale.Length; decimals++)
        {
            _quickScale[decimals] = scale;
            _quickLimit[decimals] = long.MaxValue / scale;
            if (scale % 10 != 0) break;
            scale /= 10;
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private bool TryQuickTime(byte* bytes, int length, int* marks, out long time)
    {
        if (_time.Form == TimeForm.Number)
        {
            int from = marks[_time.Column] + 1, size = marks[_time.Column + 1] - from;
            if (from + CsvNumber.QuickReach <= length
                && CsvNumber.TryQuick(bytes + from, size, Vector128.Create(_time.DecimalSign), _tables, out ulong digits, out int decimals, out bool negative)
                && digits < _quickLimit[decimals])
            {
                time = (long)(digits * _quickScale[decimals]);
                if (negative) time = -time;
                return true;
            }
        }
        return TryOtherTime(bytes, marks, out time);
    }

    [MethodImpl(MethodImplOptions.NoInlining)]
    private bool TryOtherTime(byte* bytes, int* marks, out long time)
    {
        time = 0;
        return _time.Form != TimeForm.Rate
            && TryTime(MarkedCell(_time.Column), _time.DateColumn < 0 ? default : MarkedCell(_time.DateColumn), out time);

        ReadOnlySpan<byte> MarkedCell(int column) => new(bytes + marks[column] + 1, marks[column + 1] - marks[column] - 1);
    }

    private bool TryTime(ReadOnlySpan<byte> cell, ReadOnlySpan<byte> date, out long time)
    {
        time = 0;
        switch (_time.Form)
        {
            case TimeForm.Number:
                return CsvTime.TryNumber(cell, _time.UnitNs, out time);
            case TimeForm.DateAndClock:
                return CsvTime.TryDateAndClock(cell, _time.Order, out time);
            case TimeForm.DateBesideClock:
                if (!CsvTime.TryClock(cell, twoPartsAreHours: true, out time) || !CsvTime.TryDate(date, _time.Order, out long day)) return false;
                time += day;
                return true;
            case TimeForm.Clock:
                if (!CsvTime.TryClock(cell, twoPartsAreHours: false, out time)) return false;
                time = Unwrapped(time);
                return true;
            case TimeForm.Rate:
            default:
                return false;
        }
    }

    /// <summary>Adds the days that have passed: a clock that jumps back by more than half a day has gone past midnight.</summary>
    private long Unwrapped(long clock)
    {
        long time = clock + (_clockDays * CsvTime.DayNs);
        if (_classes[(int)CsvLine.Row] > 0)
        {
            if (_lastClock - time > CsvTime.DayNs / 2)
            {
                _clockDays++;
                time += CsvTime.DayNs;
            }
            else if (time - _lastClock > CsvTime.DayNs / 2 && _clockDays > 0)
            {
                return time - CsvTime.DayNs;       // a row from before midnight that comes late
            }
        }
        _lastClock = time;
        return time;
    }

    private string Expected => _time.Form switch
    {
        TimeForm.Number => "a number",
        TimeForm.Clock => "h:m:s or m:s",
        TimeForm.DateBesideClock => "a date, and h:m:s beside it,",
        _ => "a date and h:m:s",
    };

    /// <summary>The time of a row whose cells were found the careful way; where there is none, the row is counted as what it is.</summary>
    private bool TryCarefulTime(ReadOnlySpan<byte> row, out long time)
    {
        if (_time.Form == TimeForm.Rate)
        {
            // From the row's number each time, so that nothing adds up over a long log.
            time = (long)((((UInt128)(ulong)_rateRow++ * _time.PeriodNs) + (_time.PeriodRows / 2)) / _time.PeriodRows);
            return true;
        }
        ReadOnlySpan<byte> cell = _time.Column < _cells.Count ? Cell(row, _time.Column) : default;
        ReadOnlySpan<byte> date = _time.DateColumn >= 0 && _time.DateColumn < _cells.Count ? Cell(row, _time.DateColumn) : default;
        if (TryTime(cell, date, out time)) return true;

        CsvLine kind = CsvLine.Damaged;
        if (cell.Trim(" \t"u8).IsEmpty)
        {
            kind = CsvLine.WithoutTime;
            if (!HasNothing(row)) _problems.NoTime(_line, _time.Name);
        }
        else
        {
            _problems.BadTime(_line, _cells[_time.Column].Start + 1, _time.Name, cell, Expected);
        }
        _classes[(int)kind] += _cells.Lines;
        _line += _cells.Lines;
        return false;
    }
}
