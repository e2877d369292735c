using System.Globalization;
using System.Text;
using System.Text.Json;

namespace OilWatch.Console.Tests;

/// <summary>Files that the car file names beside a log: they are listed, used, and never written over.</summary>
public sealed class SideFileTests : IDisposable
{
    private const string Gps = "[channels.latitude]\nfile = \"gps.nmea\"\n[channels.longitude]\nfile = \"gps.nmea\"\n";
    private readonly Bench _bench = new() { Parts = Wiring.Parts };

    public void Dispose() => _bench.Dispose();

    [Theory]
    [InlineData("[channels.vibration]\nfile = \"laps.csv\"\n", "laps.csv")]
    [InlineData("[channels.vibration]\nfile = \"run/CORNERS.csv\"\n", "run/CORNERS.csv")]
    [InlineData("[channels.latitude]\nfile = \"summary.json\"\n[channels.longitude]\nfile = \"summary.json\"\n", "summary.json")]
    [InlineData("[can]\ndatabase = \"report.html\"\n", "report.html")]
    public async Task No_side_file_is_replaced_by_results_of_its_name(string car, string file)
    {
        _bench.File(file, "VERSION \"\"\n");
        string log = _bench.File("a.csv", Log()), carFile = _bench.File("car.toml", car);
        string folder = Path.GetDirectoryName(_bench.PathOf(file))!;
        Assert.Equal(2, await _bench.RunAsync("replay", log, "--car", carFile, "--out", folder));
        Assert.Equal($"oilwatch: ~/{file}: would be replaced by the results of the same name; choose another --out\n", _bench.Error);
        Assert.Equal("VERSION \"\"\n", _bench.Read(file));
        Assert.DoesNotContain("alerts.jsonl", _bench.FilesIn("."), StringComparer.Ordinal);
    }

    [Fact]
    public async Task Nor_is_one_that_a_link_leads_to()
    {
        _bench.File("data/laps.csv", "precious");
        _bench.File("car/car.toml", "[channels.vibration]\nfile = \"block.csv\"\n");
        File.CreateSymbolicLink(_bench.PathOf("car/block.csv"), _bench.PathOf("data/laps.csv"));
        Directory.CreateSymbolicLink(_bench.PathOf("out"), _bench.PathOf("data"));
        Assert.Equal(2, await _bench.RunAsync("replay", _bench.File("a.csv", Log()), "--car", "~/car/car.toml", "--out", "~/out"));
        Assert.Equal("oilwatch: ~/car/block.csv: would be replaced by the results of the same name; choose another --out\n", _bench.Error);
        Assert.Equal("precious", _bench.Read("data/laps.csv"));
    }

    [Fact]
    public async Task Nor_by_what_is_watched_or_proved()
    {
        _bench.File("laps.csv", "precious");
        string log = _bench.File("a.csv", Log()), car = _bench.File("car.toml", "[channels.vibration]\nfile = \"laps.csv\"\n");
        Assert.Equal(2, await _bench.RunAsync("watch", "play:" + _bench.PathOf("a.csv"), "--car", car, "--out", _bench.Folder));
        _bench.File("proof.json", "precious");
        string other = _bench.File("other.toml", "[channels.vibration]\nfile = \"proof.json\"\n");
        Assert.Equal(2, await _bench.RunAsync("prove", "--before", log, "--after", log, "--car", other, "--out", _bench.Folder));
        Assert.Equal(
            "oilwatch: ~/laps.csv: would be replaced by the results of the same name; choose another --out\noilwatch: ~/proof.json: would be replaced by the results of the same name; choose another --out\n",
            _bench.Error);
        Assert.Equal(("precious", "precious"), (_bench.Read("laps.csv"), _bench.Read("proof.json")));
    }

