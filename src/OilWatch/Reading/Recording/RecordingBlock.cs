using System.Buffers;
using System.Buffers.Binary;
using MessagePack;

namespace OilWatch.Reading.Recording;

/// <summary>Writes the blocks of a recording. The layout is drawn byte by byte in <c>docs/recording.md</c>.</summary>
/// <remarks>A block stands for itself: mark, length, checksum, and a MessagePack array whose first element says what it is. Fields are added at the end only.</remarks>
public static class RecordingBlock
{
    /// <summary>Of the layout; raised when a field changes its meaning, not when one is added.</summary>
    public const int Version = 1;

    /// <summary>The longest body, bytes; a longer one is not written and not believed.</summary>
    public const int MaxBodyBytes = 128 * 1024;

    /// <summary>The most bytes of a source, or of a database, in one block.</summary>
    public const int MaxPayloadBytes = 64 * 1024;

    internal const int HeaderBytes = 12;
    internal const int StartKind = 1, BytesKind = 2, NoteKind = 3, EndKind = 4, DatabaseKind = 5;

    private const int MaxTextChars = 4096;

    internal static ReadOnlySpan<byte> Mark => "OWRB"u8;

    /// <summary>The first block of a file.</summary>
    /// <param name="target">Takes the block.</param>
    /// <param name="id">16 bytes that all files of one recording share.</param>
    /// <param name="part">The file's number within the recording, from 1.</param>
    /// <param name="startedUs">When the file was begun, µs since 1970.</param>
    /// <param name="source">What was recorded, such as <c>tcp:192.0.2.1:29536</c>.</param>
    public static void WriteStart(IBufferWriter<byte> target, ReadOnlySpan<byte> id, int part, long startedUs, string source)
    {
        var body = new ArrayBufferWriter<byte>();
        var writer = new MessagePackWriter(body);
        writer.WriteArrayHeader(6);
        writer.Write(StartKind);
        writer.Write(Version);
        writer.Write(id);
        writer.Write(part);
        writer.Write(startedUs);
        writer.Write(Cut(source));
        writer.Flush();
        Write(target, body.WrittenSpan);
    }

    /// <summary>A part of a CAN database that the source was read with, so that the recording can be read without any other file.</summary>
    /// <param name="target">Takes the block.</param>
    /// <param name="index">The database's number, from 0; its parts follow each other.</param>
    /// <param name="name">Its file's name.</param>
    /// <param name="bytes">At most <see cref="MaxPayloadBytes"/>.</param>
    public static void WriteDatabase(IBufferWriter<byte> target, int index, string name, ReadOnlySpan<byte> bytes)
    {
        ArgumentOutOfRangeException.ThrowIfGreaterThan(bytes.Length, MaxPayloadBytes, nameof(bytes));
        var body = new ArrayBufferWriter<byte>();
        var writer = new MessagePackWriter(body);
        writer.WriteArrayHeader(4);
        writer.Write(DatabaseKind);
        writer.Write(index);
        writer.Write(Cut(name));
        writer.Write(bytes);
        writer.Flush();
        Write(target, body.WrittenSpan);
    }

    /// <summary>Bytes of the source as they came.</summary>
    /// <param name="target">Takes the block.</param>
    /// <param name="sequence">The block's number, from 0, over all files of the recording.</param>
    /// <param name="arrivedUs">When the last of them had come, µs since 1970.</param>
    /// <param name="bytes">At most <see cref="MaxPayloadBytes"/>.</param>
    public static void WriteBytes(IBufferWriter<byte> target, long sequence, long arrivedUs, ReadOnlySpan<byte> bytes)
    {
        ArgumentOutOfRangeException.ThrowIfGreaterThan(bytes.Length, MaxPayloadBytes, nameof(bytes));
        var body = new ArrayBufferWriter<byte>(bytes.Length + 32);
        var writer = new MessagePackWriter(body);
        writer.WriteArrayHeader(4);
        writer.Write(BytesKind);
        writer.Write(sequence);
        writer.Write(arrivedUs);
        writer.Write(bytes);
        writer.Flush();
        Write(target, body.WrittenSpan);
    }

    /// <summary>What happened to the source or the recording.</summary>
    /// <param name="target">Takes the block.</param>
    /// <param name="sequence">The number that the next block of bytes will have.</param>
    /// <param name="atUs">When, µs since 1970.</param>
    /// <param name="text">A sentence.</param>
    public static void WriteNote(IBufferWriter<byte> target, long sequence, long atUs, string text)
    {
        var body = new ArrayBufferWriter<byte>();
        var writer = new MessagePackWriter(body);
        writer.WriteArrayHeader(4);
        writer.Write(NoteKind);
        writer.Write(sequence);
        writer.Write(atUs);
        writer.Write(Cut(text));
        writer.Flush();
        Write(target, body.WrittenSpan);
    }

    /// <summary>The file was closed in order.</summary>
    /// <param name="target">Takes the block.</param>
    /// <param name="sequence">The number that the next block of bytes would have had.</param>
    /// <param name="atUs">When, µs since 1970.</param>
    /// <param name="isLast">True for the last file of the recording.</param>
    public static void WriteEnd(IBufferWriter<byte> target, long sequence, long atUs, bool isLast)
    {
        var body = new ArrayBufferWriter<byte>();
        var writer = new MessagePackWriter(body);
        writer.WriteArrayHeader(4);
        writer.Write(EndKind);
        writer.Write(sequence);
        writer.Write(atUs);
        writer.Write(isLast);
        writer.Flush();
        Write(target, body.WrittenSpan);
    }

    /// <summary>The checksum that a header with this length must carry for this body.</summary>
    internal static uint Checksum(ReadOnlySpan<byte> lengthField, ReadOnlySpan<byte> body) => Crc32.Of(body, Crc32.Of(lengthField));

    private static void Write(IBufferWriter<byte> target, ReadOnlySpan<byte> body)
    {
        ArgumentNullException.ThrowIfNull(target);
        Span<byte> block = target.GetSpan(HeaderBytes + body.Length);
        Mark.CopyTo(block);
        BinaryPrimitives.WriteInt32LittleEndian(block[4..], body.Length);
        BinaryPrimitives.WriteUInt32LittleEndian(block[8..], Checksum(block.Slice(4, 4), body));
        body.CopyTo(block[HeaderBytes..]);
        target.Advance(HeaderBytes + body.Length);
    }

    private static string Cut(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        return text.Length <= MaxTextChars ? text : text[..MaxTextChars];
    }
}
