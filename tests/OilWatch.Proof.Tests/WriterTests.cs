using System.Globalization;
using System.Text;
using System.Text.Json;
using System.Xml.Linq;
using OilWatch.Alerts;
using OilWatch.Proof.Page;
using OilWatch.Proof.Statistics;
using OilWatch.Results;

namespace OilWatch.Proof.Tests;

public sealed class WriterTests
{
    private static readonly ProofOptions Quick = ProofOptions.Default with { Resamples = 100, Rates = ClusteredRatesOptions.Default with { Draws = 1000 } };

    private static ProofResult Fixed(string name = "after") => ProofAnalysis.Compare(
        Make.Group("before", Make.Session("b1", 12, Make.Always), Make.Session("b2", 12, Make.Always)),
        Make.Group(name, Make.Session("a1", 12, Make.Never), Make.Session("a2", 12, Make.Never)), Quick);

    private static ProofResult Wet() => ProofAnalysis.Compare(
        Make.Group("before", Make.Session("b1", 12, Make.Always)), Make.Group("after", Make.Session("a1", 12, Make.Never, load: 0.7)), Quick);

    private static string Written(Action<Stream> write)
    {
        using var stream = new MemoryStream();
        write(stream);
        return Encoding.UTF8.GetString(stream.ToArray());
    }

    [Fact]
    public void Every_field_of_the_contract_is_in_proof_json()
    {
        using JsonDocument json = JsonDocument.Parse(Written(s => ProofJson.Write(s, Fixed())));
        JsonElement root = json.RootElement;
        Assert.Equal("fixed", root.GetProperty("verdict").GetString());
        Assert.Equal(96, root.GetProperty("exposures_before").GetInt32());
        Assert.Equal(96, root.GetProperty("exposures_after").GetInt32());
        Assert.Equal(24, root.GetProperty("events_before").GetInt32());
        Assert.Equal(0, root.GetProperty("events_after").GetInt32());
        Assert.Equal(25, root.GetProperty("rate_per_100_before").GetDouble());
        Assert.Equal(100 * ClopperPearson.Of(24, 96).Low, root.GetProperty("rate_per_100_before_limits")[0].GetDouble(), 1e-6);
        Assert.Equal(100 * ClopperPearson.Of(0, 96).High, root.GetProperty("rate_per_100_after_limits")[1].GetDouble(), 1e-6);
        Assert.Equal(0, root.GetProperty("rate_ratio").GetDouble());
        Assert.Equal(2, root.GetProperty("rate_ratio_limits").GetArrayLength());
        Assert.True(root.GetProperty("p_value").GetDouble() < 0.05);
        JsonElement time = root.GetProperty("time_to_drop");
        Assert.Equal(24, time.GetProperty("before").GetProperty("events").GetInt32());
        Assert.Equal(0, time.GetProperty("after").GetProperty("steps").GetArrayLength());
        Assert.True(time.GetProperty("log_rank").GetProperty("statistic").GetDouble() > 10);
        Assert.True(time.GetProperty("log_rank").GetProperty("p_value").GetDouble() < 0.01);
        Assert.Equal(0.97, root.GetProperty("min_ratio_median_before").GetDouble());
        Assert.Equal(0.97, root.GetProperty("min_ratio_median_after").GetDouble());
        Assert.InRange(root.GetProperty("after_upper_bound_per_100").GetDouble(), 3, 5);
        Assert.Equal(0, root.GetProperty("needed_exposures").GetInt32());
        Assert.True(root.GetProperty("reasons").GetArrayLength() >= 3);
        Assert.Equal(Cautions.All.Length, root.GetProperty("cautions").GetArrayLength());
    }

