using System.Collections.Immutable;
using OilWatch.Reading;
using OilWatch.Vibration;

namespace OilWatch.Channels;

/// <summary>What is in a log: every channel, which role it got and why, what is missing and what that costs.</summary>
public sealed record ChannelInventory
{
    /// <summary>The log's file name, without its folder.</summary>
    public required string LogName { get; init; }

    /// <summary>What kind of log it is, in words.</summary>
    public required string FormatName { get; init; }

    /// <summary>Every channel, in the order of the log.</summary>
    public ImmutableArray<ChannelListing> Channels { get; init; } = [];

    /// <summary>What was assumed or could not be decided about roles, a sentence each.</summary>
    public ImmutableArray<string> Notes { get; init; } = [];

    /// <summary>Roles without a channel, in the order of the roles.</summary>
    public ImmutableArray<MissingRole> Missing { get; init; } = [];

    /// <summary>What the reader read and what it could not.</summary>
    public required ReadingReport Reading { get; init; }

    /// <summary>What was assumed while reading, a sentence each.</summary>
    public ImmutableArray<string> Assumptions { get; init; } = [];

    /// <summary>The raw waveform that the car file names beside the log; null without one.</summary>
    public WaveListing? Waveform { get; init; }

    /// <summary>Puts together what was read and what was decided.</summary>
    /// <param name="log">The reader of the log.</param>
    /// <param name="contents">What took the readings of all its channels.</param>
    /// <param name="reading">What the reader said of it.</param>
    /// <param name="plan">Which channel fills which role.</param>
    /// <param name="cost">What it costs when no channel fills a role, a sentence.</param>
    public static ChannelInventory Of(
        ILogReader log, InventorySink contents, ReadingReport reading, ChannelPlan plan, Func<Role, string> cost)
    {
        ArgumentNullException.ThrowIfNull(log);
        ArgumentNullException.ThrowIfNull(contents);
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(reading);
        ArgumentNullException.ThrowIfNull(cost);
        ILookup<int, ChannelChoice> choices = plan.Choices.ToLookup(choice => choice.Channel.Index);
        return new ChannelInventory
        {
            LogName = log.Name,
            FormatName = log.FormatName,
            Channels = [.. log.Channels.Select(channel => WithRole(contents.Listing(channel), choices[channel.Index]))],
            Notes = plan.Notes,
            Missing = [.. Roles.All.Where(role => IsMissing(role, plan)).Select(role => new MissingRole(role, cost(role)))],
            Reading = reading,
            Assumptions = [.. log.Assumptions],
        };
    }

    /// <summary>Laps are found in one of three ways; where there is one, the channels of the others are not missing.</summary>
    private static bool IsMissing(Role role, ChannelPlan plan)
    {
        if (plan.Has(role)) return false;
        bool lapsAreFound = plan.Has(Role.Lap) || plan.Has(Role.Beacon) || (plan.Has(Role.Latitude) && plan.Has(Role.Longitude));
        return !lapsAreFound || role is not (Role.Lap or Role.Beacon or Role.Latitude or Role.Longitude);
    }

    private static ChannelListing WithRole(ChannelListing listing, IEnumerable<ChannelChoice> choices) =>
        choices.FirstOrDefault() is { } choice ? listing with { Role = choice.Role, Why = choice.Why } : listing;
}
