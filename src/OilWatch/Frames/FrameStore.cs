using System.Collections.Immutable;
using System.Runtime.InteropServices;
using OilWatch.Channels;

namespace OilWatch.Frames;

/// <summary>Keeps the aligned frames of a run for the second look: in memory while they are few, in a scratch stream when they are many.</summary>
/// <remarks>
/// Of a frame it keeps what the aligner fills: the instant, what is fresh and what is ragged, and the values of the log's roles.
/// Memory does not grow with the length of the log when a scratch stream is given. The bytes never leave the process that wrote them.
/// </remarks>
internal sealed class FrameStore : IFrameSink, IDisposable
{
    /// <summary>Half an hour at 20 Hz needs no scratch file, nor do sixteen roles more than 7 MB.</summary>
    public const int DefaultFramesInMemory = 48_000;

    private const int BlockFrames = 1024;
    private const int Head = 2;                     // cells for the instant and for what is fresh and ragged
    private readonly Func<Stream>? _openScratch;
    private readonly int _framesInMemory;
    private readonly ImmutableArray<Role> _roles;
    private readonly int _cells;
    private readonly List<long[]> _blocks = [];
    private long[]? _block;
    private int _filled;
    private int _inMemory;
    private Stream? _scratch;

    /// <param name="openScratch">Opens the scratch stream; null to keep everything in memory.</param>
    /// <param name="roles">The roles that frames may have.</param>
    /// <param name="framesInMemory">From so many frames on the scratch stream is used.</param>
    public FrameStore(Func<Stream>? openScratch, IEnumerable<Role> roles, int framesInMemory = DefaultFramesInMemory)
    {
        _openScratch = openScratch;
        _framesInMemory = framesInMemory;
        _roles = [.. roles.Distinct().Order()];
        _cells = Head + _roles.Length;
    }

    /// <summary>Frames held.</summary>
    public long Count { get; private set; }

    public void OnFrame(in EngineFrame frame)
    {
        _block ??= new long[BlockFrames * _cells];
        Span<long> row = _block.AsSpan(_filled * _cells, _cells);
        row[0] = frame.At.Nanoseconds;
        row[1] = frame.Fresh | ((long)frame.Ragged << 32);
        for (int i = 0; i < _roles.Length; i++) row[Head + i] = BitConverter.DoubleToInt64Bits(frame[_roles[i]]);
        _filled++;
        Count++;
        if (_filled == BlockFrames) CloseBlock();
    }

    /// <summary>Gives every frame to <paramref name="sink"/> in the order it came. May be called again.</summary>
    public void Replay(IFrameSink sink, CancellationToken cancellationToken)
    {
        foreach (long[] block in _blocks)
        {
            cancellationToken.ThrowIfCancellationRequested();
            Give(block, sink);
        }
        if (_scratch is not null)
        {
            var block = new long[BlockFrames * _cells];
            Span<byte> bytes = MemoryMarshal.AsBytes(block.AsSpan());
            _scratch.Position = 0;
            for (long left = _scratch.Length / bytes.Length; left > 0; left--)
            {
                cancellationToken.ThrowIfCancellationRequested();
                _scratch.ReadExactly(bytes);
                Give(block, sink);
            }
            _scratch.Position = _scratch.Length;
        }
        if (_block is not null) Give(_block.AsSpan(0, _filled * _cells), sink);
    }

    public void Dispose() => _scratch?.Dispose();

    private void Give(ReadOnlySpan<long> rows, IFrameSink sink)
    {
        var frame = new EngineFrame(default);
        for (; !rows.IsEmpty; rows = rows[_cells..])
        {
            frame.At = new LogTime(rows[0]);
            frame.Fresh = (uint)rows[1];
            frame.Ragged = (uint)(rows[1] >> 32);
            for (int i = 0; i < _roles.Length; i++) frame[_roles[i]] = BitConverter.Int64BitsToDouble(rows[Head + i]);
            sink.OnFrame(in frame);
        }
    }

    private void CloseBlock()
    {
        _filled = 0;
        if (_inMemory < _framesInMemory || _openScratch is null)
        {
            _blocks.Add(_block!);
            _inMemory += BlockFrames;
            _block = null;
            return;
        }
        _scratch ??= _openScratch();
        _scratch.Write(MemoryMarshal.AsBytes(_block.AsSpan()));
    }
}
