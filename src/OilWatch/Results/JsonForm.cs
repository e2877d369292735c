using System.Buffers;
using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Unicode;

namespace OilWatch.Results;

/// <summary>Writes a <see cref="ResultValue"/> as JSON (RFC 8259), UTF-8 without BOM.</summary>
internal static class JsonForm
{
    // Letters and signs such as ° stay readable; what could end a script or tag in a web page is escaped.
    private static readonly JavaScriptEncoder Encoder = JavaScriptEncoder.Create(UnicodeRanges.All);

    private static readonly JsonWriterOptions OnOneLine = new() { Encoder = Encoder };

    private static readonly JsonWriterOptions OnManyLines = new() { Encoder = Encoder, Indented = true, NewLine = "\n" };

    /// <summary>Writes the value and a newline.</summary>
    public static void Write(ResultValue value, IBufferWriter<byte> target, bool indented)
    {
        using (var writer = new Utf8JsonWriter(target, indented ? OnManyLines : OnOneLine)) Write(value, writer);
        target.Write("\n"u8);
    }

    private static void Write(ResultValue value, Utf8JsonWriter writer)
    {
        switch (value)
        {
            case ResultValue.Nothing: writer.WriteNullValue(); break;
            case ResultValue.Flag flag: writer.WriteBooleanValue(flag.Value); break;
            case ResultValue.Whole whole: writer.WriteNumberValue(whole.Value); break;
            case ResultValue.Number number: writer.WriteRawValue(number.Digits, skipInputValidation: true); break;
            case ResultValue.Words words: writer.WriteStringValue(words.Text); break;
            case ResultValue.Items items:
                writer.WriteStartArray();
                foreach (ResultValue item in items.Values) Write(item, writer);
                writer.WriteEndArray();
                break;
            case ResultValue.Fields fields:
                writer.WriteStartObject();
                foreach ((string key, ResultValue field) in fields.Values)
                {
                    writer.WritePropertyName(key);
                    Write(field, writer);
                }
                writer.WriteEndObject();
                break;
            default: throw new ArgumentOutOfRangeException(nameof(value));
        }
    }
}
