using System.Text;

namespace OilWatch.Reading.Can;

/// <summary>Bytes of a CAN database to text: UTF-8 where they are valid UTF-8, Windows-1252 otherwise.</summary>
/// <remarks>Database editors write Windows-1252; a degree sign in it is not valid UTF-8, so the choice is seldom in doubt.</remarks>
internal static class DbcEncoding
{
    /// <summary>Windows-1252 for 80 to 9F; the five holes as the C1 controls they are in Latin-1. Source: Unicode CP1252.TXT.</summary>
    private const string HighControls =
        "\u20AC\u0081\u201A\u0192\u201E\u2026\u2020\u2021\u02C6\u2030\u0160\u2039\u0152\u008D\u017D\u008F" +
        "\u0090\u2018\u2019\u201C\u201D\u2022\u2013\u2014\u02DC\u2122\u0161\u203A\u0153\u009D\u017E\u0178";

    private static readonly UTF8Encoding StrictUtf8 = new(encoderShouldEmitUTF8Identifier: false, throwOnInvalidBytes: true);

    /// <summary>Decodes, without any byte-order mark.</summary>
    public static string Decode(ReadOnlySpan<byte> bytes)
    {
        if (bytes is [0xFF, 0xFE, ..]) return Encoding.Unicode.GetString(bytes[2..]);
        if (bytes is [0xFE, 0xFF, ..]) return Encoding.BigEndianUnicode.GetString(bytes[2..]);
        if (bytes is [0xEF, 0xBB, 0xBF, ..]) bytes = bytes[3..];
        if (System.Text.Unicode.Utf8.IsValid(bytes)) return StrictUtf8.GetString(bytes);
        return string.Create(bytes.Length, bytes, static (text, from) =>
        {
            for (int i = 0; i < from.Length; i++) text[i] = from[i] is >= 0x80 and < 0xA0 ? HighControls[from[i] - 0x80] : (char)from[i];
        });
    }
}
