using System.Globalization;
using System.Text.Json;
using System.Xml.Linq;
using OilWatch.Alerts;
using OilWatch.Causes;
using OilWatch.Channels;
using OilWatch.Laps;
using OilWatch.Reading;
using OilWatch.Results;
using OilWatch.Results.Traces;
using OilWatch.Tests.Results;

#pragma warning disable MA0002 // Assert.Equal compares texts ordinally by itself.

namespace OilWatch.Report.Tests;

public sealed class SessionReportTests
{
    [Fact]
    public void The_page_answers_in_the_order_in_which_it_is_asked()
    {
        XDocument page = Sample.Parsed(Sample.Page(Sample.Long()));
        Assert.Equal(
            ["before", "laps", "corners", "alerts", "pressure", "load", "crankcase", "vibration", "sensors", "basis", "advice"],
            page.Descendants("section").Select(section => (string)section.Attribute("id")!));
        Assert.Equal("STOP", page.Descendants("h1").Single().Value);
        Assert.Equal(
            ["How bad", "Which corner", "Which way", "How long", "Look at first", "Not known"],
            page.Descendants("dl").First().Descendants("dt").Select(name => name.Value));
    }

    [Fact]
    public void The_verdict_is_one_word_and_one_sentence()
    {
        XElement top = Sample.Parsed(Sample.Page(Sessions.Rich)).Descendants("header").First();
        Assert.Equal("verdict stop", (string?)top.Attribute("class"));
        Assert.Equal(
            "Engine report for Number 27 , session.csv – 2 laps, 0.12 engine hours, 41,234 crank revolutions, judged as the pit saw it STOP " +
            "Oil starvation 2 times, worst 96 of 410 kPa in C3L on lap 4.",
            Sample.Words(top));
    }

    [Fact]
    public void The_facts_are_those_of_the_worst_alert_and_the_worst_corner()
    {
        XElement facts = Sample.Parsed(Sample.Page(Sessions.Rich)).Descendants("dl").First();
        Assert.Equal(
            [
                "How bad 60 of 410 kPa (15 % of healthy) warning: oil starvation",
                "Which corner C3L pressure lost in 2 of 5 passes",
                "Which way Left-hand corner 1.31 g to the side at most in the worst one it began after 1.6 s of load (median)",
                "How long 0.8 s at the longest 1.7 s in all, 2 times 187 crank revolutions without healthy pressure",
                "Look at first Oil level baffle and trap doors, then pickup height",
                "Not known 1 thing could not be judged oil temperature was not to be believed see “What is not known”",
            ],
            facts.Elements("div").Select(Sample.Words));
    }

    [Fact]
    public void What_is_not_known_is_said_even_where_nothing_was_found()
    {
        XDocument page = Sample.Parsed(Sample.Page(Sessions.Bare with { NotJudged = ["No oil_pressure channel: nothing can be judged."], Verdict = Verdict.Watch }));
        Assert.Contains("How bad Not known oil pressure could not be judged", Sample.Words(page.Descendants("dl").First()), StringComparison.Ordinal);
        Assert.Contains("What is not known No oil_pressure channel: nothing can be judged.", Sample.Words(Sample.WithId(page, "before")), StringComparison.Ordinal);
        Assert.Contains("No channel of the log could be used.", Sample.Words(Sample.WithId(page, "sensors")), StringComparison.Ordinal);
        Assert.DoesNotContain("healthy again", Sample.Words(page.Root!), StringComparison.Ordinal);
    }

