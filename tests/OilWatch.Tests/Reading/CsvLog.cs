using System.Globalization;
using System.Text;
using OilWatch.Channels;
using OilWatch.Reading;

namespace OilWatch.Tests.Reading;

/// <summary>Reads a CSV log for a test and writes down what came.</summary>
internal static class CsvLog
{
    public static ILogReader Open(byte[] bytes, params int[] chunks) =>
        AtOnce.Wait(LogFile.OpenAsync(new LogSource("session.csv", () => new ChunkedStream(bytes, chunks))));

    public static ILogReader Open(string text, params int[] chunks) => Open(Encoding.UTF8.GetBytes(text), chunks);

    /// <summary>The error of a log that cannot be opened.</summary>
    public static string Error(string text) => Error(Encoding.UTF8.GetBytes(text));

    public static string Error(byte[] bytes) => Assert.Throws<InputException>(() => Open(bytes)).Message;

    public static ReadingReport Read(ILogReader reader, IReadingSink sink, params int[] selected) =>
        AtOnce.Wait(reader.ReadAsync(selected.Length > 0 ? selected : [.. reader.Channels.Select(channel => channel.Index)], sink));

    /// <summary>One line a record: <c>seconds: name=value name=value</c>.</summary>
    public static string Records(string text) => Records(Open(text));

    public static string Records(ILogReader reader, params int[] selected)
    {
        var sink = new Notes(reader.Channels);
        Read(reader, sink, selected);
        return sink.ToString();
    }

    /// <summary><c>Name [unit], Name</c> ...</summary>
    public static string Channels(ILogReader reader) =>
        string.Join(", ", reader.Channels.Select(channel => channel.Unit is null ? channel.Name : $"{channel.Name} [{channel.Unit}]"));

    /// <summary>The classes that have any lines; the counts are checked to add up.</summary>
    public static string Classes(ReadingReport report)
    {
        Assert.Equal(report.Lines, report.Classes.Sum(item => item.Count));
        return string.Join(", ", report.Classes.Where(item => item.Count > 0).Select(item => FormattableString.Invariant($"{item.Name} {item.Count}")));
    }

    public static ReadingReport Report(ILogReader reader) => Read(reader, new Notes(reader.Channels));

    public static string Problems(ReadingReport report) => string.Join('\n', report.Problems);

    /// <summary>Writes down what it is given.</summary>
    internal sealed class Notes(IReadOnlyList<LogChannel> channels) : IReadingSink
    {
        private readonly StringBuilder _records = new();
        private readonly StringBuilder _values = new();
        private LogTime? _at;

        public void Add(LogTime at, int channel, double value)
        {
            Assert.Equal(_at ??= at, at);
            _values.Append(CultureInfo.InvariantCulture, $" {channels[channel].Name}={value:R}");
        }

        public void EndRecord(LogTime at)
        {
            Assert.Equal(_at ?? at, at);
            if (_records.Length > 0) _records.Append('\n');
            _records.Append((at.Nanoseconds / 1e9m).ToString("0.#########", CultureInfo.InvariantCulture)).Append(':').Append(_values);
            _values.Clear();
            _at = null;
        }

        public void DataLost(LogTime at) => Assert.Fail("a CSV log says nothing of lost data");

        public override string ToString()
        {
            Assert.Equal(0, _values.Length);
            return _records.ToString();
        }
    }
}
