using System.Buffers.Binary;

namespace OilWatch.Reading.Recording;

/// <summary>Finds the blocks in the bytes of a recording, goes on behind damage, and counts what it left out. Memory is bounded whatever comes.</summary>
internal sealed class RecordingBlocks(Stream stream)
{
    private const int LongestBlock = RecordingBlock.HeaderBytes + RecordingBlock.MaxBodyBytes;
    private const long MostWaste = 64L * 1024 * 1024;      // checksums of blocks that were none: past this the rest is taken for damaged

    private readonly byte[] _buffer = new byte[2 * LongestBlock];
    private int _start;
    private int _filled;
    private bool _ended;
    private long _wasted;
    private long _skipped;

    /// <summary>Bytes left out between blocks.</summary>
    public long DamagedBytes { get; private set; }

    /// <summary>Places where bytes were left out.</summary>
    public int DamagedPlaces { get; private set; }

    /// <summary>Bytes left out at the end: a block that was not finished.</summary>
    public long TornBytes { get; private set; }

    /// <summary>The next whole block.</summary>
    /// <param name="body">Its body; valid until the next call.</param>
    /// <returns>False at the end.</returns>
    public bool Next(out ReadOnlyMemory<byte> body)
    {
        while (true)
        {
            Fill();
            ReadOnlySpan<byte> rest = _buffer.AsSpan(_start, _filled - _start);
            if (IsBlock(rest, out int length))
            {
                if (_skipped > 0)
                {
                    DamagedBytes += _skipped;
                    DamagedPlaces++;
                    _skipped = 0;
                }
                body = _buffer.AsMemory(_start + RecordingBlock.HeaderBytes, length);
                _start += RecordingBlock.HeaderBytes + length;
                return true;
            }
            if (rest.IsEmpty || _wasted > MostWaste)
            {
                TornBytes += _skipped + rest.Length + Drain();
                _skipped = 0;
                body = default;
                return false;
            }
            int next = rest[1..].IndexOf(RecordingBlock.Mark);
            // A mark cut by the end of the buffer is found with what comes behind it.
            int skip = next >= 0 ? next + 1 : _ended ? rest.Length : Math.Max(1, rest.Length - (RecordingBlock.Mark.Length - 1));
            _start += skip;
            _skipped += skip;
        }
    }

    private bool IsBlock(ReadOnlySpan<byte> bytes, out int length)
    {
        length = 0;
        if (bytes.Length < RecordingBlock.HeaderBytes || !bytes.StartsWith(RecordingBlock.Mark)) return false;
        length = BinaryPrimitives.ReadInt32LittleEndian(bytes[4..]);
        if (length is <= 0 or > RecordingBlock.MaxBodyBytes || bytes.Length < RecordingBlock.HeaderBytes + length) return false;
        bool right = BinaryPrimitives.ReadUInt32LittleEndian(bytes[8..])
            == RecordingBlock.Checksum(bytes.Slice(4, 4), bytes.Slice(RecordingBlock.HeaderBytes, length));
        if (!right) _wasted += length;
        return right;
    }

    private void Fill()
    {
        if (_ended || _filled - _start >= LongestBlock) return;
        _buffer.AsSpan(_start, _filled - _start).CopyTo(_buffer);
        _filled -= _start;
        _start = 0;
        while (!_ended && _filled < _buffer.Length)
        {
            int count = stream.Read(_buffer.AsSpan(_filled));
            _filled += count;
            _ended = count == 0;
        }
    }

    private long Drain()
    {
        long total = 0;
        while (!_ended)
        {
            int count = stream.Read(_buffer);
            total += count;
            _ended = count == 0;
        }
        _start = _filled = 0;
        return total;
    }
}
