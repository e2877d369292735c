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
        var asked = new HashSet<int>();
        ChannelPlan plan = RoleFinder.Find(reader.Channels, car, channel =>
        {
            asked.Add(channel);
            return null;
        });
        int known = 0;
        while (known < asked.Count)
        {
            known = asked.Count;
            InventorySink inventory = await SampleAsync(reader, [.. asked], asLive, cancellationToken).ConfigureAwait(false);
            Dictionary<int, ChannelSample> samples = asked.ToDictionary(channel => channel, inventory.Sample);
            plan = RoleFinder.Find(reader.Channels, car, channel => !asked.Add(channel) && samples[channel] is { Count: > 0 } sample ? sample : null);
        }
        return plan;
    }

    /// <summary>The first part of the log. All channels are read, so that the part is the same whatever is asked for; those asked for are kept.</summary>
    private static async ValueTask<InventorySink> SampleAsync(ILogReader reader, HashSet<int> asked, bool asLive, CancellationToken cancellationToken)
    {
        using var enough = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken);
        var inventory = new InventorySink(reader.Channels.Max(channel => channel.Index) + 1);
        try
        {
            var sink = new StoppingSink(inventory, asked, SampleRecords, asLive ? ReaderOptions.FirstMomentsS : double.PositiveInfinity, enough);
            await reader.ReadAsync([.. reader.Channels.Select(channel => channel.Index)], sink, enough.Token).ConfigureAwait(false);
        }
        catch (OperationCanceledException) when (!cancellationToken.IsCancellationRequested)
        {
            // The sample is full.
        }
        return inventory;
    }

    /// <summary>Passes readings on until there were enough records, then asks the reader to stop and lets nothing more through.</summary>
    private sealed class StoppingSink(InventorySink inner, HashSet<int> asked, long records, double longestS, CancellationTokenSource enough) : IReadingSink
    {
        private readonly bool _isShort = double.IsFinite(longestS);
        private readonly bool[] _asked = [.. Enumerable.Range(0, asked.Max() + 1).Select(asked.Contains)];
        private LogTime? _first;
        private bool _full;

        public void Add(LogTime at, int channel, double value)
        {
            if (_isShort && at.SecondsSince(_first ??= at) > longestS) Stop();
            if (!_full && channel < _asked.Length && _asked[channel]) inner.Add(at, channel, value);
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
