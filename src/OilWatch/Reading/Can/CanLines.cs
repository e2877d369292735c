namespace OilWatch.Reading.Can;

/// <summary>Splits bytes into lines for a text form of CAN. A line of any length costs no more memory than <see cref="MaxLineBytes"/>.</summary>
/// <remarks>
/// The limit is kept here, not by the pump alone, so that what becomes of a long line does not depend on how the bytes arrive.
/// </remarks>
internal abstract class CanLines : IRecordHandler
{
    /// <summary>The longest line; the longest FD frame in the screen form has some 250 bytes.</summary>
    public const int MaxLineBytes = 4096;

    private bool _begun;
    private bool _skipping;

    /// <inheritdoc/>
    public int Handle(ReadOnlySpan<byte> bytes, bool final)
    {
        int at = 0;
        if (!_begun)
        {
            ReadOnlySpan<byte> mark = [0xEF, 0xBB, 0xBF];
            if (bytes.Length < mark.Length && !final) return 0;
            if (bytes.StartsWith(mark)) at = mark.Length;
            _begun = true;
        }
        while (at < bytes.Length)
        {
            if (!_skipping) at += Ordinary(bytes[at..]);
            ReadOnlySpan<byte> rest = bytes[at..];
            int end = LineEnd(rest);
            if (_skipping)
            {
                if (end < 0) return bytes.Length;
                _skipping = false;
            }
            else if (end >= 0 || final)
            {
                if (rest.IsEmpty) break;
                ReadOnlySpan<byte> line = end < 0 ? rest : rest[..end];
                if (line.Length > MaxLineBytes) Overlong(line);
                else Line(line);
            }
            else if (rest.Length > MaxLineBytes)
            {
                Overlong(rest);
                _skipping = true;
                return bytes.Length;
            }
            else
            {
                return at;
            }
            at += end < 0 ? rest.Length : end + 1;
        }
        return at;
    }

    /// <inheritdoc/>
    public void TooLong(ReadOnlySpan<byte> beginning) => Overlong(beginning); // not reached: Handle keeps a lower limit

    /// <summary>Takes as many lines of the most usual shape as it can; whatever it leaves is read by <see cref="Line"/>.</summary>
    /// <returns>Bytes of whole lines taken.</returns>
    protected virtual int Ordinary(ReadOnlySpan<byte> bytes) => 0;

    /// <summary>The index of the byte that ends the first line, or -1.</summary>
    protected virtual int LineEnd(ReadOnlySpan<byte> bytes) => bytes.IndexOf((byte)'\n');

    /// <summary>Takes a line without its end.</summary>
    protected abstract void Line(ReadOnlySpan<byte> line);

    /// <summary>A line is longer than <see cref="MaxLineBytes"/>; this is its beginning.</summary>
    protected abstract void Overlong(ReadOnlySpan<byte> beginning);
}
