using System.Buffers.Binary;
using System.Collections.Immutable;

namespace OilWatch.Reading;

/// <summary>Reads a waveform from a RIFF WAVE stream, a block at a time. Memory is bounded whatever the file says.</summary>
/// <remarks>
/// PCM of 8, 16, 24 and 32 bits, IEEE float of 32 and 64 bits, plain and extensible headers, several channels, and the 64-bit sizes of RF64.
/// Chunks that are not needed are skipped. A file that ends early is read as far as it goes, and <see cref="Problems"/> says so.
/// Sources: Microsoft and IBM, Multimedia Programming Interface 1.0 (RIFF, WAVE); Microsoft, WAVEFORMATEXTENSIBLE; EBU Tech 3306 (RF64).
/// </remarks>
public sealed class WaveReader
{
    private const int BlockBytes = 64 * 1024;
    private const int MostChunks = 10_000;
    private const int MostProblems = 20;
    private const ushort TagPcm = 0x0001;              // WAVE_FORMAT_PCM
    private const ushort TagFloat = 0x0003;            // WAVE_FORMAT_IEEE_FLOAT
    private const ushort TagExtensible = 0xFFFE;       // WAVE_FORMAT_EXTENSIBLE
    private const uint Open32 = 0xFFFF_FFFF;           // size not known when the header was written, or given by ds64

    private static readonly byte[] SubFormatTail = [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xAA, 0, 0x38, 0x9B, 0x71];

    private readonly Stream _stream;
    private readonly string _name;
    private readonly float _scale;
    private readonly byte[] _block = new byte[BlockBytes];
    private readonly List<ReadingProblem> _problems = [];
    private long _offset;
    private long _left;            // bytes of the data chunk still to come; long.MaxValue when open
    private bool _openEnd;
    private int _held;             // bytes of an unfinished frame at the front of the block

    private WaveReader(Stream stream, string name, double scale)
    {
        _stream = stream;
        _name = name;
        _scale = (float)scale;
        Format = ReadHeader();
    }

    /// <summary>What the header says.</summary>
    public WaveFormat Format { get; }

    /// <summary>Samples of each channel read so far.</summary>
    public long FramesRead { get; private set; }

    /// <summary>What was odd but could be read, the first twenty.</summary>
    public ImmutableArray<ReadingProblem> Problems => [.. _problems];

