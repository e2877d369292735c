using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;

namespace OilWatch.Reading.Csv;

/// <summary>Where the separators and line ends of a stretch of bytes are, found 64 bytes at a time.</summary>
/// <remarks>
/// The marks of the k-th cell of a row are then looked up, so that a cell nobody wants costs one bit of a mask. Quotes are
/// not understood here: a line that holds any is flagged, and read by <see cref="CsvCells"/>.
/// </remarks>
internal sealed unsafe class CsvMarks
{
    private const int BlockBytes = 64;

    // Pinned, so that they are read and written through plain pointers: spans handed from method to method cost a store and a
    // stalled load each, for every row.
    private int[] _marks = Pinned(1024);
    private int[] _lines = Pinned(256);

    /// <summary>Complete lines in the stretch.</summary>
    public int LineCount { get; private set; }

    /// <summary>
    /// Positions in ascending order, from index 1 on; index 0 is -1, the line end before the stretch. A line's cells end at its
    /// separators and at its line end.
    /// </summary>
    public int* Marks => Pointer(_marks);

    /// <summary>For each line: twice the index of its line end among the marks, plus one when there is a quote in it.</summary>
    public int* Lines => Pointer(_lines);

    /// <summary>Finds the marks of a stretch that begins at the start of a row.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization | MethodImplOptions.NoInlining)]
    public void Find(byte* bytes, int length, byte separator, byte lineEnd)
    {
        if (_marks.Length < length + BlockBytes + 1) _marks = Pinned(length + BlockBytes + 1);
        int* marks = Pointer(_marks);
        marks[0] = -1;
        int count = 1, at = 0;
        LineCount = 0;
        ulong quoted = 0;
        for (; at + BlockBytes <= length; at += BlockBytes)
        {
            Masks(bytes + at, separator, lineEnd, out ulong separators, out ulong lineEnds, out ulong quotes);
            count = Avx512Vbmi2.IsSupported
                ? WriteByCompression(marks, count, at, bytes + at, separator, lineEnd, BitOperations.PopCount(separators | lineEnds))
                : Write(marks, count, at, separators | lineEnds);
            if ((lineEnds | quotes) != 0) quoted = Close(count, separators | lineEnds, lineEnds, quotes, quoted);
        }
        if (at < length) FindInTail(bytes + at, length - at, at, count, quoted, separator, lineEnd);
    }

    private void FindInTail(byte* bytes, int length, int at, int count, ulong quoted, byte separator, byte lineEnd)
    {
        byte* tail = stackalloc byte[BlockBytes];
        new Span<byte>(tail, BlockBytes).Clear();
        new ReadOnlySpan<byte>(bytes, length).CopyTo(new Span<byte>(tail, BlockBytes));
        Masks(tail, separator, lineEnd, out ulong separators, out ulong lineEnds, out ulong quotes);
        count = Write(Pointer(_marks), count, at, separators | lineEnds);
        if ((lineEnds | quotes) != 0) Close(count, separators | lineEnds, lineEnds, quotes, quoted);
    }

    private static int[] Pinned(int length) => GC.AllocateUninitializedArray<int>(length, pinned: true);