    [Fact]
    public void A_clear_session_with_an_advisory_is_still_clear_and_notes_it()
    {
        Alert cold = Sessions.Starvation with
        {
            Kind = AlertKind.OilTemperature,
            Severity = Severity.Advisory,
            MinKpa = null,
            MinRatio = null,
            ExpectedKpa = null,
            Direction = LoadDirection.None,
            Corner = null,
            Inspect = ["warm-up before going out"],
            Message = "Oil still cold.",
        };
        XDocument page = Sample.Parsed(Sample.Page(Sessions.Bare with { Alerts = [cold], Baseline = Sessions.Rich.Baseline }));
        Assert.Equal(
            [
                "How bad No loss of oil pressure found in what could be judged", "Noted Oil still cold. advisory: oil temperature, at 312.4 s, lap 4", "Worth a look some time Warm-up before going out",
                "Not known Nothing of what matters was missing",
            ],
            page.Descendants("dl").First().Elements("div").Select(Sample.Words));
        Assert.Contains("Nothing has to be done before going out again.", Sample.Words(Sample.WithId(page, "before")), StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_not_about_oil_pressure_has_no_corner_and_no_way()
    {
        Alert fast = Sessions.Starvation with { Kind = AlertKind.OverSpeed, MinKpa = null, Message = "8500 rpm: over the limit." };
        XDocument page = Sample.Parsed(Sample.Page(Sessions.Bare with { Alerts = [fast], Verdict = Verdict.Watch }));
        Assert.Equal(["How bad", "Where", "How long", "Look at first", "Not known"], page.Descendants("dl").First().Descendants("dt").Select(name => name.Value));
    }

    [Fact]
    public void The_cause_that_the_whole_run_shows_is_said_once()
    {
        SessionResult result = Sample.Long(2) with
        {
            Cause = new CauseReading { Outcome = CauseOutcome.Named, Reading = "oil pickup uncovered in left-hand corners", Evidence = ["100 % of 2 falls came under load"], Also = ["1 fault of a sensor"] },
        };
        result = result with { Alerts = [.. result.Alerts.Select(alert => alert with { Evidence = ["below for 0.84 s", "over the run: 100 % of 2 falls came under load"] })] };
        XDocument page = Sample.Parsed(Sample.Page(result));
        Assert.Contains(
            "Likely cause Oil pickup uncovered in left-hand corners. 100 % of 2 falls came under load beside it: 1 fault of a sensor", Sample.Words(Sample.WithId(page, "before")), StringComparison.Ordinal);
        Assert.DoesNotContain("over the run", Sample.Words(page.Root!), StringComparison.Ordinal);
        Assert.Contains("below for 0.84 s", Sample.Words(Sample.WithId(page, "closeup-1")), StringComparison.Ordinal);
    }

    [Fact]
    public void A_log_without_anything_still_makes_a_page()
    {
        XDocument page = Sample.Parsed(Sample.Page(Sessions.Bare));
        Assert.Equal(["before", "laps", "corners", "alerts", "sensors", "basis", "advice"], page.Descendants("section").Select(section => (string)section.Attribute("id")!));
        Assert.Equal("CLEAR", page.Descendants("h1").Single().Value);
    }

    [Fact]
    public void A_lap_has_its_figures_and_its_graph()
    {
        XElement row = Sample.WithId(Sample.Parsed(Sample.Page(Sample.Long())), "laps").Descendants("tbody").Single().Elements("tr").ElementAt(1);
        Assert.Equal("1", row.Element("th")!.Value);
        Assert.Equal(
            ["23 %", "1 time, 0.8 s", "", "1:15.000", "96", "93", "7012", "1.31", "112", "\u221240.6", "\u221212.5", "3.25", "12.5"],
            row.Elements("td").Select(cell => cell.Value));
        Assert.Equal("Oil pressure along lap 1; at the least 23 % of healthy", (string?)row.Descendants("svg").Single().Attribute("aria-label"));
    }

    [Fact]
    public void What_is_not_known_of_a_lap_is_an_empty_cell()
    {
        XElement row = Sample.WithId(Sample.Parsed(Sample.Page(Sessions.Rich)), "laps").Descendants("tbody").Single().Elements("tr").Last();
        Assert.Equal("5 in", row.Element("th")!.Value);
        Assert.Equal(["", "", "", "0:28.765", "", "", "", "", "", "", "", "", ""], row.Elements("td").Select(cell => cell.Value));
    }

    [Fact]
    public void A_judged_lap_without_starvation_says_no_and_not_zero()
    {
        SessionResult result = Sessions.Rich with { Laps = [Sessions.Rich.Laps[0] with { StarvationEvents = 0, StarvationS = 0 }] };
        XElement row = Sample.WithId(Sample.Parsed(Sample.Page(result)), "laps").Descendants("tbody").Single().Elements("tr").Single();
        Assert.Equal("no", row.Elements("td").ElementAt(1).Value);
    }

    [Fact]
    public void The_worst_alerts_are_close_up_and_the_page_says_which_are_not()
    {
        XElement alerts = Sample.WithId(Sample.Parsed(Sample.Page(Sample.Long())), "alerts");
        Assert.Equal(40, alerts.Descendants("article").Count());
        Assert.Equal(60, alerts.Descendants("tbody").Single().Elements("tr").Count());
        Assert.StartsWith(
            "Alerts close up The 40 worst of 60 are shown close up below, the worst first; the others are in the table only.", Sample.Words(alerts), StringComparison.Ordinal);
        Assert.Equal(40, alerts.Descendants("a").Count(link => ((string)link.Attribute("href")!).StartsWith("#closeup-", StringComparison.Ordinal)));
    }

    [Fact]
    public void A_close_up_has_its_pictures_on_one_time_axis_and_its_figures_in_words()
    {
        XElement closeUp = Sample.WithId(Sample.Parsed(Sample.Page(Sample.Long())), "closeup-1");
        Assert.Equal(
            ["Oil pressure, kPa", "Sustained load, g", "Engine speed, rpm", "Crankcase pressure, kPa", "Vibration, g"],
            closeUp.Descendants("b").Select(title => title.Value));
        XElement[] plots = [.. closeUp.Descendants("svg").Where(svg => (string?)svg.Attribute("role") is "img")];
        Assert.Equal(5, plots.Length);
        foreach (XElement plot in plots)
        {
            Assert.EndsWith("over time, from -4.0 to 6.0 s around the beginning of alert: Oil starvation in C3L, lap 0. Lowest 97 of 410 kPa (22 % of healthy), 0.84 s.",
                (string)plot.Attribute("aria-label")!, StringComparison.Ordinal);
        }
        Assert.Contains("Lasted 0.84 s, 93 revolutions", Sample.Words(closeUp), StringComparison.Ordinal);
    }

    [Fact]
    public void Another_alert_at_the_same_time_is_shown_in_the_close_up()
    {
        Alert shaken = Sessions.Starvation with { Kind = AlertKind.VibrationBand, Channel = Role.Vibration, Detail = "pickup bracket", MinKpa = null, MinRatio = null };
        SessionResult result = Sample.Long(1) with { Alerts = [Sample.Long(1).Alerts[0], shaken with { Start = LogTime.FromSeconds(21), End = LogTime.FromSeconds(22) }] };
        XElement closeUp = Sample.WithId(Sample.Parsed(Sample.Page(result)), "closeup-1");
        Assert.Equal("At the same time", closeUp.Descendants("b").Last().Value);
        Assert.Equal("vibration band (caution)", closeUp.Descendants("text").Last().Value);
    }

    [Fact]
    public void What_was_not_logged_is_not_drawn()
    {
        SessionResult result = Sample.Long(1);
        TracePoint[] points = [.. result.Traces.Alerts[0].Points.Select(point => point with { CrankcaseKpa = float.NaN, VibrationLevel = float.NaN })];
        result = result with { Traces = new SessionTraces { Alerts = [result.Traces.Alerts[0] with { Points = [.. points] }] } };
        XDocument page = Sample.Parsed(Sample.Page(result));
        Assert.Equal(["Oil pressure, kPa", "Sustained load, g", "Engine speed, rpm"], Sample.WithId(page, "closeup-1").Descendants("b").Select(title => title.Value));
        Assert.DoesNotContain(page.Descendants("section"), section => (string?)section.Attribute("id") is "crankcase" or "vibration");
    }

    [Fact]
    public void The_time_that_is_left_is_said_in_words_only_where_the_data_carry_it()
    {
        static CornerPass pass(int number, bool drops) => new()
        {
            Direction = LoadDirection.Left,
            Entry = new LogTime(number),
            Exit = new LogTime(number + 1),
            PeakLateralG = 1.3,
            SustainedS = 3,
            TimeToDropS = drops ? 1.6 : null,
            Starved = drops,
        };
        string enough = Words([.. Enumerable.Range(0, 10).Select(number => pass(number, number < 3))]);
        Assert.Contains("At 1.2 to 1.4 g to the left you have about 1.6 s: by then pressure had begun to fall in one pass of ten (3 drops in 10 passes).", enough, StringComparison.Ordinal);
        string few = Words([.. Enumerable.Range(0, 9).Select(number => pass(number, number < 3))]);
        Assert.Contains("There are too few passes to say for how long pressure holds at which load.", few, StringComparison.Ordinal);
        Assert.DoesNotContain("you have about", few, StringComparison.Ordinal);
        string none = Words([.. Enumerable.Range(0, 12).Select(number => pass(number, false))]);
        Assert.Contains("Pressure held in every pass that could be judged; how much longer it would have held is not known.", none, StringComparison.Ordinal);

        static string Words(CornerPass[] passes) => Sample.Words(Sample.WithId(Sample.Parsed(Sample.Page(Sessions.Rich with { CornerPasses = [.. passes] })), "load"));
    }

    [Fact]
    public void Names_are_shown_as_text_whatever_they_hold()
    {
        SessionResult result = Sample.Long(3) with
        {
            LogName = Sample.Hostile,
            CarName = Sample.Hostile,
            Headline = Sample.Hostile,
            NotJudged = [Sample.Hostile],
            Assumptions = [Sample.Hostile],
            FormatName = Sample.Hostile,
            Channels = [new ChannelQuality { Role = Role.OilPressure, Source = Sample.Hostile }],
            Alerts = [Sample.Long(3).Alerts[0] with { Detail = Sample.Hostile, Corner = Sample.Hostile, Reading = Sample.Hostile, Evidence = [Sample.Hostile], Inspect = [Sample.Hostile], Message = Sample.Hostile }],
            WorstCorners = [Sessions.Rich.WorstCorners[0] with { Corner = Sample.Hostile }],
            Plan = new ChannelPlan([], [Sample.Hostile]),
            Baseline = Sessions.Rich.Baseline! with { Notes = [Sample.Hostile], Origin = Sample.Hostile },
        };
        string text = Sample.Page(result, new ReportOptions { Version = Sample.Hostile });
        XDocument page = Sample.Parsed(text);
        const string Shown = "<b>&amp;\"'</b><script>alert(1)</script>\uFFFDevil\uFFFD שלום مرحبا 👩‍🔧\uFFFD \uFFFD javascript:x";
        Assert.Empty(page.Descendants("script"));
        Assert.All(page.Descendants("b"), title => Assert.Equal("axis-title", (string?)title.Parent!.Attribute("class")));
        Assert.True(page.Descendants("bdi").Count(name => string.Equals(name.Value, Shown, StringComparison.Ordinal)) >= 3);
        Assert.Equal(Shown, page.Descendants("header").First().Descendants("p").Last().Value);
        Assert.DoesNotContain('\u202E', text);
        Assert.DoesNotContain(page.Descendants().Attributes(), attribute => attribute.Name.LocalName.StartsWith("on", StringComparison.OrdinalIgnoreCase));
    }

    [Fact]
    public void Nothing_is_fetched_and_nothing_runs()
    {
        string text = Sample.Page(Sample.Long());
        XDocument page = Sample.Parsed(text);
        Assert.Equal(
            "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'",
            (string?)page.Descendants("meta").Single(meta => (string?)meta.Attribute("http-equiv") is "Content-Security-Policy").Attribute("content"));
        Assert.All(page.Descendants().Attributes().Where(attribute => attribute.Name.LocalName is "href" or "src"), link => Assert.Matches("^(#[a-z0-9-]+|data:,)$", link.Value));
        Assert.DoesNotContain("http:", text, StringComparison.Ordinal);
        Assert.DoesNotContain("https:", text, StringComparison.Ordinal);
        Assert.DoesNotContain("url(", text, StringComparison.Ordinal);
        Assert.DoesNotContain("@import", text, StringComparison.Ordinal);
        Assert.Empty(page.Descendants("script"));
    }

    [Fact]
    public void Every_id_is_there_once_and_every_reference_leads_somewhere()
    {
        XDocument page = Sample.Parsed(Sample.Page(Sample.Long()));
        string[] ids = [.. page.Descendants().Attributes("id").Select(id => id.Value)];
        Assert.Equal(ids.Length, ids.Distinct(StringComparer.Ordinal).Count());
        string[] wanted =
        [
            .. page.Descendants().Attributes("href").Where(link => link.Value.StartsWith('#')).Select(link => link.Value[1..]),
            .. page.Descendants().Attributes("aria-labelledby").Select(id => id.Value), .. page.Descendants().Attributes("aria-describedby").Select(id => id.Value),
        ];
        Assert.Empty(wanted.Except(ids, StringComparer.Ordinal));
    }

    [Fact]
    public void Every_picture_has_words_and_every_colour_a_shape_and_a_word()
    {
        XDocument page = Sample.Parsed(Sample.Page(Sample.Long()));
        Assert.All(page.Descendants("svg").Where(svg => svg.Parent!.Name.LocalName is not "svg"), svg =>
            Assert.True(svg.Attribute("aria-label") is { Value.Length: > 10 } || (string?)svg.Attribute("aria-hidden") is "true", svg.ToString()[..80]));
        Assert.All(page.Descendants("span").Where(span => ((string?)span.Attribute("class") ?? "").StartsWith("sev ", StringComparison.Ordinal)), span =>
            Assert.Matches("^(warning|caution|advisory|good|suspect|bad)$", span.Value));
        Assert.All(page.Descendants("tbody").Elements("tr"), row => Assert.Single(row.Elements("th"), head => (string?)head.Attribute("scope") is "row"));
    }

    [Fact]
    public void Half_an_hour_with_sixty_alerts_is_under_two_megabytes()
    {
        Assert.InRange(Sample.Page(Sample.Long()).Length, 200_000, 2_000_000);
    }

    [Fact]
    public void A_season_in_one_log_is_bounded_too()
    {
        SessionResult result = Sample.Long(5000, 800);
        string text = Sample.Page(result);
        Assert.InRange(text.Length, 200_000, 2_000_000);
        XDocument page = Sample.Parsed(text);
        Assert.Contains("These are the 120 worst of 800 laps; all are in laps.csv.", Sample.Words(Sample.WithId(page, "laps")), StringComparison.Ordinal);
        Assert.Contains("The 200 worst of 5,000 alerts in order of time; all are in alerts.jsonl.", Sample.Words(Sample.WithId(page, "alerts")), StringComparison.Ordinal);
    }

    [Fact]
    public void The_same_session_gives_the_same_bytes_whatever_the_machines_culture()
    {
        string expected = Sample.Page(Sample.Long());
        CultureInfo before = CultureInfo.CurrentCulture;
        try
        {
            var strange = (CultureInfo)CultureInfo.InvariantCulture.Clone();
            strange.NumberFormat.NumberDecimalSeparator = ",";
            strange.NumberFormat.NumberGroupSeparator = ".";
            strange.NumberFormat.NegativeSign = "\u2212";
            CultureInfo.CurrentCulture = strange;
            Assert.Equal("\u22121,5", $"{-1.5}");
            Assert.Equal(expected, Sample.Page(Sample.Long()));
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }

    [Fact]
    public void The_way_is_that_of_most_drops_and_says_of_how_many()
    {
        SessionResult result = Sessions.Rich with
        {
            Alerts =
            [
                Sessions.Starvation with { Severity = Severity.Warning, MinRatio = 0.2, Direction = LoadDirection.Right, LoadBeforeS = 3 },
                Sessions.Starvation with { Severity = Severity.Caution, Direction = LoadDirection.Braking, LoadBeforeS = 0.6 },
                Sessions.Starvation with { Severity = Severity.Advisory, Direction = LoadDirection.Braking, LoadBeforeS = 0.8 },
            ],
        };
        string facts = Sample.Words(Sample.Parsed(Sample.Page(result)).Descendants("dl").First());
        Assert.Contains("Which way Braking 2 of 3 times", facts, StringComparison.Ordinal);
        Assert.Contains("it began after 0.7 s of load (median)", facts, StringComparison.Ordinal);
        Assert.Contains("3 times, 1 of them slight", facts, StringComparison.Ordinal);
    }

    [Fact]
    public void A_lost_vacuum_is_told_as_such_and_not_as_the_lowest_pressure()
    {
        Alert lost = Sessions.Starvation with
        {
            Kind = AlertKind.CrankcaseVacuumLoss,
            Channel = Role.CrankcasePressure,
            Severity = Severity.Warning,
            Detail = "vacuum-lost",
            MinKpa = 0.5,
            ExpectedKpa = -35.5,
            MinRatio = -0.014,
        };
        SessionResult result = Sample.Long(1);
        result = result with { Alerts = [lost], Traces = result.Traces with { Alerts = [result.Traces.Alerts[0] with { Alert = lost }] } };
        XDocument page = Sample.Parsed(Sample.Page(result));
        Assert.Contains("0.5 where \u221235.5 is healthy, kPa", Sample.Words(Sample.WithId(page, "alerts")), StringComparison.Ordinal);
        Assert.DoesNotContain("vacuum-lost", Sample.Words(page.Root!), StringComparison.Ordinal);
        Assert.DoesNotContain("-1 %", Sample.Words(page.Root!), StringComparison.Ordinal);
    }

    [Fact]
    public void In_psi_no_kilopascal_is_left_but_in_the_thresholds()
    {
        XDocument page = Sample.Parsed(Sample.Page(Sample.Long() with { Headline = "Worst 96 of 410 kPa at 100 °C." }, new ReportOptions { Units = ReportUnits.Us }));
        Assert.Equal("Worst 14 of 59 psi at 212 °F.", page.Descendants("header").First().Descendants("p").Last().Value);
        page.Descendants("details").Last().Remove();
        string words = Sample.Words(page.Descendants("body").Single());
        Assert.Contains("14 of 59 psi (22 % of healthy)", words, StringComparison.Ordinal);
        Assert.DoesNotContain("kPa", words, StringComparison.Ordinal);
        Assert.DoesNotContain("°C", words, StringComparison.Ordinal);
        Assert.DoesNotContain(page.Descendants().Attributes("aria-label"), label => label.Value.Contains("kPa", StringComparison.Ordinal));
    }

    [Fact]
    public void The_totals_of_the_page_are_those_of_the_summary()
    {
        using var summary = new MemoryStream();
        ResultFiles.WriteSummaryJson(Sample.Long(), summary);
        JsonElement json = JsonDocument.Parse(summary.ToArray()).RootElement;
        JsonElement total = json.GetProperty("starvation_total");
        string facts = Sample.Words(Sample.Parsed(Sample.Page(Sample.Long())).Descendants("dl").First());
        Assert.Contains(FormattableString.Invariant($"{total.GetProperty("longest_s").GetDouble():F1} s at the longest"), facts, StringComparison.Ordinal);
        Assert.Contains(FormattableString.Invariant($"{total.GetProperty("duration_s").GetDouble():F1} s in all, {total.GetProperty("events").GetInt32()} times"), facts, StringComparison.Ordinal);
        Assert.Contains(FormattableString.Invariant($"{total.GetProperty("revolutions").GetDouble():N0} crank revolutions"), facts, StringComparison.Ordinal);
        Assert.Contains(json.GetProperty("look_first")[1].GetProperty("what").GetString()!, facts, StringComparison.Ordinal);
    }

    [Fact]
    public void The_version_and_the_changed_thresholds_are_named()
    {
        SessionResult result = Sessions.Rich with { Limits = [.. Cars.LimitTable.All.Select((limit, place) => place == 0 ? limit with { Default = limit.Default + 0.01 } : limit)] };
        string basis = Sample.Words(Sample.WithId(Sample.Parsed(Sample.Page(result, new ReportOptions { Version = "1.2.3" })), "basis"));
        Assert.Contains("1 threshold set in the car file; the others stand at their defaults, which are starting points.", basis, StringComparison.Ordinal);
        Assert.Contains("Judged by oilwatch 1.2.3; results format 1.", basis, StringComparison.Ordinal);
        Assert.Contains("Read as CSV: 8,445 lines, 5 problems; they are in summary.json.", basis, StringComparison.Ordinal);
    }

    [Fact]
    public void All_cautions_are_said()
    {
        string advice = Sample.Words(Sample.WithId(Sample.Parsed(Sample.Page(Sessions.Bare)), "advice"));
        Assert.All(Cautions.All, sentence => Assert.Contains(sentence, advice, StringComparison.Ordinal));
    }

    [Fact]
    public void A_stream_that_fails_is_not_hidden()
    {
        using var full = new StreamThatFailsOnWrite(0);
        Assert.Equal("No space left on device", Assert.Throws<IOException>(() => SessionReport.File(ReportOptions.Default).Write(Sample.Long(), full)).Message);
    }

    [Fact]
    public void Numbers_out_of_bounds_do_not_break_the_page()
    {
        static SessionResult with(double number)
        {
            SessionResult result = Sample.Long(2, 2);
            TracePoint wild = new()
            {
                At = result.Alerts[0].Start,
                PressureKpa = (float)number,
                ExpectedKpa = (float)number,
                SpreadKpa = (float)number,
                LateralG = (float)number,
                LongitudinalG = (float)number,
                SpeedRpm = (float)number,
                CrankcaseKpa = (float)number,
                VibrationLevel = (float)number,
                OilTemperatureC = (float)number,
            };
            Alert alert = result.Alerts[0] with { MinKpa = number, ExpectedKpa = number, MinRatio = number, DurationS = number, RpmAtMin = number, PeakLateralG = number, LoadBeforeS = number, Revolutions = number };
            return result with
            {
                Alerts = [alert, .. result.Alerts.Skip(1)],
                Laps = [result.Laps[0] with { OilPressureMinKpa = number, OilPressureMinRatio = number, PeakRpm = number }],
                CornerPasses = [result.CornerPasses[0] with { PeakLateralG = number, TimeToDropS = number, SustainedS = number }],
                WorstCorners = [Sessions.Rich.WorstCorners[0] with { DeficitKpaS = number }],
                Baseline = Sessions.Rich.Baseline! with { Curve = [(1000, number), (number, 100)], FitErrorKpa = number },
                Traces = result.Traces with { Alerts = [new AlertTrace(alert, [wild, wild with { At = wild.At.AddSeconds(1) }])] },
            };
        }
        foreach (double number in (double[])[double.NaN, double.PositiveInfinity, double.NegativeInfinity, double.MaxValue, -1e300, 1e30, 0, -0.0, double.Epsilon])
        {
            string page = Sample.Page(with(number));
            Assert.DoesNotContain("NaN", page, StringComparison.Ordinal);
            Assert.DoesNotContain("Infinity", page, StringComparison.Ordinal);
            Assert.Equal("html", Sample.Parsed(page).Root!.Name.LocalName);
        }
    }

    [Fact]
    public void Problems_while_reading_do_not_hide_the_verdict() => Assert.Contains(
        "without problems", Sample.Page(Sessions.Bare with { Reading = new ReadingReport { Lines = 3 } }), StringComparison.Ordinal);
}
