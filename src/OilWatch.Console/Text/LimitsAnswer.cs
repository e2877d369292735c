using System.Globalization;
using System.Text.Json;
using OilWatch.Cars;

namespace OilWatch.Console.Text;

/// <summary>Every threshold, written so that it can be put in a car file as it stands.</summary>
internal static class LimitsAnswer
{
    public static string Of(IEnumerable<LimitRow> rows)
    {
        var page = new Page(colour: false);
        foreach (IGrouping<string, LimitRow> section in rows.GroupBy(row => row.Section, StringComparer.Ordinal))
        {
            page.Line($"[limits.{section.Key}]");
            foreach (LimitRow row in section)
            {
                Limit limit = row.Limit;
                page.Quoted($"{limit.Meaning}; {limit.Source}", "# ");
                string unit = limit.Unit.Length > 0 ? limit.Unit + ", " : "";
                string changed = row.Value.Equals(row.Default) ? "" : $"; default {Number(row.Default)}";
                page.Line($"{PlainText.Pad($"{limit.Key} = {Number(row.Value)}", 34)} # {unit}{Number(limit.Min)} to {Number(limit.Max)}{changed}");
            }
            page.Blank();
        }
        return page.ToString();
    }

    /// <summary>The same as one line of JSON.</summary>
    public static void WriteJsonLine(IEnumerable<LimitRow> rows, Stream target)
    {
        using (var writer = new Utf8JsonWriter(target))
        {
            writer.WriteStartObject();
            writer.WriteStartArray("limits");
            foreach (LimitRow row in rows)
            {
                writer.WriteStartObject();
                writer.WriteString("section", row.Section);
                writer.WriteString("key", row.Limit.Key);
                writer.WriteNumber("value", row.Value);
                writer.WriteNumber("default", row.Default);
                writer.WriteString("unit", row.Limit.Unit);
                writer.WriteNumber("min", row.Limit.Min);
                writer.WriteNumber("max", row.Limit.Max);
                writer.WriteString("meaning", row.Limit.Meaning);
                writer.WriteString("source", row.Limit.Source);
                writer.WriteEndObject();
            }
            writer.WriteEndArray();
            writer.WriteEndObject();
        }
        target.Write("\n"u8);
    }

    private static string Number(double value) => value.ToString(CultureInfo.InvariantCulture);
}
