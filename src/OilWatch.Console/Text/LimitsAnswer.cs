using System.Globalization;
using System.Text.Json;

namespace OilWatch.Console.Text;

/// <summary>Every threshold, written so that it can be put in a car file as it stands.</summary>
internal static class LimitsAnswer
{
    public static string Of(IEnumerable<LimitListing> rows)
    {
        var page = new Page(colour: false);
        foreach (IGrouping<string, LimitListing> section in rows.GroupBy(row => row.Section, StringComparer.Ordinal))
        {
            page.Line($"[limits.{section.Key}]");
            foreach (LimitListing row in section)
            {
                page.Quoted($"{row.Meaning}; {row.Source}", "# ");
                string unit = row.Unit.Length > 0 ? row.Unit + ", " : "";
                string changed = row.Value.Equals(row.Default) ? "" : $"; default {Number(row.Default)}";
                page.Line($"{PlainText.Pad($"{row.Key} = {Number(row.Value)}", 34)} # {unit}{Number(row.Min)} to {Number(row.Max)}{changed}");
            }
            page.Blank();
        }
        return page.ToString();
    }

    /// <summary>The same as one line of JSON.</summary>
    public static void WriteJsonLine(IEnumerable<LimitListing> rows, Stream target)
    {
        using (var writer = new Utf8JsonWriter(target))
        {
            writer.WriteStartObject();
            writer.WriteStartArray("limits");
            foreach (LimitListing row in rows)
            {
                writer.WriteStartObject();
                writer.WriteString("section", row.Section);
                writer.WriteString("key", row.Key);
                writer.WriteNumber("value", row.Value);
                writer.WriteNumber("default", row.Default);
                writer.WriteString("unit", row.Unit);
                writer.WriteNumber("min", row.Min);
                writer.WriteNumber("max", row.Max);
                writer.WriteString("meaning", row.Meaning);
                writer.WriteString("source", row.Source);
                writer.WriteEndObject();
            }
            writer.WriteEndArray();
            writer.WriteEndObject();
        }
        target.Write("\n"u8);
    }

    private static string Number(double value) => value.ToString(CultureInfo.InvariantCulture);
}
