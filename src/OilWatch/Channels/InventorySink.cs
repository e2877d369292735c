using OilWatch.Reading;

namespace OilWatch.Channels;

/// <summary>Takes every reading of a log once and keeps what the inventory and the choice of roles need, in bounded memory.</summary>
/// <remarks>
/// Counts, limits and gaps are exact to the resolution said here; quantiles come from a random sample of the values (reservoir sampling, Vitter's
/// algorithm R, ACM Trans. Math. Softw. 11 (1985) 37–57) with a fixed seed, so that the same log gives the same answer. A channel costs at most about
/// 30 KB, and less the more channels there are: about 130 MB for a hundred thousand.
/// </remarks>
public sealed class InventorySink : IReadingSink
{
    /// <summary>A stretch without readings is a gap when it is longer than this many usual intervals ...</summary>
    public const double GapIntervals = 5;

    /// <summary>... and than this, s.</summary>
    public const double ShortestGapS = 0.5;

    private readonly ChannelContents?[] _channels;
    private readonly ContentsDetail _detail;
    private LogTime? _first;
    private LogTime? _last;

    /// <summary>For a log with this many channels.</summary>
    /// <param name="channelCount">Channels of the log, 0 or more; readings of others are ignored.</param>
    public InventorySink(int channelCount)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(channelCount);
        _channels = new ChannelContents?[channelCount];
        _detail = ContentsDetail.For(channelCount);
    }

    /// <summary>Records (table rows or frames) seen.</summary>
    public long Records { get; private set; }

    /// <summary>How many times the source said that it lost data.</summary>
    public long Losses { get; private set; }

    /// <inheritdoc/>
    public void Add(LogTime at, int channel, double value)
    {
        if ((uint)channel >= (uint)_channels.Length) return;
        Saw(at);
        ChannelContents contents = _channels[channel] ??= new ChannelContents(_detail, channel);
        contents.Add(at, value);
    }

    /// <inheritdoc/>
    public void EndRecord(LogTime at)
    {
        Saw(at);
        Records++;
    }

    /// <inheritdoc/>
    public void DataLost(LogTime at) => Losses++;

    /// <summary>What the values of a channel look like, for the choice of roles.</summary>
    /// <param name="channel">The channel's index.</param>
    /// <exception cref="ArgumentOutOfRangeException">No such channel.</exception>
    public ChannelSample Sample(int channel)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(channel);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(channel, _channels.Length);
        return _channels[channel] is { } contents ? contents.Sample() : ChannelSample.Empty;
    }

    /// <summary>What the inventory shows of a channel, without its role.</summary>
    /// <exception cref="ArgumentOutOfRangeException">No such channel.</exception>
    public ChannelListing Listing(LogChannel channel)
    {
        ArgumentNullException.ThrowIfNull(channel);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(channel.Index, _channels.Length, nameof(channel));
        return _channels[channel.Index] is { } contents
            ? contents.Listing(channel, _first, _last)
            : new ChannelListing { Channel = channel };
    }

    private void Saw(LogTime at)
    {
        if (at == _last) return;
        if (_first is not { } first || at < first) _first = at;
        if (_last is not { } last || at > last) _last = at;
    }
}
