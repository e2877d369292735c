using System.Text;
using System.Xml.Linq;
using OilWatch.Results;
using OilWatch.Tests.Results;

#pragma warning disable MA0002 // Assert.Equal compares texts ordinally by itself.

namespace OilWatch.Report.Tests;

public sealed class IndexPageTests
{
    [Fact]
    public void Each_log_has_its_verdict_and_the_way_to_its_report()
    {
        XDocument page = Page(IndexRow.Of(Sessions.Rich, "session"), IndexRow.Of(Sessions.Bare, "bare #2"), IndexRow.Unread("gone.csv", "there is no such file"));
        Assert.Equal("3 engine reports", page.Descendants("h1").Single().Value);
        Assert.Equal("1 stop, 1 clear, 1 without results.", page.Descendants("p").First().Value);
        Assert.Equal(
            [
                "session.csv stop Oil starvation 2 times, worst 96 of 410 kPa in C3L on lap 4. 2 0.12 1 1 15 %",
                "bare.csv clear Nothing found in what could be judged. 0 0 0",
                "gone.csv no results there is no such file",
            ],
            page.Descendants("tbody").Single().Elements("tr").Select(Sample.Words));
        Assert.Equal(["session/report.html", "bare%20%232/report.html"], page.Descendants("a").Select(link => (string)link.Attribute("href")!));
    }

    [Fact]
    public void Names_are_shown_as_text_and_lead_nowhere_else()
    {
        XDocument page = Page(IndexRow.Of(Sessions.Rich with { LogName = Sample.Hostile, Headline = Sample.Hostile }, "../..\\x?y&\"<>"), IndexRow.Unread(Sample.Hostile, Sample.Hostile));
        Assert.Empty(page.Descendants("script"));
        Assert.Equal("..%2F..%5Cx%3Fy%26%22%3C%3E/report.html", (string?)page.Descendants("a").Single().Attribute("href"));
        Assert.All(page.Descendants("bdi"), name => Assert.StartsWith("<b>&amp;\"'</b><script>", name.Value, StringComparison.Ordinal));
    }

    private static XDocument Page(params IndexRow[] rows)
    {
        using var page = new MemoryStream();
        IndexPage.Write(rows, ReportOptions.Default, page);
        return Sample.Parsed(Encoding.UTF8.GetString(page.ToArray()));
    }
}
