using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace OilWatch.Reading.Csv;

/// <summary>What became of a row.</summary>
internal enum RowFate
{
    /// <summary>Kept; it goes to the sink in its place.</summary>
    Kept,

    /// <summary>Left out: the same row is there already.</summary>
    Repeated,

    /// <summary>Left out: rows that come after it in time have gone to the sink.</summary>
    Late,
}

/// <summary>
/// Holds the last rows back so that rows a little out of order are put in order, and gives them to the sink. Memory is fixed.
/// </summary>
/// <remarks>
/// A row up to <see cref="Width"/> rows out of its place finds it again. One that comes later than that is left out. So is one
/// that is as far ahead: a single wild time stamp must not make every row after it late.
/// </remarks>
internal sealed unsafe class RowWindow
{
    /// <summary>How many rows are held back.</summary>
    public const int Width = 256;

    /// <summary>The value of a cell without a reading; a NaN that no arithmetic makes.</summary>
    public static readonly double Absent = BitConverter.Int64BitsToDouble(IRowSink.AbsentBits);

    private const int Ring = 512;

    private readonly IReadingSink _sink;
    private readonly IRowSink? _rows;
    private readonly int[] _channels;
    private readonly bool _fromFirst;
    private readonly double[] _values;
    private readonly Entry[] _entries = new Entry[Ring];
    private int _head;
    private int _count;
    private readonly int[] _free = new int[Width + 1];
    private int _freeCount;
    private int _slot;
    private double* _slotValues;
    private long _zero;
    private long _lastEmitted;
    private long _lastRead;

    public RowWindow(IReadingSink sink, int[] channels, bool fromFirst)
    {
        _sink = sink;
        _rows = sink as IRowSink;
        _channels = channels;
        _fromFirst = fromFirst;
        // Pinned, so that the parser writes through a plain pointer.
        _values = GC.AllocateArray<double>(Math.Max(1, (Width + 1) * channels.Length), pinned: true);
        _slotValues = Values(0);
        for (int slot = Width; slot > 0; slot--) _free[_freeCount++] = slot;
    }

    /// <summary>True once a row went to the sink.</summary>
    public bool HasEmitted { get; private set; }

    /// <summary>When the first row was; meaningful once one was emitted.</summary>
    public LogTime First { get; private set; }

    /// <summary>When the last row was.</summary>
    public LogTime Last => new(_lastEmitted - _zero);

    /// <summary>Lines of rows that were left out because they were far ahead of their place.</summary>
    public long LinesAhead { get; private set; }

    /// <summary>Rows that were left out because they were far ahead of their place.</summary>
    public long RowsAhead { get; private set; }

    /// <summary>Where the values of the row being read go, one a selected channel.</summary>
    public double* Slot => _slotValues;

    /// <summary>The row whose values were put into <see cref="Slot"/> is complete.</summary>
    /// <param name="time">Nanoseconds, before anything is taken off.</param>
    /// <param name="row">The row's bytes; they stay where they are until <see cref="Settle"/>.</param>
    /// <param name="length">How many there are.</param>
    /// <param name="line">The line it begins on.</param>
    /// <param name="lines">How many lines it takes.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public RowFate Add(long time, byte* row, int length, long line, int lines)
    {
        long behind = _lastRead - time;
        _lastRead = time;
        if (_count > 0 && time <= _entries[(_head + _count - 1) & (Ring - 1)].Time) return AddOutOfOrder(time, behind, row, length, line, lines);
        if (_count == 0 && HasEmitted && time < _lastEmitted) return Late(behind);
        Append(_count, time, 0, row, length, line, lines);
        return RowFate.Kept;
    }

    /// <summary>The bytes of the rows are about to go: what a repeated row is known by is kept in their place.</summary>
    /// <remarks>Few rows need it. To have it of those still held back when the bytes go costs a tenth of having it of all.</remarks>
    public void Settle()
    {
        for (int place = _count - 1; place >= 0; place--) Fingerprint(ref EntryAt(place));
    }

