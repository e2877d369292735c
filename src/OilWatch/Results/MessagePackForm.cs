using System.Buffers;
using MessagePack;

namespace OilWatch.Results;

/// <summary>Writes a <see cref="ResultValue"/> as MessagePack: measurements as 64-bit floats, counts as integers, keys as text.</summary>
internal static class MessagePackForm
{
    public static void Write(ResultValue value, IBufferWriter<byte> target)
    {
        var writer = new MessagePackWriter(target);
        Write(value, ref writer);
        writer.Flush();
    }

    private static void Write(ResultValue value, ref MessagePackWriter writer)
    {
        switch (value)
        {
            case ResultValue.Nothing: writer.WriteNil(); break;
            case ResultValue.Flag flag: writer.Write(flag.Value); break;
            case ResultValue.Whole whole: writer.Write(whole.Value); break;
            case ResultValue.Number number: writer.Write(number.Value); break;
            case ResultValue.Words words: writer.Write(words.Text); break;
            case ResultValue.Items items:
                writer.WriteArrayHeader(items.Values.Length);
                foreach (ResultValue item in items.Values) Write(item, ref writer);
                break;
            case ResultValue.Fields fields:
                writer.WriteMapHeader(fields.Values.Length);
                foreach ((string key, ResultValue field) in fields.Values)
                {
                    writer.Write(key);
                    Write(field, ref writer);
                }
                break;
            default: throw new ArgumentOutOfRangeException(nameof(value));
        }
    }
}