    /// <summary>Reads the header and stands before the first sample.</summary>
    /// <param name="stream">The bytes from the beginning; need not be seekable. Not disposed here.</param>
    /// <param name="name">The file's name for messages.</param>
    /// <param name="unitsPerFullScale">The value of a full-scale sample (1.0 in a float file), such as g; finite, not 0.</param>
    /// <exception cref="InputException">It is no WAVE file, or one of a kind that is not read; the message says where and what would be right.</exception>
    public static WaveReader Open(Stream stream, string name, double unitsPerFullScale = 1)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(name);
        if (!double.IsFinite(unitsPerFullScale) || unitsPerFullScale == 0)
        {
            throw new ArgumentOutOfRangeException(
                nameof(unitsPerFullScale), unitsPerFullScale, "the value of a full-scale sample must be finite and not 0");
        }
        try
        {
            return new WaveReader(stream, name, unitsPerFullScale);
        }
        catch (IOException error)
        {
            throw new InputException($"{name}: {error.Message}", error);
        }
    }

    /// <summary>Reads the next samples.</summary>
    /// <param name="interleaved">Room for samples, one of each channel in turn; at least one of every channel.</param>
    /// <returns>How many samples of each channel were read; 0 at the end. A float file may hold values that are not finite; they are passed on.</returns>
    /// <exception cref="InputException">The stream failed.</exception>
    public int Read(Span<float> interleaved)
    {
        int wanted = interleaved.Length / Format.Channels;
        if (wanted == 0)
            throw new ArgumentException("room for at least one sample of every channel is needed", nameof(interleaved));
        int read = 0;
        while (read < wanted)
        {
            int most = Math.Min(BlockBytes / Format.BytesPerFrame, wanted - read) * Format.BytesPerFrame;
            int bytes = ReadData(_block.AsSpan(_held, most - _held)) + _held;
            int frames = bytes / Format.BytesPerFrame;
            if (frames == 0)
            {
                _held = bytes;
                EndOfData();
                break;
            }
            Convert(_block.AsSpan(0, frames * Format.BytesPerFrame), interleaved[(read * Format.Channels)..]);
            _held = bytes - (frames * Format.BytesPerFrame);
            _block.AsSpan(frames * Format.BytesPerFrame, _held).CopyTo(_block);
            read += frames;
        }
        FramesRead += read;
        return read;
    }

    private WaveFormat ReadHeader()
    {
        Span<byte> head = _block.AsSpan(0, 12);
        int got = Fill(head);
        if (got < 12) throw Fail(0, $"a RIFF WAVE file begins with 12 bytes of header, this one has {got} in all");
        bool is64 = head[..4].SequenceEqual("RF64"u8) || head[..4].SequenceEqual("BW64"u8);
        if (head[..4].SequenceEqual("RIFX"u8)) throw Fail(0, "'RIFX' (big-endian) is not read; write it as 'RIFF' (little-endian)");
        if (!is64 && !head[..4].SequenceEqual("RIFF"u8)) throw Fail(0, $"expected 'RIFF' or 'RF64', found {Shown(head[..4])}");
        if (!head[8..12].SequenceEqual("WAVE"u8)) throw Fail(8, $"expected 'WAVE', found {Shown(head[8..12])}");
        uint riffSize = BinaryPrimitives.ReadUInt32LittleEndian(head[4..]);
        WaveFormat? format = null;
        long? data64 = null;
        Span<byte> chunk = stackalloc byte[8];
        for (int chunks = 0; chunks < MostChunks; chunks++)
        {
            long at = _offset;
            got = Fill(chunk);
            if (got == 0) throw Fail(at, format is null ? "the file ends without a 'fmt ' chunk" : "the file ends without a 'data' chunk");
            if (got < 8) throw Fail(at, $"a chunk begins with 8 bytes (name and size), the file has only {got} more");
            uint size = BinaryPrimitives.ReadUInt32LittleEndian(chunk[4..]);
            if (chunk[..4].SequenceEqual("data"u8))
                return BeginData(at, size, riffSize, data64, format ?? throw Fail(at, "the 'data' chunk comes before the 'fmt ' chunk; 'fmt ' must come first"));
            if (chunk[..4].SequenceEqual("fmt "u8)) format = ReadFormat(size);
            else if (is64 && chunk[..4].SequenceEqual("ds64"u8)) data64 = ReadSizes(size);
            else Skip(size, at);
            if ((size & 1) == 1) Skip(1, at);               // RIFF pads chunks to an even length
        }
        throw Fail(_offset, $"more than {MostChunks} chunks without a 'data' chunk");
    }

    private WaveFormat BeginData(long at, uint size, uint riffSize, long? data64, WaveFormat format)
    {
        // A recorder that was cut off, or that writes to a pipe, leaves its sizes at 0 or all ones.
        _openEnd = size == Open32 ? data64 is null : size == 0 && riffSize is 0 or Open32;
        _left = _openEnd ? long.MaxValue : size == Open32 ? data64!.Value : size;
        if (_openEnd)
            Problem(at + 4, "the 'data' chunk leaves its length open; it is read to the end of the file");
        else if (_left % format.BytesPerFrame != 0)
            Problem(at + 4, $"the 'data' chunk has {_left} bytes, which is no whole number of {format.BytesPerFrame}-byte frames; the rest is left out");
        return format with { Frames = _openEnd ? null : _left / format.BytesPerFrame };
    }

    private long ReadSizes(uint size)
    {
        long at = _offset;
        if (size < 24) throw Fail(at - 4, $"the 'ds64' chunk has {size} bytes, at least 24 are needed");
        Span<byte> sizes = _block.AsSpan(0, 24);
        if (Fill(sizes) < 24) throw Fail(at, "the file ends inside the 'ds64' chunk");
        Skip(size - 24, at);
        ulong data = BinaryPrimitives.ReadUInt64LittleEndian(sizes[8..]);
        return data <= long.MaxValue ? (long)data : throw Fail(at + 8, $"the data size {data} is out of range; at most {long.MaxValue} is possible");
    }

    private WaveFormat ReadFormat(uint size)
    {
        long at = _offset;
        if (size < 16) throw Fail(at - 4, $"the 'fmt ' chunk has {size} bytes, at least 16 are needed");
        int kept = (int)Math.Min(size, 40);
        Span<byte> fmt = _block.AsSpan(0, kept);
        if (Fill(fmt) < kept) throw Fail(at, "the file ends inside the 'fmt ' chunk");
        Skip(size - (uint)kept, at);
        ushort tag = BinaryPrimitives.ReadUInt16LittleEndian(fmt);
        int channels = BinaryPrimitives.ReadUInt16LittleEndian(fmt[2..]);
        uint rate = BinaryPrimitives.ReadUInt32LittleEndian(fmt[4..]);
        int align = BinaryPrimitives.ReadUInt16LittleEndian(fmt[12..]);
        int bits = BinaryPrimitives.ReadUInt16LittleEndian(fmt[14..]);
        if (tag == TagExtensible) tag = SubFormat(fmt, at);
        if (tag is not (TagPcm or TagFloat))
            throw Fail(at, FormattableString.Invariant($"format 0x{tag:X4} is not read; PCM (0x0001) and IEEE float (0x0003) are"));
        if (channels is < 1 or > 64) throw Fail(at + 2, $"{channels} channels; 1 to 64 are allowed");
        if (rate is < 1 or > 10_000_000) throw Fail(at + 4, $"{rate} samples a second; 1 to 10000000 are allowed");
        bool known = tag == TagPcm ? bits is 8 or 16 or 24 or 32 : bits is 32 or 64;
        if (!known)
            throw Fail(at + 14, $"{bits} bits a sample; {(tag == TagPcm ? "PCM has 8, 16, 24 or 32" : "IEEE float has 32 or 64")}");
        var format = new WaveFormat(tag == TagPcm ? WaveEncoding.Pcm : WaveEncoding.FloatingPoint, channels, (int)rate, bits, null);
        if (align != format.BytesPerFrame)
            throw Fail(at + 12, $"{align} bytes a frame; {channels} channels of {bits} bits make {format.BytesPerFrame}");
        return format;
    }

    private ushort SubFormat(ReadOnlySpan<byte> fmt, long at)
    {
        if (fmt.Length < 40) throw Fail(at - 4, $"the extensible 'fmt ' chunk has {fmt.Length} bytes, 40 are needed");
        if (!fmt[26..40].SequenceEqual(SubFormatTail)) throw Fail(at + 24, "the sub-format is not one of the standard ones (PCM or IEEE float)");
        return BinaryPrimitives.ReadUInt16LittleEndian(fmt[24..]);
    }

    private int ReadData(Span<byte> into)
    {
        if (into.Length > _left) into = into[..(int)_left];
        int got = Fill(into);
        if (!_openEnd) _left -= got;
        return got;
    }

    private void EndOfData()
    {
        if (!_openEnd && _left > 0)
        {
            Problem(_offset, $"the file ends here, {_left} bytes of samples before the end that its 'data' chunk names; what came before is used");
            _left = 0;
        }
        else if (_openEnd && _held > 0)
        {
            Problem(_offset, $"the file ends inside a frame; its last {_held} bytes are left out");
        }
        _openEnd = false;
        _left = 0;
        _held = 0;
    }

    /// <summary>Reads until the span is full or the stream ends.</summary>
    private int Fill(Span<byte> into)
    {
        int total = 0;
        try
        {
            while (total < into.Length)
            {
                int got = _stream.Read(into[total..]);
                if (got == 0) break;
                total += got;
            }
        }
        catch (Exception error) when (error is IOException or InvalidDataException or ObjectDisposedException or NotSupportedException)
        {
            throw new InputException($"{_name}: at byte {_offset + total}: {error.Message}", error);
        }
        _offset += total;
        return total;
    }

    private void Skip(uint bytes, long chunkAt)
    {
        long left = bytes;
        while (left > 0)
        {
            int got = Fill(_block.AsSpan(0, (int)Math.Min(left, BlockBytes)));
            if (got == 0) throw Fail(_offset, $"the file ends inside the chunk that begins at byte {chunkAt}, {left} bytes before its end");
            left -= got;
        }
    }

    private void Convert(ReadOnlySpan<byte> bytes, Span<float> samples)
    {
        switch (Format.Encoding, Format.Bits)
        {
            case (WaveEncoding.Pcm, 8):
                float scale8 = _scale / 128f;
                for (int i = 0; i < bytes.Length; i++) samples[i] = (bytes[i] - 128) * scale8;
                break;
            case (WaveEncoding.Pcm, 16):
                float scale16 = _scale / 32_768f;
                for (int i = 0; 2 * i < bytes.Length; i++) samples[i] = BinaryPrimitives.ReadInt16LittleEndian(bytes[(2 * i)..]) * scale16;
                break;
            case (WaveEncoding.Pcm, 24):
                float scale24 = _scale / 8_388_608f;
                for (int i = 0; 3 * i < bytes.Length; i++)
                {
                    int j = 3 * i;
                    samples[i] = (bytes[j] | (bytes[j + 1] << 8) | ((sbyte)bytes[j + 2] << 16)) * scale24;
                }
                break;
            case (WaveEncoding.Pcm, _):
                double scale32 = _scale / 2_147_483_648.0;
                for (int i = 0; 4 * i < bytes.Length; i++) samples[i] = (float)(BinaryPrimitives.ReadInt32LittleEndian(bytes[(4 * i)..]) * scale32);
                break;
            case (_, 32):
                for (int i = 0; 4 * i < bytes.Length; i++) samples[i] = BinaryPrimitives.ReadSingleLittleEndian(bytes[(4 * i)..]) * _scale;
                break;
            default:
                for (int i = 0; 8 * i < bytes.Length; i++) samples[i] = (float)(BinaryPrimitives.ReadDoubleLittleEndian(bytes[(8 * i)..]) * _scale);
                break;
        }
    }

    private void Problem(long at, string text)
    {
        if (_problems.Count < MostProblems) _problems.Add(At(at, text));
    }

    private InputException Fail(long at, string text) => new(At(at, text));

    private ReadingProblem At(long at, string text) => new(_name, 0, 0, $"at byte {at}: {text}");

    private static string Shown(ReadOnlySpan<byte> bytes)
    {
        foreach (byte b in bytes)
            if (b is < 0x20 or > 0x7E) return "0x" + System.Convert.ToHexString(bytes);
        return $"'{System.Text.Encoding.ASCII.GetString(bytes)}'";
    }
}
