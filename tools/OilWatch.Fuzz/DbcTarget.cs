using OilWatch.Reading;
using OilWatch.Reading.Can;

namespace OilWatch.Fuzz;

/// <summary>Feeds bytes to the CAN database parser and decodes a few frames by what it makes of them.</summary>
internal static class DbcTarget
{
    /// <summary>Runs one input.</summary>
    public static void Run(ReadOnlySpan<byte> bytes)
    {
        try
        {
            CanDatabase database = CanDatabase.Parse("fuzz.dbc", bytes);
            CanCatalog catalog = CanCatalog.Build([database], survey: null);
            var decoder = new CanDecoder(catalog, [.. catalog.Channels.Select(channel => channel.Index)]);
            Span<byte> data = stackalloc byte[CanFrame.MaxBytes];
            data.Fill(0x5A);
            foreach (CanMessage message in database.Messages)
            {
                int plan = decoder.Find(message.Id);
                if (plan < 0) continue;
                for (int length = 0; length <= data.Length; length++)
                    decoder.Decode(plan, default, SignalLayout.FirstEight(data[..length]), length, data[..length], record: 1, Nowhere.Sink);
            }
        }
        catch (InputException)
        {
            return;
        }
    }

    private sealed class Nowhere : IReadingSink
    {
        public static readonly Nowhere Sink = new();

        public void Add(LogTime at, int channel, double value)
        {
        }

        public void EndRecord(LogTime at)
        {
        }

        public void DataLost(LogTime at)
        {
        }
    }
}
