using OilWatch.Alerts;
using OilWatch.Console.Text;
using OilWatch.Laps;
using OilWatch.Results;
using OilWatch.Tests.Results;

namespace OilWatch.Console.Tests;

public sealed class SessionAnswerTests
{
    [Fact]
    public void A_full_session_is_answered_from_the_verdict_to_how_it_was_judged() =>
        Assert.Equal(
            """
            --------------------------------------------------------------------------------
            STOP  session.csv (CSV, Number 27)
            Oil starvation 2 times, worst 96 of 410 kPa in C3L on lap 4.
            2 laps, 0.12 engine hours, 41,234 crank revolutions, judged as the pit saw it
            --------------------------------------------------------------------------------
              !!! warning    oil-starvation 1
              !!  caution    oil-starvation 1
              !   advisory   sensor-fault 1

            Why, as far as the run shows
              oil pickup uncovered in left-hand corners
              - 14 falls of pressure
              - beside it: a sensor failed

            Look at first
              1. oil level
              2. baffle and trap doors
              3. pickup height

            Alerts, the worst first
              !!! warning   at 400.0 s, lap 5, C3L, oil-starvation, 60 of 410 kPa (15 %),
                            0.84 s, 93 rev
                            Oil pressure fell to 96 of 410 kPa in C3L: ease off.
              !!  caution   at 312.4 s, lap 4, C3L, oil-starvation, 96 of 410 kPa (23 %),
                            0.84 s, 93 rev
                            Oil pressure fell to 96 of 410 kPa in C3L: ease off.

            Laps
              lap  kind       time  max rpm  max g  min kPa  of healthy   starved  max °C
                4  timed  1:31.235     7012   1.31       96        23 %  1x 0.8 s     112
                5  in     0:28.765

            Corners, the worst first
              corner  starved  seconds  rev  min kPa  of healthy  load before, s
              C3L      2 of 5      1.7  187       60        15 %             1.6

            Sensors not to be believed
              - oil_temperature dropout, at -1.5 s: The oil temperature is not to be
                believed.

            Could not be judged
              - Crankcase vacuum: no channel for it.

            How it was judged
              - Healthy pressure is what this engine showed on this run, from 214 s of calm
                running, give or take 6 kPa (1.5 %); confidence good.
              - No oil temperature below 60 °C was seen.
              - The sign of Lat G was taken from the steering.
              - The separator is a comma.
              - 5 problems while reading 8,445 lines.

            Results are in out/session

            """,
            SessionAnswer.Of(Sessions.Rich, Units.Si, colour: false, folder: "out/session"));

    [Fact]
    public void In_US_units_pressures_are_psi_and_temperatures_Fahrenheit()
    {
        string answer = SessionAnswer.Of(Sessions.Rich, Units.Us, colour: false, folder: null);
        Assert.Contains("oil-starvation, 14 of 59 psi (23 %),", answer, StringComparison.Ordinal);
        Assert.Contains("lap  kind       time  max rpm  max g  min psi  of healthy   starved  max °F\n    4  timed  1:31.235     7012   1.31       14        23 %  1x 0.8 s     234\n", answer, StringComparison.Ordinal);
        Assert.Contains("give or take 0.9 psi (1.5 %)", answer, StringComparison.Ordinal);
    }

    [Fact]
    public void A_session_about_which_nothing_is_known_says_so() =>
        Assert.Equal(
            """
            --------------------------------------------------------------------------------
            CLEAR  bare.csv (CSV)
            Nothing found in what could be judged.
            no laps found
            --------------------------------------------------------------------------------

            How it was judged
              - Oil pressure was not judged.

            """,
            SessionAnswer.Of(Sessions.Bare, Units.Si, colour: false, folder: null));

    [Fact]
    public void Of_200_laps_the_worst_are_shown_in_their_order_and_said_to_be()
    {
        var session = Sessions.Rich with
        {
            Laps =
            [
                .. Enumerable.Range(1, 200).Select(number => Sessions.Rich.Laps[0] with
                {
                    Lap = number, StarvationEvents = number % 20 == 0 ? 1 : 0, StarvationS = number % 20 == 0 ? 1 : 0, OilPressureMinRatio = 1 - (number / 1000.0),
                }),
            ],
        };
        string answer = SessionAnswer.Of(session, Units.Si, colour: false, folder: "out");
        Page80.Check(answer);
        string[] lines = answer.Split('\n');
        int title = Array.IndexOf(lines, "Laps: the 24 worst of 200; all are in laps.csv");
        Assert.True(title > 0, answer);
        int[] shown = [.. lines[(title + 2)..(title + 26)].Select(line => int.Parse(line[..5], System.Globalization.CultureInfo.InvariantCulture))];
        Assert.Equal([20, 40, 60, 80, 100, 120, 140, 160, 180, 186, 187, 188, 189, 190, 191, 192, 193, 194, 195, 196, 197, 198, 199, 200], shown);
        Assert.Contains("\nLaps: the 24 worst of 200; --out FOLDER writes all of them\n",
            SessionAnswer.Of(session, Units.Si, colour: false, folder: null), StringComparison.Ordinal);
    }

