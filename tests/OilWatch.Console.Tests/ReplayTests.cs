using System.Collections.Immutable;
using System.Text;
using System.Text.Json;
using OilWatch.Alerts;
using OilWatch.Analysis;
using OilWatch.Cars;
using OilWatch.Channels;
using OilWatch.Reading;
using OilWatch.Results;
using OilWatch.Tests.Results;

#pragma warning disable MA0002 // Assert.Equal compares texts ordinally by itself.

namespace OilWatch.Console.Tests;

public sealed class ReplayTests : IDisposable
{
    private static readonly string[] AllFiles = ["alerts.jsonl", "alerts.msgpack", "corners.csv", "laps.csv", "report.html", "summary.json", "summary.msgpack"];

    private readonly Bench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Fact]
    public async Task One_log_has_its_results_straight_in_the_folder()
    {
        Assert.Equal(0, await _bench.RunAsync("replay", _bench.File("a.csv"), "--out", "~/out/deep"));
        Assert.Equal(AllFiles, _bench.FilesIn("out/deep"));
        Assert.Equal("", _bench.Error);
        Assert.StartsWith("{\n  \"format_version\": 1,\n  \"log\": \"a.csv\",", _bench.Read("out/deep/summary.json"), StringComparison.Ordinal);
        Assert.Contains($"Results are in {_bench.PathOf("out/deep")}", _bench.Out.Replace("\n", "", StringComparison.Ordinal), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Several_logs_have_a_sub_folder_each_and_clashing_names_a_number()
    {
        Assert.Equal(0, await _bench.RunAsync(
            "replay", _bench.File("x/run.csv"), _bench.File("y/RUN.csv.gz"), _bench.File("z/run.log"), _bench.File("run-2.csv"), "--out", "~/out"));
        Assert.Equal(
            ["RUN-2", "index.html", "run-2-2", "run-3", "run"],
            _bench.FilesIn("out").Select(file => file.Split('/')[0]).Distinct(StringComparer.Ordinal), StringComparer.Ordinal);
        Assert.Equal(
            new[] { "RUN-2", "run-2-2", "run-3", "run" }.SelectMany(folder => AllFiles.Select(file => $"{folder}/{file}")),
            _bench.FilesIn("out").Where(file => file.Contains('/', StringComparison.Ordinal)), StringComparer.Ordinal);
    }

    [Fact]
    public async Task Several_logs_have_a_page_that_leads_to_each_report_and_names_those_without()
    {
        Assert.Equal(4, await _bench.RunAsync("replay", _bench.File("a.csv"), "~/gone.csv", _bench.File("b b.csv"), "--out", "~/out"));
        string page = _bench.Read("out/index.html");
        Assert.Contains("<h1 id=\"logs-h\">3 engine reports</h1>", page, StringComparison.Ordinal);
        Assert.Contains("href=\"a/report.html\"", page, StringComparison.Ordinal);
        Assert.Contains("href=\"b%20b/report.html\"", page, StringComparison.Ordinal);
        Assert.Contains("<bdi>gone.csv</bdi>", page, StringComparison.Ordinal);
        Assert.DoesNotContain("gone/report.html", page, StringComparison.Ordinal);
    }

    [Fact]
    public async Task One_log_has_no_index_page()
    {
        Assert.Equal(0, await _bench.RunAsync("replay", _bench.File("a.csv"), "--out", "~/out"));
        Assert.DoesNotContain("index.html", _bench.FilesIn("out"));
    }

    [Fact]
    public async Task A_folder_stands_for_the_logs_in_it()
    {
        foreach (string file in (string[])["b.csv", "a.log.gz", "car.toml", "engine.dbc", "README.md", ".hidden.csv", "deeper/c.csv"]) _bench.File("logs/" + file);
        Assert.Equal(0, await _bench.RunAsync("replay", "--json", "~/logs"));
        Assert.Equal(["a.log.gz", "b.csv"], Lines(_bench.Out).Select(line => line.GetProperty("log").GetString()!), StringComparer.Ordinal);
    }

    [Fact]
    public async Task The_report_is_in_the_units_asked_for()
    {
        Assert.Equal(0, await _bench.RunAsync("replay", _bench.File("a.csv"), "--out", "~/out", "--units", "us"));
        Assert.Contains("of 59 psi", _bench.Read("out/report.html"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_log_called_as_the_index_page_is_not_replaced_by_it()
    {
        string log = _bench.File("index.html", "precious");
        Assert.Equal(2, await _bench.RunAsync("replay", log, _bench.File("a.csv"), "--out", _bench.Folder));
        Assert.Equal("oilwatch: ~/index.html: would be replaced by the results of the same name; choose another --out\n", _bench.Error);
        Assert.Equal("precious", _bench.Read("index.html"));
    }

    [Fact]
    public async Task Without_a_folder_nothing_is_written()
    {
        string[] before = [.. _bench.FilesIn(""), "a.csv"];
        Assert.Equal(0, await _bench.RunAsync("replay", _bench.File("a.csv")));
        Assert.Equal(before, _bench.FilesIn(""));
    }

    [Fact]
    public async Task Answers_come_in_the_order_given_whatever_is_ready_first()
    {
        var second = new TaskCompletionSource();
        _bench.Analyse(async (log, _, stop) =>
        {
            if (Environment.ProcessorCount > 1 && string.Equals(log.Name, "1.csv", StringComparison.Ordinal)) await second.Task.WaitAsync(stop);
            if (string.Equals(log.Name, "2.csv", StringComparison.Ordinal)) second.SetResult();
            return Sessions.Bare with { LogName = log.Name };
        });
        Assert.Equal(0, await _bench.RunAsync("replay", "--json", _bench.File("1.csv"), _bench.File("2.csv"), _bench.File("3.csv")));
        Assert.Equal(["1.csv", "2.csv", "3.csv"], Lines(_bench.Out).Select(line => line.GetProperty("log").GetString()!), StringComparer.Ordinal);
    }

    [Fact]
    public async Task The_reference_is_analysed_first_and_handed_to_every_log()
    {
        var seen = new System.Collections.Concurrent.ConcurrentQueue<string>();
        _bench.Analyse((log, request, _) =>
        {
            seen.Enqueue($"{log.Name} {request.AsLive} {request.Reference?.Name}");
            BaselineSummary learned = new()
            {
                Origin = "this-run",
                Confidence = "good",
                Parameters = [("gain", 90, ""), ("viscosity_power", 0.7, ""), ("offset", 10, ""), ("relief", 480, ""), ("relief_slope", 5, ""), ("knee", 50, "")],
                Curve = [(1000, 100), (7000, 500)],
            };
            return ValueTask.FromResult(Sessions.Bare with { LogName = log.Name, Baseline = learned });
        });
        Assert.Equal(0, await _bench.RunAsync("replay", _bench.File("now.csv"), "--as-live", "--reference", _bench.File("may.csv")));
        Assert.Equal(["may.csv False ", "now.csv True may.csv"], seen);
    }

    [Fact]
    public async Task A_reference_that_cannot_serve_is_exit_code_2()
    {
        Assert.Equal(2, await _bench.RunAsync("replay", _bench.File("now.csv"), "--reference", "~/gone.csv"));
        _bench.Analyse((log, _, _) => ValueTask.FromResult(Sessions.Bare with { LogName = log.Name }));
        Assert.Equal(2, await _bench.RunAsync("replay", _bench.File("now.csv"), "--reference", _bench.File("may.csv")));
        Assert.Equal(
            "oilwatch: --reference ~/gone.csv: there is no such file; check the name\n" +
            "oilwatch: --reference ~/may.csv: no healthy pressure could be learned from it; name a longer log with calm running\n",
            _bench.Error);
    }

    [Fact]
    public async Task The_car_files_inspection_file_is_read_beside_it()
    {
        File.WriteAllText(_bench.PathOf("ours.toml"), "[[sensor]]\nlook = \"the plug behind the filter\"\nsource = \"our builder\"\n");
        string car = _bench.File("car.toml");
        _bench.Parts = _bench.Parts with { ParseCar = (_, _) => (AnalysisOptions.Default with { Car = CarSettings.None with { AdviceFile = "ours.toml" } }, []) };
        string? look = null;
        _bench.Analyse((log, request, _) =>
        {
            look = request.Options.Advice.For(Causes.Cause.Sensor)[0].Look;
            return ValueTask.FromResult(Sessions.Bare with { LogName = log.Name });
        });
        Assert.Equal(0, await _bench.RunAsync("replay", _bench.File("a.csv"), "--car", car));
        Assert.Equal("the plug behind the filter", look);

        File.WriteAllText(_bench.PathOf("ours.toml"), "[[sensr]]\n");
        Assert.Equal(2, await _bench.RunAsync("replay", _bench.File("a.csv"), "--car", car));
        File.Delete(_bench.PathOf("ours.toml"));
        Assert.Equal(2, await _bench.RunAsync("replay", _bench.File("a.csv"), "--car", car));
        Assert.Equal(
            "oilwatch: ours.toml:1:3: unknown list 'sensr'; did you mean [[sensor]]?\n" +
            "oilwatch: car.toml: [advice] file = \"ours.toml\": there is no such file; check the name\n",
            _bench.Error);
    }

    [Fact]
    public async Task No_log_that_can_be_read_is_exit_code_3()
    {
        Directory.CreateDirectory(_bench.PathOf("folder"));
        Assert.Equal(3, await _bench.RunAsync("replay", "~/gone.csv", "~/folder", "--out", "~/out"));
        Assert.Equal(
            "oilwatch: ~/gone.csv: there is no such file; check the name\n" +
            "oilwatch: ~/folder: is a folder; name the log files in it\n",
            _bench.Error);
        Assert.Equal("", _bench.Out);
        Assert.Empty(_bench.FilesIn("out"));
    }

    [Fact]
    public async Task Some_logs_not_read_is_exit_code_4_and_the_others_are_written()
    {
        _bench.Analyse((log, _, _) => string.Equals(log.Name, "bad.csv", StringComparison.Ordinal)
            ? throw new InputException(new ReadingProblem(log.Name, 3, 7, "no header; a line with names of columns would be right"))
            : ValueTask.FromResult(Sessions.Bare with { LogName = log.Name }));
        Assert.Equal(4, await _bench.RunAsync("replay", _bench.File("bad.csv"), _bench.File("good.csv"), "--out", "~/out"));
        Assert.Equal("oilwatch: bad.csv:3:7: no header; a line with names of columns would be right\n", _bench.Error);
        Assert.Equal([.. AllFiles.Select(file => "good/" + file), "index.html"], _bench.FilesIn("out"), StringComparer.Ordinal);
    }

    [Theory]
    [InlineData("warning", 10)]
    [InlineData("caution", 10)]
    [InlineData("advisory", 10)]
    public async Task An_alert_as_severe_as_asked_about_is_exit_code_10(string severity, int code)
    {
        Assert.Equal(code, await _bench.RunAsync("replay", _bench.File("a.csv"), "--fail-on", severity));
        Assert.Equal("", _bench.Error);
    }

    [Fact]
    public async Task Lesser_alerts_than_asked_about_are_exit_code_0()
    {
        _bench.Analyse((log, _, _) => ValueTask.FromResult(Sessions.Rich with { Alerts = [Sessions.Starvation] }));
        Assert.Equal(0, await _bench.RunAsync("replay", _bench.File("a.csv"), "--fail-on", "warning"));
        Assert.Equal(10, await _bench.RunAsync("replay", _bench.File("a.csv"), "--fail-on", "caution"));
    }

    [Fact]
    public async Task An_engine_at_risk_outranks_a_log_that_could_not_be_read() =>
        Assert.Equal(10, await _bench.RunAsync("replay", "~/gone.csv", _bench.File("a.csv"), "--fail-on", "warning"));

    [Fact]
    public async Task Every_problem_of_the_car_file_is_shown_and_nothing_is_analysed()
    {
        _bench.Parts = _bench.Parts with
        {
            ParseCar = (bytes, file) => (AnalysisOptions.Default,
            [
                new ReadingProblem(file, 21, 1, "unknown key 'clear_rato' in [limits.pressure_drop]; did you mean 'clear_ratio'?"),
                new ReadingProblem(file, 2, 1, Encoding.UTF8.GetString(bytes)),
            ]),
            Analyse = (_, _, _) => throw new InvalidOperationException("analysed"),
        };
        Assert.Equal(2, await _bench.RunAsync("replay", _bench.File("a.csv"), "--car", _bench.File("car.toml", "text of it"), "--out", "~/out"));
        Assert.Equal(
            "oilwatch: car.toml:21:1: unknown key 'clear_rato' in [limits.pressure_drop]; did you mean 'clear_ratio'?\n" +
            "oilwatch: car.toml:2:1: text of it\n",
            _bench.Error);
        Assert.Empty(_bench.FilesIn("out"));
    }

    [Fact]
    public async Task A_car_file_that_cannot_be_read_is_exit_code_2()
    {
        Assert.Equal(2, await _bench.RunAsync("replay", _bench.File("a.csv"), "--car", "~/gone.toml"));
        Assert.Equal("oilwatch: ~/gone.toml: there is no such file; check the name\n", _bench.Error);
    }

    [Fact]
    public async Task A_car_file_larger_than_any_is_refused_unread()
    {
        Assert.Equal(2, await _bench.RunAsync("replay", _bench.File("a.csv"), "--car", _bench.File("car.toml", new string('#', (1 << 20) + 1))));
        Assert.Equal("oilwatch: ~/car.toml: is larger than 1 MiB, so it is no car file; name a TOML file\n", _bench.Error);
    }

    [Fact]
    public async Task CAN_databases_of_the_command_line_come_before_those_beside_the_car_file()
    {
        AnalysisRequest? seen = null;
        _bench.Parts = _bench.Parts with
        {
            ParseCar = (_, _) => (AnalysisOptions.Default with { Car = CarSettings.None with { CanDatabases = ["engine.dbc"] } }, []),
            Analyse = (_, request, _) =>
            {
                seen = request;
                return ValueTask.FromResult(Sessions.Bare);
            },
        };
        _bench.File("cars/engine.dbc", "VERSION \"\"");
        Assert.Equal(0, await _bench.RunAsync(
            "replay", _bench.File("a.csv"), "--car", _bench.File("cars/car.toml"), "--can-db", _bench.File("dash.dbc"), "--can-db", _bench.File("gps.dbc"), "--as-live"));
        Assert.NotNull(seen);
        Assert.True(seen.AsLive);
        Assert.Equal(["dash.dbc", "gps.dbc", "engine.dbc"], seen.Readers.CanDatabases.Select(database => database.Name), StringComparer.Ordinal);
        using var text = new StreamReader(seen.Readers.CanDatabases[2].Open());
        Assert.Equal("VERSION \"\"", await text.ReadToEndAsync());
    }

    [Fact]
    public async Task CAN_databases_that_are_not_there_are_exit_code_2_all_at_once()
    {
        _bench.Parts = _bench.Parts with
        {
            ParseCar = (_, _) => (AnalysisOptions.Default with { Car = CarSettings.None with { CanDatabases = ["engine.dbc"] } }, []),
        };
        Assert.Equal(2, await _bench.RunAsync("replay", _bench.File("a.csv"), "--car", _bench.File("car.toml"), "--can-db", "~/no.dbc"));
        Assert.Equal(
            "oilwatch: --can-db ~/no.dbc: there is no such file; check the name\n" +
            "oilwatch: car.toml: [can] database = \"engine.dbc\": there is no such file; check the name\n",
            _bench.Error);
    }

    [Fact]
    public async Task A_folder_that_cannot_be_written_to_is_exit_code_2_before_anything_is_analysed()
    {
        _bench.Analyse((_, _, _) => throw new InvalidOperationException("analysed"));
        Assert.Equal(2, await _bench.RunAsync("replay", _bench.File("a.csv"), "--out", _bench.File("taken")));
        Assert.StartsWith("oilwatch: --out ~/taken: cannot be written to: ", _bench.Error, StringComparison.Ordinal);
        Assert.EndsWith("; name a folder that can be\n", _bench.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Results_do_not_replace_the_log_they_are_about()
    {
        string log = _bench.File("laps.csv", "precious");
        Assert.Equal(2, await _bench.RunAsync("replay", log, "--out", _bench.Folder));
        Assert.Equal("oilwatch: ~/laps.csv: would be replaced by the results of the same name; choose another --out\n", _bench.Error);
        Assert.Equal("precious", _bench.Read("laps.csv"));
    }

    [Fact]
    public async Task A_disk_that_fills_up_at_any_byte_leaves_earlier_results_whole_and_nothing_half_written()
    {
        string log = _bench.File("a.csv");
        Assert.Equal(0, await _bench.RunAsync("replay", log, "--out", "~/out"));
        string[] before = [.. AllFiles.Select(file => _bench.Read("out/" + file))];
        _bench.Analyse((_, _, _) => ValueTask.FromResult(Sessions.Rich with { Headline = "another" }));
        long whole = AllFiles.Sum(file => new FileInfo(_bench.PathOf("out/" + file)).Length) + 1000;

        for (long room = 0; room < whole; room += 211)
        {
            long left = room;
            _bench.CreateFile = path =>
            {
                var file = new FileOnFullDisk(path, () => left, used => left -= used);
                return file;
            };
            int code = await _bench.RunAsync("replay", log, "--out", "~/out");
            Assert.Equal(AllFiles, _bench.FilesIn("out"));
            if (code == 0) return;
            Assert.Equal(2, code);
            Assert.Equal(before, AllFiles.Select(file => _bench.Read("out/" + file)), StringComparer.Ordinal);
            Assert.EndsWith(
                "oilwatch: ~/out: the results could not be written: No space left on device; what was there before is unchanged\n",
                _bench.Error, StringComparison.Ordinal);
        }
        Assert.Fail("the disk was never large enough");
    }

    [Fact]
    public async Task A_name_that_cannot_be_given_puts_the_earlier_results_back()
    {
        string log = _bench.File("a.csv");
        _bench.File("out/alerts.jsonl", "earlier");
        Directory.CreateDirectory(_bench.PathOf("out/summary.json"));
        Assert.Equal(2, await _bench.RunAsync("replay", log, "--out", "~/out"));
        Assert.Equal(["alerts.jsonl"], _bench.FilesIn("out"), StringComparer.Ordinal);
        Assert.Equal("earlier", _bench.Read("out/alerts.jsonl"));
        Assert.Contains("out: the results could not be written: ", _bench.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Interrupted_is_exit_code_130_and_what_was_finished_is_kept()
    {
        using var interrupt = new CancellationTokenSource();
        _bench.Interrupt = interrupt.Token;
        _bench.Analyse(async (log, _, stop) =>
        {
            if (string.Equals(log.Name, "done.csv", StringComparison.Ordinal)) return Sessions.Bare with { LogName = log.Name };
            for (int i = 0; i < 1000 && !_bench.FilesIn("out/done").SequenceEqual(AllFiles, StringComparer.Ordinal); i++) await Task.Delay(5, CancellationToken.None);
            await interrupt.CancelAsync();
            await Task.Delay(Timeout.Infinite, stop);
            throw new InvalidOperationException("not reached");
        });
        Assert.Equal(130, await _bench.RunAsync("replay", _bench.File("done.csv"), _bench.File("long.csv"), "--out", "~/out", "--json"));
        Assert.Equal("oilwatch: ~/long.csv: interrupted before it was done\n", _bench.Error);
        Assert.Equal(AllFiles.Select(file => "done/" + file), _bench.FilesIn("out"), StringComparer.Ordinal);
        Assert.Equal("done.csv", Assert.Single(Lines(_bench.Out)).GetProperty("log").GetString());
    }

    [Fact]
    public async Task Interrupted_while_writing_leaves_nothing()
    {
        using var interrupt = new CancellationTokenSource();
        _bench.Interrupt = interrupt.Token;
        int created = 0;
        _bench.CreateFile = path =>
        {
            // The first file is the trial of the folder; this is the third of the results.
            if (++created == 4)
            {
                interrupt.Cancel();
                SpinWait.SpinUntil(() => false, 200);
            }
            return Files.ResultFolder.CreateNew(path);
        };
        Assert.Equal(130, await _bench.RunAsync("replay", _bench.File("a.csv"), "--out", "~/out"));
        Assert.Empty(_bench.FilesIn("out"));
    }

    [Fact]
    public async Task A_fault_in_the_program_is_one_sentence_without_a_stack_trace()
    {
        _bench.Analyse((_, _, _) => throw new InvalidOperationException("Sequence contains no\nelements."));
        Assert.Equal(3, await _bench.RunAsync("replay", _bench.File("a.csv")));
        Assert.Equal(
            "oilwatch: ~/a.csv: could not be analysed because of a fault in the program (InvalidOperationException: Sequence contains no\uFFFDelements); please report it\n",
            _bench.Error);
    }

    [Fact]
    public async Task Json_is_a_line_a_log_and_nothing_else()
    {
        Assert.Equal(0, await _bench.RunAsync("replay", _bench.File("a.csv"), _bench.File("b.csv"), "--json"));
        JsonElement[] lines = [.. Lines(_bench.Out)];
        Assert.Equal(["a.csv", "b.csv"], lines.Select(line => line.GetProperty("log").GetString()!), StringComparer.Ordinal);
        Assert.All(lines, line => Assert.Equal("stop", line.GetProperty("verdict").GetString()));
    }

    [Fact]
    public async Task Quiet_says_nothing_but_errors()
    {
        _bench.Analyse((_, _, _) => ValueTask.FromResult(Sessions.Rich with { Reading = Problems(3) }));
        _bench.Progress = true;
        Assert.Equal(4, await _bench.RunAsync("replay", "--quiet", _bench.File("a.csv"), "~/gone.csv"));
        Assert.Equal("", _bench.Out);
        Assert.Equal("oilwatch: ~/gone.csv: there is no such file; check the name\n", _bench.Error);
    }

    [Fact]
    public async Task The_first_problems_of_a_log_are_shown_and_the_rest_counted()
    {
        _bench.Analyse((_, _, _) => ValueTask.FromResult(Sessions.Bare with { Reading = Problems(100) }));
        Assert.Equal(0, await _bench.RunAsync("replay", _bench.File("a.csv")));
        Assert.Equal(
            "oilwatch: a.csv:1: bad \uFFFD[31m\noilwatch: a.csv:2: bad \uFFFD[31m\noilwatch: a.csv:3: bad \uFFFD[31m\n" +
            "oilwatch: a.csv:4: bad \uFFFD[31m\noilwatch: a.csv:5: bad \uFFFD[31m\n" +
            "oilwatch: a.csv: and 95 more problems; 'oilwatch channels' shows more of them\n",
            _bench.Error);
    }

    [Fact]
    public async Task The_answer_ends_with_the_caution()
    {
        Assert.Equal(0, await _bench.RunAsync("replay", _bench.File("a.csv")));
        Assert.EndsWith(
            """
            Advice, not protection: keep the mechanical gauge or warning light and the
            engine's own safeguards. The driver and the officials decide; event rules and a
            qualified engine builder come first. Thresholds are starting points.

            """,
            _bench.Out, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_log_is_opened_anew_for_each_pass_and_scratch_space_is_gone_when_closed()
    {
        _bench.Analyse(async (log, request, stop) =>
        {
            for (int pass = 0; pass < 2; pass++)
            {
                using var text = new StreamReader(log.Open());
                Assert.Equal("the bytes", await text.ReadToEndAsync(stop));
            }
            await using Stream scratch = request.OpenScratch!();
            Assert.True(scratch is { CanRead: true, CanWrite: true, CanSeek: true });
            string path = Assert.IsType<FileStream>(scratch).Name;
            await scratch.DisposeAsync();
            Assert.False(File.Exists(path));
            return Sessions.Bare;
        });
        Assert.Equal(0, await _bench.RunAsync("replay", _bench.File("a.csv", "the bytes")));
        Assert.Equal("", _bench.Error);
    }

    [Fact]
    public async Task Progress_is_drawn_on_a_terminal_and_wiped_before_the_answer()
    {
        _bench.Progress = true;
        _bench.Analyse((_, request, _) =>
        {
            request.Progress!(5);
            return ValueTask.FromResult(Sessions.Bare);
        });
        Assert.Equal(0, await _bench.RunAsync("replay", _bench.File("a.csv", "0123456789")));
        Assert.Equal("\r 50 % [===============               ] 0 of 1 done\r" + new string(' ', 50) + "\r", _bench.Error);
    }

    private static ReadingReport Problems(int count) => new()
    {
        Lines = 1000,
        ProblemCount = count,
        Problems = [.. Enumerable.Range(1, Math.Min(count, 10)).Select(line => new ReadingProblem("a.csv", line, 0, "bad \u001b[31m"))],
    };

    private static IEnumerable<JsonElement> Lines(string text) =>
        text.Split('\n')[..^1].Select(line => JsonDocument.Parse(line).RootElement.Clone());
}
