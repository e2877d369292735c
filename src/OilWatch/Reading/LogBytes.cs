using System.IO.Compression;
using System.Text;

namespace OilWatch.Reading;

/// <summary>Turns the bytes of a log, as stored, into UTF-8 text: gzip is unpacked, UTF-16 converted, a byte order mark dropped.</summary>
/// <remarks>
/// Everything streams through buffers of fixed size, so that a small file that unpacks to a vast one costs time, never memory.
/// Bytes that are neither gzip nor UTF-16 pass unchanged.
/// </remarks>
internal static class LogBytes
{
    /// <summary>How many bytes decide about the encoding.</summary>
    private const int LookBytes = 1024;

    private const int GzipBufferBytes = 128 * 1024;

    private const string DamageText =
        "the gzip data are damaged or cut off here; what came before was read, pack or copy the file again to have the rest";

    /// <summary>The same log, decoded. Nothing is opened yet.</summary>
    public static LogSource Decoded(LogSource source) => new(source.Name, () => OpenDecoded(source));

    /// <summary>Opens the bytes, saying which file it was when that fails.</summary>
    /// <exception cref="InputException">The file cannot be opened or read.</exception>
    public static Stream OpenOrExplain(LogSource source)
    {
        try
        {
            return source.Open();
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw CannotRead(source.Name, error);
        }
    }

    /// <summary>The error for a file that cannot be opened or read.</summary>
    public static InputException CannotRead(string name, Exception error) =>
        new($"{name}: cannot be read: {error.Message}", error);

    /// <summary>Reads up to <paramref name="count"/> bytes from the beginning; fewer only at the end.</summary>
    public static byte[] Head(Stream stream, int count)
    {
        var head = new byte[count];
        int filled = stream.ReadAtLeast(head, count, throwOnEndOfStream: false);
        return filled == count ? head : head[..filled];
    }

    private static DecodedStream OpenDecoded(LogSource source)
    {
        Stream raw = OpenOrExplain(source);
        try
        {
            byte[] head = Head(raw, LookBytes);
            return head is [0x1F, 0x8B, ..]       // Source: RFC 1952, section 2.3.1
                ? Unpacked(raw, head)
                : Text(Whole(raw, head), head, packing: null);
        }
        catch (IOException error)
        {
            raw.Dispose();
            throw CannotRead(source.Name, error);
        }
        catch
        {
            raw.Dispose();
            throw;
        }
    }

    private static DecodedStream Unpacked(Stream raw, byte[] head)
    {
        var packing = new GzipStream(new WatchedBytes(new BufferedStream(Whole(raw, head), GzipBufferBytes)));
        byte[] inner = Head(packing, LookBytes);
        return Text(new PrefixedStream(inner, packing), inner, packing);
    }

    /// <summary>Chooses by byte order mark, or by where the zero bytes are: every second byte of plain text in UTF-16 is zero.</summary>
    private static DecodedStream Text(Stream whole, ReadOnlySpan<byte> head, GzipStream? packing)
    {
        (Encoding? encoding, int mark) = head switch
        {
            [0xEF, 0xBB, 0xBF, ..] => (null, 3),
            [0xFF, 0xFE, ..] => (Encoding.Unicode, 2),
            [0xFE, 0xFF, ..] => (Encoding.BigEndianUnicode, 2),
            _ => (EncodingByZeros(head), 0),
        };
        whole.ReadExactly(stackalloc byte[mark]);
        return new DecodedStream(
            encoding is null ? whole : Encoding.CreateTranscodingStream(whole, encoding, Encoding.UTF8),
            packing,
            (packing, encoding) switch
            {
                (null, null) => null,
                (null, _) => $"The text is UTF-16 ({Order(encoding)}) and was converted.",
                (_, null) => "The file is packed with gzip.",
                (_, _) => $"The file is packed with gzip; its text is UTF-16 ({Order(encoding)}) and was converted.",
            });
    }

    private static string Order(Encoding encoding) => ReferenceEquals(encoding, Encoding.Unicode) ? "little-endian" : "big-endian";