    [Fact]
    public void Whatever_is_in_the_log_the_answer_stays_on_the_page_and_commands_nothing()
    {
        const string Evil = "\u001b[2J\u001b]0;owned\u0007 日本語の名前🏁 \u202e\u200b e\u0301\u0301\u0301 ";
        string longName = Evil + new string('W', 500);
        Alert alert = Sessions.Starvation with
        {
            Corner = longName,
            Detail = Evil,
            Message = longName,
            Reading = Evil,
            Inspect = [longName, Evil],
            MinKpa = -double.MaxValue,
            ExpectedKpa = double.MaxValue,
            MinRatio = double.NaN,
            DurationS = 1e300,
            Revolutions = double.PositiveInfinity,
            Start = new LogTime(long.MinValue),
            Lap = int.MinValue,
            Ending = EventEnd.Open,
        };
        LapSummary lap = Sessions.Rich.Laps[0] with
        {
            Lap = int.MinValue,
            Start = new LogTime(long.MinValue),
            End = new LogTime(long.MaxValue),
            PeakRpm = double.MaxValue,
            PeakLateralG = 1e200,
            OilPressureMinKpa = -1e300,
            OilPressureMinRatio = 1e300,
            StarvationEvents = int.MaxValue,
            StarvationS = 1e300,
            OilTemperatureMaxC = -1e300,
        };
        CornerHarm corner = Sessions.Rich.WorstCorners[0] with
        {
            Corner = longName,
            Passes = int.MaxValue,
            Starved = int.MaxValue,
            StarvationS = 1e300,
            StarvationRevolutions = 1e300,
            MinKpa = 1e300,
            MinRatio = 1e300,
            MedianTimeToDropS = 1e300,
        };
        foreach (int count in (int[])[1, 300])
        {
            var session = Sessions.Rich with
            {
                LogName = longName,
                FormatName = Evil,
                CarName = longName,
                Headline = longName,
                Alerts = [.. Enumerable.Range(0, count).SelectMany(i => new[] { alert, alert with { Kind = AlertKind.SensorFault } })],
                Laps = [.. Enumerable.Repeat(lap, count)],
                WorstCorners = [.. Enumerable.Repeat(corner, count)],
                NotJudged = [.. Enumerable.Repeat(longName, count)],
                Assumptions = [.. Enumerable.Repeat(Evil, count)],
                Baseline = Sessions.Rich.Baseline! with { Origin = longName, Confidence = Evil, Notes = [longName], FitErrorKpa = 1e300, CalmS = 1e300 },
            };
            foreach (Units units in Enum.GetValues<Units>()) Page80.Check(SessionAnswer.Of(session, units, colour: false, folder: longName));
        }
    }

    [Fact]
    public void Colour_only_adds_to_shape_and_word()
    {
        string plain = SessionAnswer.Of(Sessions.Rich, Units.Si, colour: false, folder: null);
        string coloured = SessionAnswer.Of(Sessions.Rich, Units.Si, colour: true, folder: null);
        Assert.DoesNotContain("\u001b", plain, StringComparison.Ordinal);
        Assert.Contains("\u001b[1;31mSTOP\u001b[0m  session.csv", coloured, StringComparison.Ordinal);
        Assert.Contains("\u001b[1;33m  !!  caution", coloured, StringComparison.Ordinal);
        Assert.Equal(plain, System.Text.RegularExpressions.Regex.Replace(coloured, "\u001b\\[[0-9;]*m", "", System.Text.RegularExpressions.RegexOptions.None, TimeSpan.FromSeconds(5)));
    }

    [Fact]
    public void What_grave_alerts_ask_for_comes_before_what_many_slight_ones_do()
    {
        Alert slight = Sessions.Starvation with { Severity = Severity.Advisory, Inspect = ["the slight thing"] };
        var session = Sessions.Bare with
        {
            Alerts = [slight, slight, slight, Sessions.Starvation with { Severity = Severity.Warning, Inspect = ["the grave thing", "the second thing"] }],
        };
        Assert.Contains("Look at first\n  1. the grave thing\n  2. the second thing\n  3. the slight thing\n",
            SessionAnswer.Of(session, Units.Si, colour: false, folder: null), StringComparison.Ordinal);
    }
}
