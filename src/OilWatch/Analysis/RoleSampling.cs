using OilWatch.Cars;
using OilWatch.Channels;
using OilWatch.Reading;

namespace OilWatch.Analysis;

/// <summary>Chooses the roles, looking at values only where names and units do not settle it.</summary>
public static class RoleSampling
{
    private const long SampleRecords = 60_000;

    /// <summary>The plan for a log.</summary>
    /// <param name="reader">The opened log; read from the beginning when values are needed.</param>
    /// <param name="car">What the car file says.</param>
    /// <param name="asLive">True to look at the first moments only (<see cref="ReaderOptions.FirstMomentsS"/>), as has to be done with a stream.</param>
    /// <param name="cancellationToken">Stops the reading.</param>
    public static async ValueTask<ChannelPlan> PlanAsync(ILogReader reader, CarSettings car, bool asLive, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(reader);
        bool asked = false;
        ChannelPlan byName = RoleFinder.Find(reader.Channels, car, _ =>
        {
            asked = true;
            return null;
        });
        if (!asked) return byName;
        using var enough = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken);
        var inventory = new InventorySink(reader.Channels.Count == 0 ? 0 : reader.Channels.Max(channel => channel.Index) + 1);
        try
        {
            var sink = new StoppingSink(inventory, SampleRecords, asLive ? ReaderOptions.FirstMomentsS : double.PositiveInfinity, enough);
            await reader.ReadAsync([.. reader.Channels.Select(channel => channel.Index)], sink, enough.Token).ConfigureAwait(false);
        }
        catch (OperationCanceledException) when (!cancellationToken.IsCancellationRequested)
        {
            // The sample is full.
        }
        return RoleFinder.Find(reader.Channels, car, channel => inventory.Sample(channel) is { Count: > 0 } sample ? sample : null);
    }

    /// <summary>Passes readings on until there were enough records, then asks the reader to stop and lets nothing more through.</summary>
    private sealed class StoppingSink(InventorySink inner, long records, double longestS, CancellationTokenSource enough) : IReadingSink
    {
        private readonly bool _isShort = double.IsFinite(longestS);
        private LogTime? _first;
        private bool _full;

        public void Add(LogTime at, int channel, double value)
        {
            if (_isShort && at.SecondsSince(_first ??= at) > longestS) Stop();
            if (!_full) inner.Add(at, channel, value);
        }

        public void EndRecord(LogTime at)
        {
            if (_full) return;
            inner.EndRecord(at);
            if (inner.Records == records) Stop();
        }

        public void DataLost(LogTime at) => inner.DataLost(at);

        private void Stop()
        {
            _full = true;
            enough.Cancel();
        }
    }
}
