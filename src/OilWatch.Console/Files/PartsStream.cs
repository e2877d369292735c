namespace OilWatch.Console.Files;

/// <summary>Several files read one after the other.</summary>
internal sealed class PartsStream(IReadOnlyList<string> parts, Func<string, Stream> open) : Stream
{
    private int _next;
    private Stream? _current;

    public override bool CanRead => true;

    public override bool CanSeek => false;

    public override bool CanWrite => false;

    public override long Length => throw new NotSupportedException();

    public override long Position
    {
        get => throw new NotSupportedException();
        set => throw new NotSupportedException();
    }

    public override int Read(Span<byte> buffer)
    {
        while (true)
        {
            if (_current is null)
            {
                if (_next == parts.Count) return 0;
                _current = open(parts[_next++]);
            }
            int count = _current.Read(buffer);
            if (count > 0 || buffer.IsEmpty) return count;
            _current.Dispose();
            _current = null;
        }
    }

    public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

    public override void Flush()
    {
        // Nothing is ever written.
    }

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();

    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    protected override void Dispose(bool disposing)
    {
        if (disposing) _current?.Dispose();
        base.Dispose(disposing);
    }
}