    private static int* Pointer(int[] pinned) => (int*)Unsafe.AsPointer(ref MemoryMarshal.GetArrayDataReference(pinned));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void Masks(
        byte* block, byte separator, byte lineEnd, out ulong separators, out ulong lineEnds, out ulong quotes)
    {
        if (Vector512.IsHardwareAccelerated)
        {
            Vector512<byte> text = Vector512.Load(block);
            separators = Vector512.Equals(text, Vector512.Create(separator)).ExtractMostSignificantBits();
            lineEnds = Vector512.Equals(text, Vector512.Create(lineEnd)).ExtractMostSignificantBits();
            quotes = Vector512.Equals(text, Vector512.Create((byte)'"')).ExtractMostSignificantBits();
        }
        else if (Vector256.IsHardwareAccelerated)
        {
            Vector256<byte> low = Vector256.Load(block);
            Vector256<byte> high = Vector256.Load(block + 32);
            separators = Bits256(low, high, separator);
            lineEnds = Bits256(low, high, lineEnd);
            quotes = Bits256(low, high, (byte)'"');
        }
        else
        {
            separators = Bits128(block, separator);
            lineEnds = Bits128(block, lineEnd);
            quotes = Bits128(block, (byte)'"');
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static ulong Bits256(Vector256<byte> low, Vector256<byte> high, byte value) =>
        Vector256.Equals(low, Vector256.Create(value)).ExtractMostSignificantBits()
        | ((ulong)Vector256.Equals(high, Vector256.Create(value)).ExtractMostSignificantBits() << 32);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static ulong Bits128(byte* block, byte value)
    {
        Vector128<byte> wanted = Vector128.Create(value);
        return Vector128.Equals(Vector128.Load(block), wanted).ExtractMostSignificantBits()
            | ((ulong)Vector128.Equals(Vector128.Load(block + 16), wanted).ExtractMostSignificantBits() << 16)
            | ((ulong)Vector128.Equals(Vector128.Load(block + 32), wanted).ExtractMostSignificantBits() << 32)
            | ((ulong)Vector128.Equals(Vector128.Load(block + 48), wanted).ExtractMostSignificantBits() << 48);
    }

    /// <summary>Writes the positions of the set bits, eight at a time so that their number is not branched on; room for 64 more is there.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static int Write(int* marks, int count, int at, ulong bits)
    {
        int next = count + BitOperations.PopCount(bits);
        int* to = marks + count;
        while (bits != 0)
        {
            for (int i = 0; i < 8; i++)
            {
                to[i] = at + BitOperations.TrailingZeroCount(bits);
                bits &= bits - 1;
            }
            to += 8;
        }
        return next;
    }

    /// <summary>The same for a whole block at once: the places 0 to 63 are pressed together to those that are set.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static int WriteByCompression(int* marks, int count, int at, byte* block, byte separator, byte lineEnd, int found)
    {
        Vector512<byte> text = Vector512.Load(block);
        Vector512<byte> set = Vector512.Equals(text, Vector512.Create(separator)) | Vector512.Equals(text, Vector512.Create(lineEnd));
        Vector512<byte> places = Avx512Vbmi2.Compress(Vector512<byte>.Zero, set, Vector512<byte>.Indices);
        Vector512<int> from = Vector512.Create(at);
        int* to = marks + count;
        (Avx512F.ConvertToVector512Int32(places.GetLower().GetLower()) + from).Store(to);
        if (found > 16)
        {
            (Avx512F.ConvertToVector512Int32(places.GetLower().GetUpper()) + from).Store(to + 16);
            (Avx512F.ConvertToVector512Int32(places.GetUpper().GetLower()) + from).Store(to + 32);
            (Avx512F.ConvertToVector512Int32(places.GetUpper().GetUpper()) + from).Store(to + 48);
        }
        return count + found;
    }

    /// <summary>Writes down the lines that end in a block.</summary>
    /// <param name="count">Marks so far, those of this block included.</param>
    /// <param name="both">Separators and line ends of the block.</param>
    /// <param name="lineEnds">Its line ends.</param>
    /// <param name="quotes">Its quotes.</param>
    /// <param name="quoted">Not zero when the line that goes on into this block holds a quote.</param>
    /// <returns>Not zero when the line that goes on behind this block holds a quote.</returns>
    private ulong Close(int count, ulong both, ulong lineEnds, ulong quotes, ulong quoted)
    {
        int before = count - BitOperations.PopCount(both);
        for (; lineEnds != 0; lineEnds &= lineEnds - 1)
        {
            ulong upTo = lineEnds ^ (lineEnds - 1);               // the lowest line end and all bits below it
            quoted |= quotes & upTo;
            quotes &= ~upTo;
            if (LineCount == _lines.Length) GrowLines();
            int index = before + BitOperations.PopCount(both & upTo) - 1;
            _lines[LineCount++] = (index << 1) | (quoted != 0 ? 1 : 0);
            quoted = 0;
        }
        return quoted | quotes;
    }

    private void GrowLines()
    {
        int[] more = Pinned(2 * _lines.Length);
        _lines.CopyTo(more, 0);
        _lines = more;
    }
}