    [Fact]
    public async Task Channels_lists_the_waveform_that_the_car_file_names()
    {
        File.WriteAllBytes(_bench.PathOf("block.wav"), WaveformTests.Tone(seconds: 20, hz: 200, peakG: 5));
        string car = _bench.File("car.toml", "[channels.vibration]\nfile = \"block.wav\"\nscale = 20.0\nstart_s = 22.5\n");
        Assert.Equal(0, await _bench.RunAsync("channels", _bench.File("run.csv", Log()), "--car", car));
        Assert.Equal("", _bench.Error);
        Assert.Contains(
            """
            The waveform beside it
              - block.wav: WAVE, PCM of 16 bits; one axis at 3200.0 samples a second
              - 64,000 samples each, 20.000 s; from 22.500 to 42.500 s of the log's time
              - 7.500 s of it lie within the log
              - axis 1: from -5 to 5 g

            """,
            _bench.Out, StringComparison.Ordinal);
        Assert.DoesNotContain("Vibration is not measured", _bench.Out, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_listing_as_json_holds_it_too()
    {
        File.WriteAllBytes(_bench.PathOf("block.wav"), WaveformTests.Tone(seconds: 2, hz: 200, peakG: 5));
        string car = _bench.File("car.toml", "[channels.vibration]\nfile = \"block.wav\"\nscale = 20.0\nstart_s = -1\n");
        Assert.Equal(0, await _bench.RunAsync("channels", _bench.File("run.csv", Log()), "--car", car, "--json"));
        using JsonDocument listing = JsonDocument.Parse(_bench.Out);
        JsonElement wave = listing.RootElement.GetProperty("waveform");
        Assert.Equal(
            ("block.wav", "WAVE", "PCM of 16 bits", 3200.0, 6400, 2.0, -1.0, 1.0),
            (wave.GetProperty("source").GetString(), wave.GetProperty("format").GetString(), wave.GetProperty("stored").GetString(), wave.GetProperty("rate_hz").GetDouble(),
                wave.GetProperty("samples").GetInt32(), wave.GetProperty("length_s").GetDouble(), wave.GetProperty("start_s").GetDouble(), wave.GetProperty("end_s").GetDouble()));
        Assert.Equal(5, wave.GetProperty("axes")[0].GetProperty("max_g").GetDouble(), 0.01);
    }

    [Fact]
    public async Task A_waveform_that_cannot_be_read_is_told_and_the_log_is_listed_all_the_same()
    {
        _bench.File("block.wav", "no wave file at all");
        string car = _bench.File("car.toml", "[channels.vibration]\nfile = \"block.wav\"\n");
        Assert.Equal(4, await _bench.RunAsync("channels", _bench.File("run.csv", Log()), "--car", car));
        Assert.Equal("oilwatch: block.wav: at byte 0: expected 'RIFF' or 'RF64', found 'no w'\n", _bench.Error);
        Assert.Contains("Engine Speed", _bench.Out, StringComparison.Ordinal);
    }

    [Fact]
    public async Task With_several_logs_side_files_are_left_out_and_that_is_said()
    {
        File.WriteAllBytes(_bench.PathOf("block.wav"), WaveformTests.Tone(seconds: 2, hz: 200, peakG: 5));
        string car = _bench.File("car.toml", "[channels.vibration]\nfile = \"block.wav\"\n" + Gps);
        _bench.File("gps.nmea", Sentences(0));
        Assert.Equal(0, await _bench.RunAsync("channels", _bench.File("a.csv", Log()), _bench.File("b.csv", Log()), "--car", car));
        Assert.Equal(
            "oilwatch: block.wav: is not listed, because it belongs to one log and several are given; list its log alone\noilwatch: gps.nmea: is not listed, because it belongs to one log and several are given; list its log alone\n",
            _bench.Error);
        Assert.Equal(0, await _bench.RunAsync("replay", "~/a.csv", "~/b.csv", "--car", car, "--quiet"));
        Assert.EndsWith("oilwatch: gps.nmea: is not used, because it belongs to one log and several are given; replay its log alone\n", _bench.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Channels_lists_positions_with_their_role_and_what_was_in_the_file()
    {
        _bench.File("gps.nmea", Sentences(1) + "damaged\n");
        Assert.Equal(0, await _bench.RunAsync("channels", _bench.File("run.csv", Log()), "--car", _bench.File("car.toml", Gps)));
        string plain = string.Join(' ', _bench.Out.Split((char[])[' ', '\n'], StringSplitOptions.RemoveEmptyEntries));
        Assert.Contains("latitude gps.nmea deg 10 10 10 1: 10 s latitude", plain, StringComparison.Ordinal);
        Assert.Contains("latitude: in the side file 'gps.nmea', as the car file says", plain, StringComparison.Ordinal);
        Assert.Contains("(NMEA 0183: 202 lines, 201 with a fix, 0 without one, 0 of other kinds, 0 empty, 1 damaged; 0 out of order)", plain, StringComparison.Ordinal);
        Assert.Contains("gps.nmea:202: a sentence begins with '$'", plain, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_file_of_positions_that_is_not_there_is_a_car_file_that_cannot_be_used()
    {
        Assert.Equal(2, await _bench.RunAsync("replay", _bench.File("run.csv", Log()), "--car", _bench.File("car.toml", Gps)));
        Assert.Equal("oilwatch: car.toml: [channels.latitude] file = \"gps.nmea\": there is no such file; check the name\n", _bench.Error);
    }

    [Fact]
    public async Task Positions_come_from_one_file()
    {
        _bench.File("a.nmea", Sentences(0));
        _bench.File("b.nmea", Sentences(0));
        string car = _bench.File("car.toml", "[channels.latitude]\nfile = \"a.nmea\"\n[channels.longitude]\nfile = \"b.nmea\"\n");
        Assert.Equal(2, await _bench.RunAsync("replay", _bench.File("run.csv", Log()), "--car", car));
        Assert.Equal("oilwatch: car.toml: [channels.longitude] file = \"b.nmea\" and [channels.latitude] file = \"a.nmea\": sentences come from one file; name the same for both\n", _bench.Error);
    }

    [Fact]
    public async Task A_file_without_a_sentence_is_an_input_that_cannot_be_read()
    {
        _bench.File("gps.nmea", "nothing\n");
        Assert.Equal(3, await _bench.RunAsync("replay", _bench.File("run.csv", Log()), "--car", _bench.File("car.toml", Gps), "--out", "~/out"));
        Assert.StartsWith("oilwatch: gps.nmea: no NMEA 0183 sentence with a position in it (line 1: a sentence begins with '$')", _bench.Error, StringComparison.Ordinal);
        Assert.Empty(_bench.FilesIn("out"));
    }

    /// <summary>Half a minute at 6000 rpm, 20 times a second.</summary>
    private static string Log()
    {
        var text = new StringBuilder("time [s],Engine Speed [rpm]\n");
        for (int i = 0; i <= 600; i++) text.Append(CultureInfo.InvariantCulture, $"{i / 20.0:F2},{6000 + (i % 3) - 1}\n");
        return text.ToString();
    }

    /// <summary>Twenty seconds of one place, ten times a second.</summary>
    private static string Sentences(int hour)
    {
        var text = new StringBuilder();
        for (int i = 0; i <= 200; i++)
        {
            string body = string.Create(CultureInfo.InvariantCulture, $"GPGGA,{hour:00}00{i / 10.0:00.0},1000.000,N,02000.000,E,1,09,0.9,12.0,M,40.0,M,,");
            text.Append(CultureInfo.InvariantCulture, $"${body}*{Encoding.ASCII.GetBytes(body).Aggregate(0, (sum, value) => sum ^ value):X2}\r\n");
        }
        return text.ToString();
    }
}
