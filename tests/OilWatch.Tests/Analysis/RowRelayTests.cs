using OilWatch.Analysis;
using OilWatch.Reading;

namespace OilWatch.Tests.Analysis;

public sealed class RowRelayTests
{
    private static readonly int[] Channels = [3, 5];

    [Theory]
    [InlineData(0)]
    [InlineData(255)]
    [InlineData(256)]
    [InlineData(257)]
    [InlineData(5_000)]
    public void Rows_and_what_is_said_between_them_come_out_in_the_order_they_went_in(int count)
    {
        var direct = new Notes();
        var relayed = new Notes();
        using (var relay = new RowRelay(relayed))
        {
            foreach (IRowSink sink in (IRowSink[])[direct, relay])
            {
                for (int i = 0; i < count; i++)
                {
                    if (i % 7 == 3) sink.StampedBehind(new LogTime(i), i);
                    if (i % 900 == 5) sink.DataLost(new LogTime(i));
                    if (i % 901 == 6) sink.Add(new LogTime(i), 5, i);
                    if (i % 901 == 6) sink.EndRecord(new LogTime(i));
                    sink.AddRow(new LogTime(i), Channels, [i, 2 * i]);
                }
            }
            relay.Complete();
        }
        Assert.Equal(direct.All, relayed.All);
    }

    [Fact]
    public void What_goes_wrong_behind_it_is_thrown_to_the_reader()
    {
        var failure = new FormatException("row 700");
        using var relay = new RowRelay(new Notes { Fails = at => at.Nanoseconds == 700 ? failure : null });
        InvalidOperationException thrown = Assert.Throws<InvalidOperationException>(() =>
        {
            for (int i = 0; i < 100_000; i++) relay.AddRow(new LogTime(i), Channels, [i, 2 * i]);
            relay.Complete();
        });
        Assert.Same(failure, thrown.InnerException);
    }

    private sealed class Notes : IRowSink
    {
        public List<(string What, long At, double One, double Other)> All { get; } = [];

        public Func<LogTime, Exception?>? Fails { get; init; }

        public void AddRow(LogTime at, int[] channels, ReadOnlySpan<double> values)
        {
            if (Fails?.Invoke(at) is { } failure) throw failure;
            Assert.Same(Channels, channels);
            All.Add(("row", at.Nanoseconds, values[0], values[1]));
        }

        public void Add(LogTime at, int channel, double value) => All.Add(("reading", at.Nanoseconds, channel, value));

        public void EndRecord(LogTime at) => All.Add(("end", at.Nanoseconds, 0, 0));

        public void DataLost(LogTime at) => All.Add(("lost", at.Nanoseconds, 0, 0));

        public void StampedBehind(LogTime at, double seconds) => All.Add(("behind", at.Nanoseconds, seconds, 0));
    }
}
