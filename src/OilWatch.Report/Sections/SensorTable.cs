using OilWatch.Channels;
using OilWatch.Report.Markup;
using OilWatch.Report.Plots;
using OilWatch.Results;

namespace OilWatch.Report.Sections;

/// <summary>How good the channels were.</summary>
internal static class SensorTable
{
    private static readonly Role[] Wanted = [Role.OilPressure, Role.EngineSpeed, Role.LateralG, Role.LongitudinalG, Role.OilTemperature, Role.CrankcasePressure, Role.Vibration];

    public static void Write(PageContext page) => page.Section("sensors", "How good the sensors were", () =>
    {
        SessionResult result = page.Result;
        if (result.Channels.IsEmpty) page.Lead("No channel of the log could be used.");
        else Table(page);
        string[] missing = [.. Wanted.Where(role => !Has(result, role)).Select(ReportWords.Name)];
        if (missing.Length > 0) page.Html.Leaf("p", $"Not logged, or not found: {string.Join(", ", missing)}.", ("class", "soft"));
    });

    /// <summary>True where the log has the role; vibration may come from a waveform beside it.</summary>
    private static bool Has(SessionResult result, Role role) =>
        result.Plan.Has(role) || result.Channels.Any(channel => channel.Role == role) || (role == Role.Vibration && result.Waveform is not null);

    private static void Table(PageContext page) => page.Table(
        "Sensor quality", "A reading that was masked was not believed and not judged. Ranges are of the readings that were believed.",
        [
            new("what", 34, Words: true), new("channel in the log", 34, Words: true), new("quality", 32, Words: true), new("readings a s", Tail: "readings a s"), new("range", Words: true, Tail: ""),
            new("gaps, s", Tail: "s gaps"), new("masked, s", Tail: "s masked"), new("wild readings", Tail: "wild"),
        ],
        page.Result.Channels.Length,
        table =>
        {
            foreach (ChannelQuality channel in page.Result.Channels)
            {
                using (table.Row())
                {
                    table.Head(ReportWords.Name(channel.Role));
                    using (table.Open()) page.Html.Name(channel.Source);
                    using (table.Open()) Quality(page, channel.Quality);
                    table.Cell(Quantities.Short(channel.RateHz));
                    table.Cell(Range(page, channel));
                    table.Cell(Quantities.Number(channel.GapS, 1));
                    table.Cell(Quantities.Number(channel.MaskedS, 1));
                    table.Cell(Quantities.Count(channel.SpikesRemoved));
                }
            }
        });

    private static void Quality(PageContext page, string quality)
    {
        (Mark? shape, string style) = quality switch
        {
            "bad" => (Mark.Triangle, "warning"),
            "suspect" => (Mark.Diamond, "caution"),
            _ => ((Mark?)null, "good"),
        };
        using (page.Html.Open("span", ("class", "sev " + style)))
        {
            if (shape is { } known) SvgPlot.Sign(page.Html, known, style);
            page.Html.Text(quality);
        }
    }

    private static string Range(PageContext page, ChannelQuality channel)
    {
        if (channel.Min is not { } min || channel.Max is not { } max) return "";
        string range = page.Result.Plan.UnitOf(channel.Role) switch
        {
            "kPa" => $"{page.Shown.Pressure(min)} to {page.Shown.Pressure(max)} {page.Shown.PressureUnit}",
            "km/h" => $"{page.Shown.Speed(min)} to {page.Shown.Speed(max)} {page.Shown.SpeedUnit}",
            "°C" => $"{page.Shown.Temperature(min)} to {page.Shown.Temperature(max)} {page.Shown.TemperatureUnit}",
            var unit => $"{Quantities.Short(min)} to {Quantities.Short(max)} {unit}".TrimEnd(),
        };
        return range.Replace('-', '\u2212');
    }
}
