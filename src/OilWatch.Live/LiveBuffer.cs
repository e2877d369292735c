namespace OilWatch.Live;

/// <summary>The bytes between a source's thread and the analysing thread: a ring of fixed size.</summary>
/// <remarks>
/// Until <see cref="Release"/> everything is kept, so that the beginning can be looked at more than once: what the stream is, what it holds, which
/// channel plays which role. From then on bytes go as they are read. When the ring is full, a source whose other end can wait is made to wait for a while; after
/// that, and for any other source at once, the oldest bytes go, to the end of a line, and the reader finds a mark in their place.
/// </remarks>
internal sealed class LiveBuffer : IDisposable
{
    private readonly Lock _gate = new();
    private readonly SemaphoreSlim _arrived = new(0);
    private readonly SemaphoreSlim _left = new(0);
    private readonly int _patienceMs;
    private readonly byte[] _ring;
    private long _base;
    private long _tail;
    private long _head;
    private bool _waiting;
    private bool _writerWaits;
    private bool _released;
    private bool _ended;
    private byte[] _mark = "\n"u8.ToArray();

    /// <param name="capacity">Bytes kept at most.</param>
    /// <param name="patienceMs">How long whoever writes may be made to wait for room, ms; 0 for never.</param>
    public LiveBuffer(int capacity, int patienceMs = 0)
    {
        _patienceMs = patienceMs;
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
        if (_patienceMs > 0) WaitForRoom(Math.Min(bytes.Length, _ring.Length / 2));
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
        bool wake, wakeWriter;
        lock (_gate)
        {
            _ended = true;
            (wake, _waiting) = (_waiting, false);
            (wakeWriter, _writerWaits) = (_writerWaits, false);
        }
        if (wake) _arrived.Release();
        if (wakeWriter) _left.Release();
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
        _arrived.Dispose();         // the other is left to the collector: a source that cannot be stopped may be waiting for it
    }

    /// <summary>A stream over the bytes from the first one. One reader at a time.</summary>
    public Stream Open() => new Reader(this);

    private int IndexOf(long position) => (int)((position - _base) % _ring.Length);

    /// <summary>One thread writes, so nobody else takes the room that it has waited for.</summary>
    private void WaitForRoom(int count)
    {
        long until = Environment.TickCount64 + _patienceMs;
        while (true)
        {
            lock (_gate)
            {
                if (_ended || _ring.Length - (_head - _tail) >= count) return;
                _writerWaits = true;
            }
            long patience = until - Environment.TickCount64;
            if (patience > 0 && _left.Wait((int)patience)) continue;
            lock (_gate)
            {
                if (!_writerWaits) _left.Wait(0);                         // it was woken just now
                _writerWaits = false;
            }
            return;
        }
    }

    private void Put(ReadOnlySpan<byte> bytes)
    {
        long room = _ring.Length - (_head - _tail);
        if (bytes.Length > room) Drop(bytes.Length - room);
        int at = IndexOf(_head);
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
        while (_tail < _head && _ring[IndexOf(_tail - 1)] is not ((byte)'\n' or (byte)'\r')) _tail++;
        Dropped += _tail - from;
        Drops++;
    }

    /// <summary>Reads from a position on; moves it. 0 at the end.</summary>
    private int Read(ref long position, ref int markLeft, Span<byte> into)
    {
        if (into.IsEmpty) return 0;
        while (true)
        {
            bool wakeWriter = false;
            int count = 0;
            lock (_gate)
            {
                if (position < _tail)
                {
                    position = _tail;
                    markLeft = _mark.Length;
                }
                if (markLeft > 0)
                {
                    count = Math.Min(markLeft, into.Length);
                    _mark.AsSpan(_mark.Length - markLeft, count).CopyTo(into);
                    markLeft -= count;
                    return count;
                }
                if (position < _head)
                {
                    count = Take(position, into);
                    position += count;
                    if (_released)
                    {
                        _tail = position;
                        if (_tail == _head) _base = _head;               // begins again at the front: memory that was never needed is never touched
                        (wakeWriter, _writerWaits) = (_writerWaits, false);
                    }
                }
                else if (_ended || (!_released && _head >= _ring.Length))
                {
                    return 0;                                            // looking at the beginning ends at what can be kept
                }
                else
                {
                    _waiting = true;
                }
            }
            if (wakeWriter) _left.Release();
            if (count > 0) return count;
            _arrived.Wait();
        }
    }

    private int Take(long position, Span<byte> into)
    {
        int count = (int)Math.Min(into.Length, _head - position);
        int at = IndexOf(position);
        int first = Math.Min(count, _ring.Length - at);
        _ring.AsSpan(at, first).CopyTo(into);
        _ring.AsSpan(0, count - first).CopyTo(into[first..]);
        return count;
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
