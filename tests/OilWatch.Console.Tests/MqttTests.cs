using System.Diagnostics;
using System.Globalization;
using System.Text;
using MQTTnet.Protocol;
using OilWatch.Mqtt.Spooling;
using OilWatch.Mqtt.Tests;
using OilWatch.Tests.Architecture;

namespace OilWatch.Console.Tests;

/// <summary><c>watch --mqtt</c>.</summary>
public sealed class MqttTests : IDisposable
{
    private readonly Bench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Fact]
    public async Task A_watch_tells_the_broker_the_lines_of_alerts_jsonl()
    {
        await using BrokerInProcess broker = await BrokerInProcess.StartedAsync("pit/#");
        _bench.Parts = Wiring.Parts;
        int code = await _bench.RunAsync("watch", "play:" + RepositoryFolder.PathOf("replay-data", "before-wet-sump.csv"), "--pace", "max", "--out", "~/run",
            "--mqtt", FormattableString.Invariant($"mqtt://127.0.0.1:{broker.Port}/pit"));
        Assert.Equal(0, code);
        string[] lines = _bench.Read("run/alerts.jsonl").Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.NotEmpty(lines);
        string[] heard = [.. broker.Of("alerts").Select(message => message.Payload).Where(line => line.StartsWith("{\"phase\":\"ended\"", StringComparison.Ordinal))];
        Assert.Equal(lines.Order(StringComparer.Ordinal), heard.Select(line => "{" + line[line.IndexOf("\"kind\"", StringComparison.Ordinal)..]).Order(StringComparer.Ordinal), StringComparer.Ordinal);
        Assert.NotEmpty(broker.Of("laps"));
        Assert.Equal(0, new FileInfo(_bench.PathOf("run/" + SpoolFolder.FileName)).Length);
        Assert.Contains(": connected", _bench.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Without_a_broker_the_watch_goes_on_the_results_are_written_and_the_alerts_wait()
    {
        _bench.Parts = Wiring.Parts;
        int code = await _bench.RunAsync("watch", "play:" + RepositoryFolder.PathOf("replay-data", "before-wet-sump.csv"), "--pace", "max", "--out", "~/run",
            "--mqtt", FormattableString.Invariant($"mqtt://127.0.0.1:{BrokerInProcess.FreePort()}"), "--mqtt-spool", "~/spool");
        Assert.Equal(0, code);
        Assert.NotEmpty(_bench.Read("run/alerts.jsonl"));
        Assert.Contains(": cannot connect: ", _bench.Error, StringComparison.Ordinal);
        Assert.Matches(@"\d+ messages were not sent; they are kept and go with the next watch that spools to the same folder", _bench.Error);
        Assert.True(new FileInfo(_bench.PathOf("spool/" + SpoolFolder.FileName)).Length > 1000);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task User_and_password_come_from_a_file_or_the_environment_and_are_shown_nowhere(bool file)
    {
        await using var broker = new BrokerInProcess
        {
            Door = asked => asked.ReasonCode = asked is { UserName: "crew", Password: "hunter2" } ? MqttConnectReasonCode.Success : MqttConnectReasonCode.NotAuthorized,
        };
        await broker.StartAsync();
        _bench.Parts = Wiring.Parts;
        string[] how = file ? ["--mqtt-user", "crew", "--mqtt-password-file", _bench.File("password", "hunter2\r\nsecond line\n")] : [];
        if (!file) (_bench.Variables["OILWATCH_MQTT_USER"], _bench.Variables["OILWATCH_MQTT_PASSWORD"]) = ("crew", "hunter2");
        Assert.Equal(0, await _bench.RunAsync(
        [
            "watch", "play:" + RepositoryFolder.PathOf("replay-data", "before-wet-sump.csv"), "--pace", "max", "--mqtt", FormattableString.Invariant($"mqtt://127.0.0.1:{broker.Port}"), .. how,
        ]));
        Assert.NotEmpty(broker.Of("alerts"));
        Assert.DoesNotContain("hunter2", _bench.Error + _bench.Out, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_password_without_a_user_and_an_empty_password_file_are_refused()
    {
        _bench.Variables["OILWATCH_MQTT_PASSWORD"] = "hunter2";
        Assert.Equal(2, await _bench.RunAsync("watch", "-", "--mqtt", "mqtt://pit"));
        Assert.Equal(2, await _bench.RunAsync("watch", "-", "--mqtt", "mqtt://pit", "--mqtt-password-file", _bench.File("empty", "\n")));
        Assert.Equal(2, await _bench.RunAsync("watch", "-", "--mqtt", "mqtts://pit", "--mqtt-ca", _bench.File("no.pem", "nothing")));
        Assert.Equal(2, await _bench.RunAsync("watch", "-", "--mqtt", "mqtt://crew@pit", "--mqtt-client-id", new string('x', 200)));
        Assert.Equal(
            "oilwatch: a password for the broker needs a user with it: --mqtt-user NAME, OILWATCH_MQTT_USER, or mqtt://NAME@HOST\n"
            + "oilwatch: --mqtt-password-file ~/empty: its first line is empty; write the password there\n"
            + "oilwatch: --mqtt-ca ~/no.pem: there is no certificate in it; a file with certificates in PEM form is needed\n"
            + "oilwatch: --mqtt-client-id: 1 to 128 characters are allowed, no control characters\n",
            _bench.Error);
    }

    [Fact]
    public async Task Killed_while_the_broker_is_away_nothing_that_was_raised_is_lost_and_killed_while_it_is_there_the_broker_says_offline()
    {
        byte[] log = await File.ReadAllBytesAsync(RepositoryFolder.PathOf("replay-data", "before-wet-sump.csv"));
        int port = BrokerInProcess.FreePort();
        string spool = _bench.PathOf("spool");
        var said = new StringBuilder();
        using (Process program = Start(port, spool, said))
        {
            await program.StandardInput.BaseStream.WriteAsync(log);
            await program.StandardInput.BaseStream.FlushAsync();
            string file = Path.Combine(spool, SpoolFolder.FileName);
            await Eventually(() => File.Exists(file) && new FileInfo(file).Length > 5000);
            // Everything has been judged once nothing is added any more; the program now waits for more of its input.
            for (long before = -1; before != Said(said) + new FileInfo(file).Length; await Task.Delay(2000)) before = Said(said) + new FileInfo(file).Length;
            program.Kill();
            await program.WaitForExitAsync();
        }
        int raised = said.ToString().Split('\n').Count(line => line.StartsWith("{\"phase\"", StringComparison.Ordinal));
        Assert.True(raised > 2);
        await using BrokerInProcess broker = new(port);
        await broker.StartAsync();
        using (Process program = Start(port, spool, said))
        {
            await Eventually(() => broker.Of("alerts").Length + broker.Of("laps").Length >= raised && broker.Of("status").Any(message => message.Says("online")));
            int[] sequences = [.. broker.All.Where(message => message.Sequence is not null).Select(message => int.Parse(message.Sequence!, CultureInfo.InvariantCulture))];
            Assert.Equal(Enumerable.Range(1, sequences.Length), sequences);
            program.Kill();
            await program.WaitForExitAsync();
        }
        await Eventually(() => broker.Of("status")[^1].Says("offline"));
    }

    private static long Said(StringBuilder said)
    {
        lock (said) return said.Length;
    }

    private static Process Start(int port, string spool, StringBuilder said)
    {
        Process program = Process.Start(new ProcessStartInfo("dotnet",
            [typeof(CommandLine).Assembly.Location, "watch", "-", "--json", "--mqtt", FormattableString.Invariant($"mqtt://127.0.0.1:{port}"), "--mqtt-spool", spool])
        {
            UseShellExecute = false,
            RedirectStandardInput = true,
            RedirectStandardError = true,
            RedirectStandardOutput = true,
        })!;
        program.OutputDataReceived += (_, line) =>
        {
            lock (said) said.Append(line.Data).Append('\n');
        };
        program.BeginOutputReadLine();
        program.BeginErrorReadLine();
        return program;
    }

    private static async Task Eventually(Func<bool> holds)
    {
        for (int i = 0; i < 3000 && !holds(); i++) await Task.Delay(10);
        Assert.True(holds());
    }
}