    /// <summary>The log has ended: gives the rows that are held back to the sink.</summary>
    public void Flush()
    {
        while (_count > 0) EmitHead();
    }

    /// <summary>How far a late row lies behind what has gone to the sink, seconds.</summary>
    public double BehindS(long time) => (_lastEmitted - time) / 1e9;

    private RowFate Late(long behind)
    {
        if (behind > 0) _sink.StampedBehind(new LogTime(_lastEmitted - _zero), behind / 1e9);
        return RowFate.Late;
    }

    private RowFate AddOutOfOrder(long time, long behind, byte* row, int length, long line, int lines)
    {
        if (HasEmitted && time < _lastEmitted) return Late(behind);
        while (_count > 0 && EntryAt(_count - 1) is var tail && time < tail.Time && line - tail.Line > Width)
        {
            // Every row for the last Width lines belonged before this one: it is this one that is out of place.
            LinesAhead += tail.Lines;
            RowsAhead++;
            RemoveTail();
        }
        int place = _count;
        while (place > 0 && EntryAt(place - 1).Time > time) place--;
        ulong hash = 0;
        for (int same = place; same > 0 && EntryAt(same - 1).Time == time; same--)
        {
            ref Entry twin = ref EntryAt(same - 1);
            Fingerprint(ref twin);
            if (hash == 0) hash = RowHash.Of(row, length);
            if (twin.Hash == hash && twin.Length == length) return RowFate.Repeated;
        }
        Append(place, time, behind, row, length, line, lines);
        return RowFate.Kept;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void Append(int place, long time, long behind, byte* row, int length, long line, int lines)
    {
        for (int i = _count; i > place; i--) EntryAt(i) = EntryAt(i - 1);
        ref Entry entry = ref EntryAt(place);
        entry.Time = time;
        entry.Behind = behind;
        entry.Row = row;
        entry.Length = length;
        entry.Line = line;
        entry.Lines = lines;
        entry.Slot = _slot;
        _count++;
        if (_count > Width) EmitHead();
        _slot = _free[--_freeCount];
        _slotValues = Values(_slot);
    }

    private double* Values(int slot) =>
        (double*)Unsafe.AsPointer(ref MemoryMarshal.GetArrayDataReference(_values)) + (slot * _channels.Length);

    [MethodImpl(MethodImplOptions.AggressiveOptimization | MethodImplOptions.NoInlining)]
    private void EmitHead()
    {
        Entry entry = _entries[_head];
        _head = (_head + 1) & (Ring - 1);
        _count--;
        _free[_freeCount++] = entry.Slot;
        if (!HasEmitted)
        {
            HasEmitted = true;
            _zero = _fromFirst ? entry.Time : 0;
            First = new LogTime(entry.Time - _zero);
        }
        _lastEmitted = entry.Time;

        var at = new LogTime(entry.Time - _zero);
        if (entry.Behind > 0) _sink.StampedBehind(at, entry.Behind / 1e9);
        var values = new ReadOnlySpan<double>(Values(entry.Slot), _channels.Length);
        if (_rows is { } rows)
        {
            rows.AddRow(at, _channels, values);
            return;
        }
        for (int i = 0; i < values.Length; i++)
            if (BitConverter.DoubleToInt64Bits(values[i]) != IRowSink.AbsentBits) _sink.Add(at, _channels[i], values[i]);
        _sink.EndRecord(at);
    }

    private static void Fingerprint(ref Entry entry)
    {
        if (entry.Row == null) return;
        entry.Hash = RowHash.Of(entry.Row, entry.Length);
        entry.Row = null;
    }

    private void RemoveTail()
    {
        _count--;
        _free[_freeCount++] = EntryAt(_count).Slot;
    }

    private ref Entry EntryAt(int place) => ref _entries[(_head + place) & (Ring - 1)];

    /// <summary>A row held back, in its place in time.</summary>
    private struct Entry
    {
        public long Time;
        public long Behind;
        public byte* Row;
        public ulong Hash;
        public int Length;
        public long Line;
        public int Lines;
        public int Slot;
    }
}
