namespace OilWatch.Live;

/// <summary>The bytes between a source's thread and the analysing thread: a ring of fixed size that never makes the source wait.</summary>
/// <remarks>
/// Until <see cref="Release"/> everything is kept, so that the beginning can be looked at more than once: what the stream is, what it holds, which
/// channel plays which role. From then on bytes go as they are read. When the ring is full the oldest bytes go, to the end of a line, and the reader finds
/// a mark in their place.
/// </remarks>
internal sealed class LiveBuffer : IDisposable
{
    private readonly Lock _gate = new();
    private readonly SemaphoreSlim _arrived = new(0);
    private readonly byte[] _ring;
    private long _tail;
    private long _head;
    private bool _waiting;
    private bool _released;
    private bool _ended;
    private byte[] _mark = "\n"u8.ToArray();

    /// <param name="capacity">Bytes kept at most.</param>
    public LiveBuffer(int capacity)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(capacity, 64);
        _ring = new byte[capacity];
    }

    /// <summary>Bytes that came.</summary>
    public long Total
    {
        get { lock (_gate) return _head; }
    }

    /// <summary>Bytes that went before they were judged.</summary>
    public long Dropped { get; private set; }

    /// <summary>Stretches that went.</summary>
    public long Drops { get; private set; }

    /// <summary>Takes bytes; drops the oldest where there is no room.</summary>
    public void Write(ReadOnlySpan<byte> bytes)
    {
        bool wake;
        lock (_gate)
        {
            if (_ended) return;
            while (bytes.Length > _ring.Length / 2)
            {
                Put(bytes[..(_ring.Length / 2)]);
                bytes = bytes[(_ring.Length / 2)..];
            }
            Put(bytes);
            wake = _waiting;
            _waiting = false;
        }
        if (wake) _arrived.Release();
    }

    /// <summary>No more will come. What is there is still read.</summary>
    public void End()
    {
        bool wake;
        lock (_gate)
        {
            _ended = true;
            wake = _waiting;
            _waiting = false;
        }
        if (wake) _arrived.Release();
    }

    /// <summary>The beginning has been looked at: the next stream opened is the last, and what it has read is let go.</summary>
    /// <param name="mark">What stands in the place of dropped bytes: ends a line and, where the form can, says that frames were lost.</param>
    public void Release(ReadOnlySpan<byte> mark)
    {
        lock (_gate)
        {
            _released = true;
            _mark = mark.ToArray();
        }
    }

    /// <summary>To be called when nobody reads any more; what still comes is not taken.</summary>
    public void Dispose()
    {
        End();
        _arrived.Dispose();
    }

    /// <summary>A stream over the bytes from the first one. One reader at a time.</summary>
    public Stream Open() => new Reader(this);

    private void Put(ReadOnlySpan<byte> bytes)
    {
        long room = _ring.Length - (_head - _tail);
        if (bytes.Length > room) Drop(bytes.Length - room);
        int at = (int)(_head % _ring.Length);
        int first = Math.Min(bytes.Length, _ring.Length - at);
        bytes[..first].CopyTo(_ring.AsSpan(at));
        bytes[first..].CopyTo(_ring);
        _head += bytes.Length;
    }

    /// <summary>Lets at least so many of the oldest bytes go, and an eighth of the ring at once: one hole is better than a hundred.</summary>
    private void Drop(long least)
    {
        long from = _tail;
        _tail = Math.Min(_head, _tail + Math.Max(least, _ring.Length / 8));
        while (_tail < _head && _ring[(int)((_tail - 1) % _ring.Length)] is not ((byte)'\n' or (byte)'\r')) _tail++;
        Dropped += _tail - from;
        Drops++;
    }

    /// <summary>Reads from a position on; moves it. 0 at the end.</summary>
    private int Read(ref long position, ref int markLeft, Span<byte> into)
    {
        if (into.IsEmpty) return 0;
        while (true)
        {
            lock (_gate)
            {
                if (position < _tail)
                {
                    position = _tail;
                    markLeft = _mark.Length;
                }
                if (markLeft > 0)
                {
                    int count = Math.Min(markLeft, into.Length);
                    _mark.AsSpan(_mark.Length - markLeft, count).CopyTo(into);
                    markLeft -= count;
                    return count;
                }
                if (position < _head)
                {
                    int count = (int)Math.Min(into.Length, _head - position);
                    int at = (int)(position % _ring.Length);
                    int first = Math.Min(count, _ring.Length - at);
                    _ring.AsSpan(at, first).CopyTo(into);
                    _ring.AsSpan(0, count - first).CopyTo(into[first..]);
                    position += count;
                    if (_released) _tail = position;
                    return count;
                }
                // Looking at the beginning must end somewhere: at what can be kept.
                if (_ended || (!_released && _head >= _ring.Length)) return 0;
                _waiting = true;
            }
            _arrived.Wait();
        }
    }

    private sealed class Reader(LiveBuffer buffer) : Stream
    {
        private long _position;
        private int _markLeft;

        public override bool CanRead => true;

        public override bool CanSeek => false;

        public override bool CanWrite => false;

        public override long Length => throw new NotSupportedException();

        public override long Position
        {
            get => throw new NotSupportedException();
            set => throw new NotSupportedException();
        }

        public override int Read(Span<byte> into) => buffer.Read(ref _position, ref _markLeft, into);

        public override int Read(byte[] into, int offset, int count) => Read(into.AsSpan(offset, count));

        public override int ReadByte()
        {
            Span<byte> one = stackalloc byte[1];
            return Read(one) == 0 ? -1 : one[0];
        }

        public override ValueTask<int> ReadAsync(Memory<byte> into, CancellationToken cancellationToken = default) =>
            cancellationToken.IsCancellationRequested ? ValueTask.FromCanceled<int>(cancellationToken) : ValueTask.FromResult(Read(into.Span));

        public override Task<int> ReadAsync(byte[] into, int offset, int count, CancellationToken cancellationToken) =>
            ReadAsync(into.AsMemory(offset, count), cancellationToken).AsTask();

        public override void Flush()
        {
            // Nothing is ever written.
        }

        public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

        public override void SetLength(long value) => throw new NotSupportedException();

        public override void Write(byte[] from, int offset, int count) => throw new NotSupportedException();
    }
}
