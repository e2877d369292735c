namespace OilWatch.Tests.Results;

/// <summary>A disk that is full after so many bytes.</summary>
internal sealed class StreamThatFailsOnWrite(long room) : Stream
{
    public override bool CanRead => false;

    public override bool CanSeek => false;

    public override bool CanWrite => true;

    public override long Length => Position;

    public override long Position { get; set; }

    public override void Write(ReadOnlySpan<byte> buffer)
    {
        if (Position + buffer.Length > room) throw new IOException("No space left on device");
        Position += buffer.Length;
    }

    public override void Write(byte[] buffer, int offset, int count) => Write(buffer.AsSpan(offset, count));

    public override void Flush() { }

    public override int Read(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();
}
