using System.Globalization;
using OilWatch.Channels;
using OilWatch.Reading;
using OilWatch.Vibration;

namespace OilWatch.Console.Text;

/// <summary>What is in a log, for a person.</summary>
internal static class ChannelsAnswer
{
    private const int MostSentences = 12;

    /// <summary>The inventory, lines of at most 80 columns. Ranges are in each channel's own unit.</summary>
    public static string Of(ChannelInventory inventory, bool colour)
    {
        var page = new Page(colour);
        page.Rule();
        page.Line($"{inventory.LogName} ({inventory.FormatName})");
        page.Wrapped(Contents(inventory));
        page.Rule();
        page.Table(Channels(inventory));
        Waveform(page, inventory);
        Roles(page, inventory);
        Missing(page, inventory);
        Assumed(page, inventory);
        Problems(page, inventory.Reading);
        return page.ToString();
    }

    private static string Contents(ChannelInventory inventory)
    {
        ReadingReport reading = inventory.Reading;
        IEnumerable<string> classes = reading.Classes.IsDefault ? [] : reading.Classes.Select(line => $"{Quantities.Count(line.Count)} {line.Name}");
        string span = reading is { First: { } first, Last: { } last }
            ? $"; from {Quantities.Number(first.Seconds, 3)} to {Quantities.Number(last.Seconds, 3)} s"
            : "; no readings";
        string back = reading.TimeWentBack > 0 ? $"; time went back {Quantities.Plural(reading.TimeWentBack, "time")}" : "";
        string lines = Quantities.Plural(reading.Lines, "line");
        string parts = string.Join(", ", classes);
        return $"{Quantities.Plural(inventory.Channels.Length, "channel")}; {lines}{(parts.Length > 0 ? $" ({parts})" : "")}{span}{back}";
    }

    private static TextTable Channels(ChannelInventory inventory)
    {
        var table = new TextTable(
            new TextColumn("channel", IsName: true), new TextColumn("in", IsName: true), new TextColumn("unit", IsName: true),
            new TextColumn("per s"), new TextColumn("from"), new TextColumn("to"), new TextColumn("gaps"), new TextColumn("role", IsName: true));
        foreach (ChannelListing listing in inventory.Channels)
        {
            table.Add(
                listing.Channel.Name,
                listing.Channel.Group ?? "",
                listing.Channel.Unit ?? "",
                Quantities.Short(listing.RateHz),
                listing.Samples == 0 ? "empty" : Quantities.Short(listing.Min),
                Quantities.Short(listing.Max),
                Gaps(listing),
                listing.Role?.Key() ?? "");
        }
        return table;
    }

    private static string Gaps(ChannelListing listing) => listing.GapCount == 0
        ? ""
        : string.Create(CultureInfo.InvariantCulture, $"{listing.GapCount}: {Quantities.Number(listing.GapS, 0)} s");

    private static void Waveform(Page page, ChannelInventory inventory)
    {
        if (inventory.Waveform is not { } wave) return;
        Heading(page, "The waveform beside it");
        string axes = wave.RangeG.Length == 1 ? "one axis" : string.Create(CultureInfo.InvariantCulture, $"{wave.RangeG.Length} axes");
        page.Wrapped($"{wave.Source}: {wave.FormatName}, {wave.Stored}; {axes} at {Quantities.Number(wave.RateHz, 1)} samples a second", "  - ");
        page.Wrapped(
            $"{Quantities.Count(wave.Samples)} samples each, {Quantities.Number(wave.LengthS, 3)} s; from {Quantities.Number(wave.Start.Seconds, 3)} to {Quantities.Number(wave.End.Seconds, 3)} s of the log's time", "  - ");
        page.Wrapped(Shared(wave, inventory.Reading), "  - ");
        foreach ((int axis, (double min, double max)) in wave.RangeG.Index())
            page.Wrapped(string.Create(CultureInfo.InvariantCulture, $"axis {axis + 1}: from {Quantities.Short(min)} to {Quantities.Short(max)} g"), "  - ");
        foreach (ReadingProblem problem in wave.Problems.Take(MostSentences)) page.Wrapped(problem.ToString(), "  - ");
    }

    /// <summary>How much of the log it covers.</summary>
    private static string Shared(WaveListing wave, ReadingReport log)
    {
        if (log is not { First: { } first, Last: { } last }) return "the log has no readings to go with it";
        double shared = Math.Min(wave.End.Seconds, last.Seconds) - Math.Max(wave.Start.Seconds, first.Seconds);
        return shared > 0
            ? $"{Quantities.Number(shared, 3)} s of it lie within the log"
            : "it has no time in common with the log; set start_s in [channels.vibration]";
    }

    private static void Roles(Page page, ChannelInventory inventory)
    {
        List<ChannelListing> used = [.. inventory.Channels.Where(listing => listing.Role is not null).OrderBy(listing => listing.Role)];
        if (used.Count == 0) return;
        Heading(page, "Why these roles");
        foreach (ChannelListing listing in used) page.Wrapped($"{listing.Role?.Key()}: {listing.Why}", "  - ");
    }

    private static void Missing(Page page, ChannelInventory inventory)
    {
        if (inventory.Missing.Length == 0) return;
        Heading(page, "Missing, and what that costs");
        foreach (MissingRole missing in inventory.Missing) page.Wrapped($"{missing.Role.Key()}: {missing.Cost}", "  - ");
    }

    private static void Assumed(Page page, ChannelInventory inventory)
    {
        string[] sentences = [.. inventory.Assumptions, .. inventory.Notes];
        if (sentences.Length == 0) return;
        Heading(page, "Assumed");
        page.Bullets(sentences, MostSentences, "; --json lists all of them");
    }

    private static void Problems(Page page, ReadingReport reading)
    {
        if (reading.ProblemCount == 0) return;
        Heading(page, $"{Quantities.Plural(reading.ProblemCount, "problem")} while reading");
        IEnumerable<ReadingProblem> shown = reading.Problems.IsDefault ? [] : reading.Problems;
        foreach (ReadingProblem problem in shown) page.Wrapped(problem.ToString(), "  - ");
    }

    private static void Heading(Page page, string text)
    {
        page.Blank();
        page.Line(text);
    }
}