    [Fact]
    public void Not_comparable_writes_why_and_null_for_every_rate()
    {
        using JsonDocument json = JsonDocument.Parse(Written(s => ProofJson.Write(s, Wet())));
        foreach (string field in new[] { "rate_per_100_before", "rate_per_100_after", "rate_ratio", "rate_ratio_limits", "p_value", "after_upper_bound_per_100", "min_ratio_median_before" })
            Assert.Equal(JsonValueKind.Null, json.RootElement.GetProperty(field).ValueKind);
        Assert.StartsWith("The groups do not meet in load", json.RootElement.GetProperty("reasons")[0].GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public void The_same_result_gives_the_same_bytes_under_a_decimal_comma()
    {
        string json = Written(s => ProofJson.Write(s, Fixed())), page = Written(s => ProofPage.Write(s, Fixed()));
        CultureInfo own = CultureInfo.CurrentCulture;
        var comma = (CultureInfo)CultureInfo.InvariantCulture.Clone();
        comma.NumberFormat.NumberDecimalSeparator = ",";
        comma.NumberFormat.NegativeSign = "~";
        try
        {
            CultureInfo.CurrentCulture = comma;
            Assert.Equal(json, Written(s => ProofJson.Write(s, Fixed())));
            Assert.Equal(page, Written(s => ProofPage.Write(s, Fixed())));
        }
        finally
        {
            CultureInfo.CurrentCulture = own;
        }
    }

    [Fact]
    public void The_page_stands_alone_escapes_names_and_ends_with_the_cautions()
    {
        string page = Written(s => ProofPage.Write(s, Fixed("<img src=x onerror=alert(1)> & \"more\"")));
        Assert.DoesNotContain("<img", page, StringComparison.Ordinal);
        Assert.DoesNotContain("<script", page, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("://", page, StringComparison.Ordinal);
        Assert.Contains("&lt;img src=x onerror=alert(1)&gt; &amp; &quot;more&quot;", page, StringComparison.Ordinal);
        Assert.Contains("<span>FIXED</span>", page, StringComparison.Ordinal);
        foreach (string caution in Cautions.All)
            Assert.Contains(System.Net.WebUtility.HtmlEncode(caution), page[page.IndexOf("<footer>", StringComparison.Ordinal)..], StringComparison.Ordinal);
    }

    [Fact]
    public void Every_drawing_is_well_formed_and_described()
    {
        string page = Written(s => ProofPage.Write(s, Fixed("a & b")));
        XElement[] drawings = [.. XDocument.Parse(page).Descendants("svg").Where(svg => (string?)svg.Attribute("role") is "img")];
        Assert.Equal(3, drawings.Length);
        foreach (XElement drawing in drawings)
        {
            Assert.Contains("a & b", drawing.Attribute("aria-label")!.Value, StringComparison.Ordinal);
            Assert.DoesNotContain("NaN", drawing.ToString(), StringComparison.Ordinal);
        }
    }

    [Theory]
    [InlineData("</title><script>alert(1)</script>", "</title><script>alert(1)</script>")]
    [InlineData("Öl & \"q\" مرحبا 🏁", "Öl & \"q\" مرحبا 🏁")]
    [InlineData("x\u202Egnp\u0007", "x\uFFFDgnp\uFFFD")]
    public void A_name_is_text_on_the_page_and_turns_nothing_round(string name, string shown)
    {
        XDocument page = XDocument.Parse(Written(s => ProofPage.Write(s, Fixed(name))));
        Assert.Contains(shown, page.Descendants("bdi").Select(text => text.Value), StringComparer.Ordinal);
        Assert.Empty(page.Descendants("script"));
    }

    [Fact]
    public void What_is_asked_first_is_answered_first()
    {
        XDocument page = XDocument.Parse(Written(s => ProofPage.Write(s, Fixed())));
        Assert.Equal(
            ["Before", "After", "It could still happen", "Chance alone", "What more would settle it"],
            page.Descendants("dl").First().Descendants("dt").Select(name => name.Value), StringComparer.Ordinal);
        Assert.StartsWith("Pressure lost in 24 of 96", page.Descendants("dd").First().Value, StringComparison.Ordinal);
        Assert.Equal(
            ["Why", "What would change the verdict", "The numbers", "Corner by corner", "How long the load can be held", "How deep pressure fell", "What was compared", "Cautions"],
            page.Descendants("h2").Select(heading => heading.Value), StringComparer.Ordinal);
    }

    [Fact]
    public void A_page_without_numbers_says_why_and_draws_nothing()
    {
        string page = Written(s => ProofPage.Write(s, Wet()));
        Assert.Contains("<span>NOT COMPARABLE</span>", page, StringComparison.Ordinal);
        Assert.Contains("The groups do not meet in load", page, StringComparison.Ordinal);
        Assert.DoesNotContain("class=\"plot\"", page, StringComparison.Ordinal);
    }

    [Fact]
    public void Several_groups_go_into_one_page_with_ids_of_their_own()
    {
        ProofComparison all = ProofAnalysis.CompareAll(
            [
                Make.Group("low", Make.Session("b1", 12, Make.Always), Make.Session("b2", 12, Make.Always)),
                Make.Group("middle", Make.Session("m1", 12, l => l % 3 == 0), Make.Session("m2", 12, l => l % 3 == 0)),
                Make.Group("full", Make.Session("a1", 12, Make.Never), Make.Session("a2", 12, Make.Never)),
            ], Quick);
        string page = Written(s => ProofPage.Write(s, all));
        string[] ids = [.. page.Split(" id=\"").Skip(1).Select(p => p[..p.IndexOf('"', StringComparison.Ordinal)])];
        Assert.Equal(ids.Length, ids.Distinct(StringComparer.Ordinal).Count());
        using JsonDocument json = JsonDocument.Parse(Written(s => ProofJson.Write(s, all)));
        Assert.Equal(2, json.RootElement.GetProperty("comparisons").GetArrayLength());
        Assert.Equal(2, json.RootElement.GetProperty("overall_log_rank").GetProperty("degrees_of_freedom").GetInt32());
    }

    [Fact]
    public void A_run_takes_analysed_logs_and_says_what_about_them_is_doubtful()
    {
        var good = new BaselineSummary { Origin = "learned", Confidence = "good" };
        var thumb = new BaselineSummary { Origin = "rule-of-thumb", Confidence = "low" };
        ProofResult result = ProofRun.Prove(
            [Make.Result("b1.csv", Make.Session("b1", 12, Make.Always), good), Make.Result("b2.csv", Make.Session("b2", 12, Make.Always), good)],
            [Make.Result("a1.csv", Make.Session("a1", 12, Make.Never), good), Make.Result("a2.csv", Make.Session("a2", 12, Make.Never), thumb)], Quick);
        Assert.Equal(ProofVerdict.Fixed, result.Verdict);
        Assert.Contains("What healthy pressure is was known only with low confidence in a2.csv; a learned baseline would make drops there surer.", (IEnumerable<string>)result.Reasons, StringComparer.Ordinal);
        Assert.Contains("The logs were judged against healthy pressure of different origin (learned, rule-of-thumb), which can shift what counts as a drop.", (IEnumerable<string>)result.Reasons, StringComparer.Ordinal);
        Assert.Equal("'before' has no exposure to sustained load.", ProofRun.Prove([], [], Quick).Reasons[0]);
    }
}