    private static Encoding? EncodingByZeros(ReadOnlySpan<byte> head)
    {
        int even = 0, odd = 0, pairs = head.Length / 2;
        for (int i = 0; i + 1 < head.Length; i += 2)
        {
            if (head[i] == 0) even++;
            if (head[i + 1] == 0) odd++;
        }
        if (pairs < 2) return null;
        // Nine of ten: a degree sign or a dash has a high byte of its own, a zero low byte is not text.
        if (odd * 10 >= pairs * 9 && even == 0) return Encoding.Unicode;
        if (even * 10 >= pairs * 9 && odd == 0) return Encoding.BigEndianUnicode;
        return null;
    }

    /// <summary>The stream from its beginning again, though its head was read already.</summary>
    private static Stream Whole(Stream stream, byte[] head)
    {
        if (!stream.CanSeek) return new PrefixedStream(head, stream);
        stream.Seek(-head.Length, SeekOrigin.Current);
        return stream;
    }

    /// <summary>A gzip stream that ends where it is damaged, and remembers that.</summary>
    internal sealed class GzipStream(WatchedBytes packed) : ForwardStream
    {
        private readonly GZipStream _inner = new(packed, CompressionMode.Decompress);
        private uint _total;

        /// <summary>What is wrong with the packed file, or null.</summary>
        public string? Damage { get; private set; }

        public override int Read(Span<byte> buffer)
        {
            if (Damage is not null) return 0;
            try
            {
                int count = _inner.Read(buffer);
                unchecked { _total += (uint)count; }
                if (count == 0 && buffer.Length > 0 && packed.IsCutOff(_total)) Damage = DamageText;
                return count;
            }
            catch (InvalidDataException)
            {
                Damage = DamageText;
                return 0;
            }
        }

        protected override void Dispose(bool disposing)
        {
            if (disposing) _inner.Dispose();
            base.Dispose(disposing);
        }
    }

    /// <summary>The packed bytes on their way to the unpacker, which takes a file that is cut off for one that ends.</summary>
    /// <remarks>
    /// A gzip member ends with its unpacked length modulo 2^32 (RFC 1952, section 2.3.1). Where more than one member may be
    /// in the file that length says nothing about the whole, and the file gets the benefit of the doubt.
    /// </remarks>
    internal sealed class WatchedBytes(Stream packed) : ForwardStream
    {
        private static ReadOnlySpan<byte> MemberHeader => [0x1F, 0x8B, 0x08];

        private uint _lastFour;
        private int _headers;

        /// <summary>True when the file has one member only and does not end with the length that was unpacked.</summary>
        public bool IsCutOff(uint unpacked) => _headers == 1 && _lastFour != unpacked;

        public override int Read(Span<byte> buffer)
        {
            int count = packed.Read(buffer);
            ReadOnlySpan<byte> bytes = buffer[..count];
            for (int i = 0; i < Math.Min(2, count); i++) Roll(bytes[i], mayBeHeader: true);
            while (bytes.IndexOf(MemberHeader) is >= 0 and var at)
            {
                _headers++;
                bytes = bytes[(at + 3)..];
            }
            for (int i = Math.Max(2, count - 4); i < count; i++) Roll(buffer[i], mayBeHeader: false);
            return count;
        }

        private void Roll(byte value, bool mayBeHeader)
        {
            _lastFour = (_lastFour >> 8) | ((uint)value << 24);
            if (mayBeHeader && _lastFour >> 8 == 0x08_8B1F) _headers++;      // lies across two reads
        }

        protected override void Dispose(bool disposing)
        {
            if (disposing) packed.Dispose();
            base.Dispose(disposing);
        }
    }

    /// <summary>Bytes already read, then the rest of the stream that they came from.</summary>
    private sealed class PrefixedStream(byte[] prefix, Stream rest) : ForwardStream
    {
        private int _used;

        public override int Read(Span<byte> buffer)
        {
            if (_used == prefix.Length) return rest.Read(buffer);
            int count = Math.Min(buffer.Length, prefix.Length - _used);
            prefix.AsSpan(_used, count).CopyTo(buffer);
            _used += count;
            return count;
        }

        protected override void Dispose(bool disposing)
        {
            if (disposing) rest.Dispose();
            base.Dispose(disposing);
        }
    }
}
