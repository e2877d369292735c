using System.Text.Json;
using NSubstitute;
using OilWatch.Channels;
using OilWatch.Reading;
using OilWatch.Results;

namespace OilWatch.Tests.Results;

public sealed class ChannelInventoryTests
{
    private static readonly LogChannel[] Channels = [.. Roles.All.Select((role, index) => new LogChannel(index, role.Key(), null))];

    [Fact]
    public void A_channel_has_the_role_of_the_plan_and_its_reason()
    {
        ChannelInventory inventory = With(Role.EngineSpeed);
        ChannelListing listing = inventory.Channels[(int)Role.EngineSpeed];
        Assert.Equal((Role.EngineSpeed, "because"), (listing.Role, listing.Why));
        Assert.Equal(Roles.Count - 1, inventory.Channels.Count(other => other.Role is null && other.Why is null));
    }

    [Fact]
    public void Every_role_without_a_channel_is_missing_at_its_cost() => Assert.Equal(
        Roles.All.Where(role => role != Role.EngineSpeed).Select(role => new MissingRole(role, "costs " + role.Key())),
        With(Role.EngineSpeed).Missing);

    [Fact]
    public void Where_laps_are_found_one_way_the_other_ways_are_not_missing()
    {
        Role[] ways = [Role.Lap, Role.Beacon, Role.Latitude, Role.Longitude];
        foreach (Role[] way in (Role[][])[[Role.Lap], [Role.Beacon], [Role.Latitude, Role.Longitude]])
            Assert.DoesNotContain(With(way).Missing, missing => ways.Contains(missing.Role));
        Assert.Equal([Role.Lap, Role.Beacon, Role.Longitude], With(Role.Latitude).Missing.Select(missing => missing.Role).Where(ways.Contains));
    }

    [Fact]
    public void As_JSON_it_is_one_line()
    {
        using var stream = new MemoryStream();
        InventoryFiles.WriteJsonLine(With(Role.EngineSpeed), stream);
        byte[] bytes = stream.ToArray();
        Assert.Equal(bytes.Length - 1, bytes.AsSpan().IndexOf((byte)'\n'));
        using JsonDocument json = JsonDocument.Parse(bytes);
        Assert.Equal(
            ["format_version", "log", "log_format", "channels", "missing", "notes", "reading", "assumptions", "waveform"],
            json.RootElement.EnumerateObject().Select(field => field.Name), StringComparer.Ordinal);
    }

    private static ChannelInventory With(params Role[] roles)
    {
        ILogReader log = Substitute.For<ILogReader>();
        log.Name.Returns("a.csv");
        log.FormatName.Returns("CSV");
        log.Channels.Returns(Channels);
        log.Assumptions.Returns([]);
        var plan = new ChannelPlan([.. roles.Select(role => new ChannelChoice(role, Channels[(int)role], 1, 0, role.Unit(), "because"))], []);
        return ChannelInventory.Of(log, new InventorySink(Channels.Length), new ReadingReport(), plan, role => "costs " + role.Key());
    }
}
