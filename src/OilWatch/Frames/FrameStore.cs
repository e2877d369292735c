using System.Runtime.InteropServices;

namespace OilWatch.Frames;

/// <summary>Keeps the aligned frames of a run for the second look: in memory while they are few, in a scratch stream when they are many.</summary>
/// <remarks>Memory does not grow with the length of the log when a scratch stream is given. The bytes never leave the process that wrote them.</remarks>
internal sealed class FrameStore(Func<Stream>? openScratch, int framesInMemory = FrameStore.DefaultFramesInMemory) : IFrameSink, IDisposable
{
    /// <summary>About 12 MB: half an hour at 20 Hz needs no scratch file.</summary>
    public const int DefaultFramesInMemory = 48_000;

    private const int BlockFrames = 1024;
    private readonly List<EngineFrame[]> _blocks = [];
    private EngineFrame[]? _block;
    private int _filled;
    private int _inMemory;
    private Stream? _scratch;

    /// <summary>Frames held.</summary>
    public long Count { get; private set; }

    public void OnFrame(in EngineFrame frame)
    {
        _block ??= new EngineFrame[BlockFrames];
        _block[_filled++] = frame;
        Count++;
        if (_filled == BlockFrames) CloseBlock();
    }

    /// <summary>Gives every frame to <paramref name="sink"/> in the order it came. May be called again.</summary>
    public void Replay(IFrameSink sink, CancellationToken cancellationToken)
    {
        foreach (EngineFrame[] block in _blocks)
        {
            cancellationToken.ThrowIfCancellationRequested();
            Give(block, sink);
        }
        if (_scratch is not null)
        {
            var block = new EngineFrame[BlockFrames];
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
        if (_block is not null) Give(_block.AsSpan(0, _filled), sink);
    }

    public void Dispose() => _scratch?.Dispose();

    private static void Give(ReadOnlySpan<EngineFrame> frames, IFrameSink sink)
    {
        foreach (ref readonly EngineFrame frame in frames) sink.OnFrame(in frame);
    }

    private void CloseBlock()
    {
        _filled = 0;
        if (_inMemory < framesInMemory || openScratch is null)
        {
            _blocks.Add(_block!);
            _inMemory += BlockFrames;
            _block = null;
            return;
        }
        _scratch ??= openScratch();
        _scratch.Write(MemoryMarshal.AsBytes(_block.AsSpan()));
    }
}
