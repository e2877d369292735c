using System.Collections.Immutable;

namespace OilWatch.Reading;

/// <summary>Knows by their first bytes the files that people hand over by mistake, so that the error can say what would be right.</summary>
internal static class ForeignBytes
{
    private const string Logs = "a log is CSV, a CAN text log or SLCAN text, each also packed with gzip";

    private static readonly ImmutableArray<(byte[] Magic, int At, string What)> Known =
    [
        ("WAVE"u8.ToArray(), 8, "this is a WAV file; name it as the file of [channels.vibration] in the car file, and give the log it belongs to here"),
        ("PK\u0003\u0004"u8.ToArray(), 0, "this is a ZIP archive or a spreadsheet; unpack it, or save the sheet as CSV"),
        ([0xD0, 0xCF, 0x11, 0xE0], 0, "this is a spreadsheet or document in an old binary form; save the sheet as CSV"),
        ("BZh"u8.ToArray(), 0, "this is packed with bzip2; unpack it first, only gzip is unpacked here"),
        ([0xFD, (byte)'7', (byte)'z', (byte)'X', (byte)'Z'], 0, "this is packed with xz; unpack it first, only gzip is unpacked here"),
        ([0x28, 0xB5, 0x2F, 0xFD], 0, "this is packed with zstd; unpack it first, only gzip is unpacked here"),
        ([0x37, 0x7A, 0xBC, 0xAF], 0, "this is a 7z archive; unpack it first, only gzip is unpacked here"),
        ([0x1F, 0x8B], 0, "this is packed with gzip twice; unpack it once"),
        ("%PDF"u8.ToArray(), 0, "this is a PDF document; " + Logs),
        ("PAR1"u8.ToArray(), 0, "this is a Parquet file, which is written here but not read; " + Logs),
        ("SQLite format 3"u8.ToArray(), 0, "this is a SQLite database, perhaps the logbook; " + Logs),
        ("$GP"u8.ToArray(), 0, Nmea),
        ("$GN"u8.ToArray(), 0, Nmea),
        ("<"u8.ToArray(), 0, "this is XML or HTML; " + Logs),
        ("{"u8.ToArray(), 0, "this is JSON; " + Logs),
        ("VERSION \""u8.ToArray(), 0, Database),
        ("BO_ "u8.ToArray(), 0, Database),
    ];

    private const string Nmea = "these are NMEA 0183 sentences; they go beside a log, for the laps, not in its place";
    private const string Database = "this is a CAN database (DBC); give it with --can-db or under [can] in the car file, and the log itself here";

    /// <summary>True when the bytes are text and are none of the files known as something else.</summary>
    public static bool IsPlainText(ReadOnlySpan<byte> head) => !head.IsEmpty && Find(head) is null && IsText(head);

    /// <summary>What the bytes are and what would be right.</summary>
    public static string Describe(ReadOnlySpan<byte> head)
    {
        if (head.IsEmpty) return "the file is empty; " + Logs;
        if (Find(head) is { } what) return what;
        if (head.IndexOfAnyExcept((byte)0) < 0) return "the file begins with nothing but zero bytes, as a file does that was never finished; " + Logs;
        return IsText(head)
            ? "no reader knows this format; " + Logs
            : $"these are binary data of a kind not known here (they begin with {Convert.ToHexString(head[..Math.Min(8, head.Length)])}); " + Logs;
    }

    private static string? Find(ReadOnlySpan<byte> head)
    {
        ReadOnlySpan<byte> text = head.TrimStart(" \t\r\n"u8);
        foreach ((byte[] magic, int at, string what) in Known)
            if (head.Length >= at + magic.Length && (head[at..].StartsWith(magic) || (at == 0 && text.StartsWith(magic)))) return what;
        return null;
    }

    /// <summary>Text has hardly any control characters. A few are let through: a line may be damaged, a power cut leaves a run of zeros.</summary>
    private static bool IsText(ReadOnlySpan<byte> head)
    {
        if (head.IndexOfAnyExcept((byte)0) < 0) return false;
        int controls = 0;
        byte before = 1;
        foreach (byte value in head)
        {
            if (value < 0x20 && value is not ((byte)'\t' or (byte)'\n' or (byte)'\r' or (byte)'\f') && (value | before) != 0) controls++;
            before = value;
        }
        return controls * 50L <= head.Length;
    }
}
