using System.Runtime.ExceptionServices;

namespace OilWatch.Reading;

/// <summary>Reads a stored log ahead on a worker, so that the disk and the unpacker work while the rows are parsed.</summary>
/// <remarks>
/// The bytes and their order are those of the stream below; only who waits is different. Memory is a ring of blocks. Not for a live source, whose bytes are to be
/// looked at as they come. What goes wrong below is thrown where it would have been: after the bytes before it. The stream below is closed with this one,
/// once the worker has let go of it.
/// </remarks>
internal sealed class AheadStream(Stream inner) : ForwardStream
{
    private const int DirectBytes = 1024 * 1024;       // a short log needs no worker
    private const int BlockBytes = 128 * 1024;
    private const int Blocks = 4;
    private readonly SemaphoreSlim _empty = new(Blocks);
    private readonly SemaphoreSlim _full = new(0);
    private readonly Block[] _ring = new Block[Blocks];
    private Task? _worker;
    private ExceptionDispatchInfo? _failure;
    private volatile bool _stopped;
    private long _direct;
    private int _block;
    private int _used;
    private bool _holds;

    /// <inheritdoc/>
    public override int Read(Span<byte> buffer)
    {
        if (buffer.IsEmpty) return 0;
        if (_worker is null)
        {
            if (_direct < DirectBytes)
            {
                int count = inner.Read(buffer);
                _direct += count;
                return count;
            }
            for (int i = 0; i < Blocks; i++) _ring[i] = new Block();
            // A thread of its own: the pool's may all be waiting for workers.
            _worker = Task.Factory.StartNew(Work, CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);
        }
        return Take(buffer);
    }

    /// <inheritdoc/>
    protected override void Dispose(bool disposing)
    {
        if (disposing && !_stopped)
        {
            _stopped = true;
            if (_worker is { } worker)
            {
                _empty.Release();
                _ = worker.ContinueWith(_ => LetGo(), CancellationToken.None, TaskContinuationOptions.ExecuteSynchronously, TaskScheduler.Default);
            }
            else
            {
                LetGo();
            }
        }
        base.Dispose(disposing);
    }

    private int Take(Span<byte> buffer)
    {
        if (!_holds)
        {
            _full.Wait();
            _holds = true;
            _used = 0;
        }
        Block block = _ring[_block];
        int count = Math.Min(buffer.Length, block.Count - _used);
        if (count == 0)                             // the end, and it stays the end
        {
            _failure?.Throw();
            return 0;
        }
        block.Bytes.AsSpan(_used, count).CopyTo(buffer);
        _used += count;
        if (_used < block.Count) return count;
        _holds = false;
        _block = (_block + 1) % Blocks;
        _empty.Release();
        return count;
    }

    private void Work()
    {
        for (int i = 0; ; i = (i + 1) % Blocks)
        {
            _empty.Wait();
            if (_stopped) return;
            Block block = _ring[i];
            block.Count = 0;
#pragma warning disable CA1031 // whatever it is goes to the thread that reads
            try
            {
                block.Count = inner.Read(block.Bytes);
            }
            catch (Exception failure)
            {
                _failure = ExceptionDispatchInfo.Capture(failure);
            }
#pragma warning restore CA1031
            int count = block.Count;
            _full.Release();
            if (count == 0) return;
        }
    }

    private void LetGo()
    {
        inner.Dispose();
        _empty.Dispose();
        _full.Dispose();
    }

    private sealed class Block
    {
        public readonly byte[] Bytes = new byte[BlockBytes];
        public int Count;
    }
}
