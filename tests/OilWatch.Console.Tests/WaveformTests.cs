using System.Buffers.Binary;
using System.Globalization;
using System.Text;
using System.Text.Json;

namespace OilWatch.Console.Tests;

/// <summary>A raw vibration waveform named in the car file, through the whole program.</summary>
public sealed class WaveformTests : IDisposable
{
    private const string Car = "[engine]\ncylinders = 4\ncrank = \"flat-plane\"\n[channels.vibration]\nfile = \"block.wav\"\nscale = 20.0\nstart_s = 2.5\n";
    private readonly Bench _bench = new() { Parts = Wiring.Parts };

    public void Dispose() => _bench.Dispose();

    [Fact]
    public async Task It_is_read_beside_the_car_file_and_stands_in_the_summary()
    {
        File.WriteAllBytes(_bench.PathOf("block.wav"), Tone(seconds: 20, hz: 200, peakG: 5));
        Assert.Equal(0, await _bench.RunAsync("replay", _bench.File("run.csv", SpeedLog()), "--car", _bench.File("car.toml", Car), "--out", "~/out"));
        Assert.Equal("", _bench.Error);
        using JsonDocument summary = JsonDocument.Parse(_bench.Read("out/summary.json"));
        JsonElement vibration = summary.RootElement.GetProperty("vibration");
        Assert.Equal(("block.wav", "WAVE", 2.5, 22.5), (vibration.GetProperty("source").GetString(), vibration.GetProperty("format").GetString(), vibration.GetProperty("start_s").GetDouble(), Math.Round(vibration.GetProperty("end_s").GetDouble(), 3)));
        JsonElement axis = vibration.GetProperty("axes")[0];
        // 5 g peak at 200 Hz is 3.5355 g RMS and, divided by 2π·200 Hz, 27.59 mm/s; 200 Hz is order 2 at 6000 rpm.
        Assert.Equal(3.5355, axis.GetProperty("rms_g").GetDouble(), 0.01);
        Assert.Equal(27.59, axis.GetProperty("velocity_rms_mm_s").GetDouble(), 0.2);
        JsonElement second = axis.GetProperty("orders").EnumerateArray().Single(order => order.GetProperty("order").GetDouble() == 2);
        Assert.Equal("second order and firing order", second.GetProperty("name").GetString());
        Assert.Equal(3.5355, second.GetProperty("rms_g").GetDouble(), 0.05);
        Assert.True(axis.GetProperty("map").GetProperty("rms_g").GetArrayLength() > 0);
        Assert.Contains("Level over engine speed and frequency", _bench.Read("out/report.html"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_missing_one_is_a_car_file_that_cannot_be_used()
    {
        Assert.Equal(2, await _bench.RunAsync("replay", _bench.File("run.csv", SpeedLog()), "--car", _bench.File("car.toml", Car), "--out", "~/out"));
        Assert.Equal("oilwatch: car.toml: [channels.vibration] file = \"block.wav\": there is no such file; check the name\n", _bench.Error);
        Assert.Empty(_bench.FilesIn("out"));
    }

    [Fact]
    public async Task A_broken_one_is_an_input_that_cannot_be_read()
    {
        File.WriteAllText(_bench.PathOf("block.wav"), "no wave file at all");
        Assert.Equal(3, await _bench.RunAsync("replay", _bench.File("run.csv", SpeedLog()), "--car", _bench.File("car.toml", Car), "--out", "~/out"));
        Assert.Equal("oilwatch: block.wav: at byte 0: expected 'RIFF' or 'RF64', found 'no w'\n", _bench.Error);
        Assert.Empty(_bench.FilesIn("out"));
    }

    [Fact]
    public async Task One_that_is_cut_off_is_used_as_far_as_it_goes_and_that_is_said()
    {
        byte[] whole = Tone(seconds: 20, hz: 200, peakG: 5);
        File.WriteAllBytes(_bench.PathOf("block.wav"), whole[..(whole.Length / 2)]);
        Assert.Equal(0, await _bench.RunAsync("replay", _bench.File("run.csv", SpeedLog()), "--car", _bench.File("car.toml", Car), "--out", "~/out"));
        Assert.Equal("oilwatch: block.wav: at byte 64022: the file ends here, 64022 bytes of samples before the end that its 'data' chunk names; what came before is used\n", _bench.Error);
    }

    [Theory]
    [InlineData("../block.wav", "must stay beside or below the car file, without '..'")]
    [InlineData("/etc/block.wav", "must be relative to the car file")]
    public async Task A_path_that_leads_away_from_the_car_file_is_refused(string path, string why)
    {
        Assert.Equal(2, await _bench.RunAsync("replay", _bench.File("run.csv", SpeedLog()), "--car", _bench.File("car.toml", $"[channels.vibration]\nfile = \"{path}\"\n")));
        Assert.Equal($"oilwatch: car.toml:2:8: file '{path}' {why}\n", _bench.Error);
    }

    [Fact]
    public async Task With_several_logs_it_is_left_out_and_that_is_said()
    {
        File.WriteAllBytes(_bench.PathOf("block.wav"), Tone(seconds: 20, hz: 200, peakG: 5));
        Assert.Equal(0, await _bench.RunAsync("replay", _bench.File("a.csv", SpeedLog()), _bench.File("b.csv", SpeedLog()), "--car", _bench.File("car.toml", Car), "--out", "~/out"));
        Assert.Equal("oilwatch: block.wav: is not judged, because it belongs to one log and several are given; replay its log alone\n", _bench.Error);
        using JsonDocument summary = JsonDocument.Parse(_bench.Read("out/a/summary.json"));
        Assert.Equal(JsonValueKind.Null, summary.RootElement.GetProperty("vibration").ValueKind);
    }

    /// <summary>Half a minute at 6000 rpm, give or take one, 20 times a second.</summary>
    private static string SpeedLog()
    {
        var text = new StringBuilder("time [s],Engine Speed [rpm]\n");
        for (int i = 0; i <= 600; i++) text.Append(CultureInfo.InvariantCulture, $"{i / 20.0:F2},{6000 + (i % 3) - 1}\n");
        return text.ToString();
    }

    /// <summary>A 16-bit WAVE file of one tone at 3200 samples a second, full scale 20 g.</summary>
    internal static byte[] Tone(int seconds, double hz, double peakG)
    {
        const int RateHz = 3200;
        var bytes = new byte[44 + (2 * RateHz * seconds)];
        "RIFF"u8.CopyTo(bytes);
        BinaryPrimitives.WriteInt32LittleEndian(bytes.AsSpan(4), bytes.Length - 8);
        "WAVEfmt \x10\0\0\0\x01\0\x01\0"u8.CopyTo(bytes.AsSpan(8));
        BinaryPrimitives.WriteInt32LittleEndian(bytes.AsSpan(24), RateHz);
        BinaryPrimitives.WriteInt32LittleEndian(bytes.AsSpan(28), 2 * RateHz);
        "\x02\0\x10\0data"u8.CopyTo(bytes.AsSpan(32));
        BinaryPrimitives.WriteInt32LittleEndian(bytes.AsSpan(40), bytes.Length - 44);
        for (int i = 0; i < RateHz * seconds; i++)
            BinaryPrimitives.WriteInt16LittleEndian(bytes.AsSpan(44 + (2 * i)), (short)Math.Round(32_768 * peakG / 20 * Math.Sin(2 * Math.PI * hz * i / RateHz)));
        return bytes;
    }
}
