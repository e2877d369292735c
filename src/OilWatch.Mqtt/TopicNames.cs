using System.Globalization;
using System.Text;

namespace OilWatch.Mqtt;

/// <summary>Text as a topic can hold it (MQTT 5.0, sections 1.5.4 and 4.7).</summary>
internal static class TopicNames
{
    /// <summary>What a prefix may be, for messages.</summary>
    public const string PrefixRule = "1 to 128 characters in levels with / between are allowed, no empty level, no +, #, spaces or control characters, and no $ in front";

    private const int MostChars = 64;
    private const int MostPrefixChars = 128;

    /// <summary>Any text as one level of a topic: <c>+</c>, <c>#</c>, <c>/</c>, <c>$</c>, control characters and what is no text become <c>_</c>, white space <c>-</c>; cut to 64 characters; never empty.</summary>
    public static string Level(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        var level = new StringBuilder();
        foreach (Rune rune in text.Trim().EnumerateRunes())
        {
            if (level.Length + rune.Utf16SequenceLength > MostChars) break;
            if (Rune.IsWhiteSpace(rune)) level.Append('-');
            else if (rune.Value is '+' or '#' or '/' or '$' || rune == Rune.ReplacementChar || !IsText(rune)) level.Append('_');
            else level.Append(rune.ToString());
        }
        return level.Length == 0 ? "car" : level.ToString();
    }

    /// <summary>True for what topics may begin with.</summary>
    public static bool IsPrefix(string? text) =>
        text is { Length: > 0 and <= MostPrefixChars } && IsTopic(text) && !text.Any(char.IsWhiteSpace) && !text.Split('/').Contains("", StringComparer.Ordinal);

    /// <summary>True for the name of a topic that may be published to.</summary>
    public static bool IsTopic(string text) =>
        text.Length > 0 && text[0] != '$' && !text.AsSpan().ContainsAny('+', '#') && IsText(text) && Encoding.UTF8.GetByteCount(text) <= 1024;

    /// <summary>True for text without control characters, characters that are none, and halves of pairs.</summary>
    public static bool IsText(string text)
    {
        ReadOnlySpan<char> rest = text;
        while (!rest.IsEmpty)
        {
            if (Rune.DecodeFromUtf16(rest, out Rune rune, out int length) != System.Buffers.OperationStatus.Done || !IsText(rune)) return false;
            rest = rest[length..];
        }
        return true;
    }

    private static bool IsText(Rune rune) =>
        Rune.GetUnicodeCategory(rune) is not (UnicodeCategory.Control or UnicodeCategory.Format or UnicodeCategory.Surrogate or UnicodeCategory.OtherNotAssigned
            or UnicodeCategory.PrivateUse or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator);
}
