using System.Buffers;
using MessagePack;

namespace OilWatch.Reading.Recording;

/// <summary>What the source of a recording gave: its bytes without the blocks around them.</summary>
/// <remarks>Where blocks are missing a line end stands in their place, so that half a line is not joined with half of another.</remarks>
internal sealed class RecordingStream(Stream inner) : ForwardStream
{
    private const int MaxDatabases = 64;
    private const long MaxDatabaseBytes = 16 * 1024 * 1024;

    private readonly RecordingBlocks _blocks = new(inner);
    private readonly List<(string Name, MemoryStream Bytes)> _databases = [];
    private readonly byte[] _lineEnd = "\n"u8.ToArray();
    private ReadOnlyMemory<byte> _current;
    private ReadOnlyMemory<byte> _waiting;
    private long _databaseBytes;
    private long _expected = -1;

    /// <summary>What was recorded, as the first block says; null when there is none.</summary>
    public string? Source { get; private set; }

    /// <summary>The databases seen so far.</summary>
    public IReadOnlyList<(string Name, MemoryStream Bytes)> Databases => _databases;

    /// <summary>Blocks of bytes that are missing by their numbers.</summary>
    public long Missing { get; private set; }

    /// <summary>Blocks whose checksum is right and whose contents are not.</summary>
    public long Odd { get; private set; }

    /// <summary>True when the recorder says that it closed the recording.</summary>
    public bool IsClosed { get; private set; }

    /// <summary>Where bytes were left out.</summary>
    public RecordingBlocks Blocks => _blocks;

    /// <summary>Reads up to the first bytes of the source, so that what stands before them is known.</summary>
    public void ReadStart()
    {
        while (_current.IsEmpty && Advance())
        {
            // Until there is something of the source.
        }
    }

    /// <inheritdoc/>
    public override int Read(Span<byte> buffer)
    {
        if (buffer.IsEmpty) return 0;
        while (_current.IsEmpty)
        {
            if (!_waiting.IsEmpty)
            {
                _current = _waiting;
                _waiting = default;
            }
            else if (!Advance())
            {
                return 0;
            }
        }
        int count = Math.Min(buffer.Length, _current.Length);
        _current.Span[..count].CopyTo(buffer);
        _current = _current[count..];
        return count;
    }

    /// <inheritdoc/>
    protected override void Dispose(bool disposing)
    {
        if (disposing) inner.Dispose();
        base.Dispose(disposing);
    }

    private bool Advance()
    {
        if (!_blocks.Next(out ReadOnlyMemory<byte> body)) return false;
        try
        {
            Take(body);
        }
        catch (Exception error) when (error is MessagePackSerializationException or EndOfStreamException or OverflowException or InvalidOperationException)
        {
            Odd++;
        }
        return true;
    }

    /// <summary>Takes a block. What stands behind the fields known here is of a later layout and left alone; so are kinds not known here.</summary>
    private void Take(ReadOnlyMemory<byte> body)
    {
        var reader = new MessagePackReader(body);
        int fields = reader.ReadArrayHeader();
        switch (reader.ReadInt32())
        {
            case RecordingBlock.StartKind when fields >= 6:
                _ = reader.ReadInt32();
                _ = reader.ReadBytes();
                _ = reader.ReadInt32();
                _ = reader.ReadInt64();
                Source ??= reader.ReadString();
                break;
            case RecordingBlock.DatabaseKind when fields >= 4:
                TakeDatabase(ref reader);
                break;
            case RecordingBlock.BytesKind when fields >= 4:
                long sequence = reader.ReadInt64();
                _ = reader.ReadInt64();
                if (reader.ReadBytes() is not { } bytes) break;
                bool gap = _expected >= 0 && sequence != _expected;
                if (gap) Missing += Math.Max(1, sequence - _expected);
                _expected = sequence + 1;
                IsClosed = false;
                ReadOnlyMemory<byte> payload = bytes.IsSingleSegment ? bytes.First : bytes.ToArray();
                _current = gap ? _lineEnd : payload;
                _waiting = gap ? payload : default;
                break;
            case RecordingBlock.EndKind when fields >= 4:
                _ = reader.ReadInt64();
                _ = reader.ReadInt64();
                IsClosed = reader.ReadBoolean();
                break;
            default:
                break;
        }
    }

    private void TakeDatabase(ref MessagePackReader reader)
    {
        int index = reader.ReadInt32();
        string name = reader.ReadString() ?? "";
        if (reader.ReadBytes() is not { } bytes) return;
        // Later files of a recording bring the databases again.
        if (_expected >= 0 || index < _databases.Count - 1 || index > _databases.Count || index >= MaxDatabases) return;
        _databaseBytes += bytes.Length;
        if (_databaseBytes > MaxDatabaseBytes) return;
        if (index == _databases.Count) _databases.Add((name, new MemoryStream()));
        foreach (ReadOnlyMemory<byte> part in bytes) _databases[index].Bytes.Write(part.Span);
    }
}
