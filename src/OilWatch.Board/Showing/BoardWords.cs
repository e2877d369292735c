using System.Globalization;
using System.Text.Json;
using OilWatch.Report.Markup;

namespace OilWatch.Board.Showing;

/// <summary>Words for the page.</summary>
internal static class BoardWords
{
    /// <summary>Log time as <c>h:mm:ss</c>.</summary>
    public static string Clock(LogTime at)
    {
        long seconds = Math.Abs(at.Nanoseconds / LogTime.NanosecondsPerSecond);
        return string.Create(CultureInfo.InvariantCulture, $"{(at.Nanoseconds < 0 ? "-" : "")}{seconds / 3600}:{seconds / 60 % 60:D2}:{seconds % 60:D2}");
    }

    /// <summary>The text with a capital letter in front.</summary>
    public static string Capital(string text) => text.Length == 0 ? text : char.ToUpperInvariant(text[0]) + text[1..];

    /// <summary>Writes text of unknown origin: cleaned, and no longer than a page can show.</summary>
    public static void Text(this Utf8JsonWriter json, string name, string? text, int most = 120)
    {
        if (text is null) json.WriteNull(name);
        else json.WriteString(name, PageText.Cut(PageText.Clean(text), most));
    }

    /// <summary>Writes a list of such texts.</summary>
    public static void Texts(this Utf8JsonWriter json, string name, IEnumerable<string> texts, int most = 120)
    {
        json.WriteStartArray(name);
        foreach (string text in texts) json.WriteStringValue(PageText.Cut(PageText.Clean(text), most));
        json.WriteEndArray();
    }
}
