using System.Buffers;
using System.Buffers.Text;
using System.Collections.Concurrent;
using System.Diagnostics;
using System.Globalization;
using System.Net.Http.Headers;
using System.Net.Sockets;
using System.Text;
using System.Text.Json;
using MQTTnet.Server;

namespace OilWatch.Benchmarks;

/// <summary>From the byte that gives an alert away to the alert, through the program as it is used: 8,000 frames a second into standard input, at the pace of the clock.</summary>
/// <remarks>
/// One stamp for both ends: this process writes the frames and reads what comes out. An alert's <c>at_s</c> names the frame with which it was known; its time runs from when
/// that frame was written. What the analysis waits for before it takes a frame for whole is part of it.
/// </remarks>
internal static class LatencyBench
{
    public const string Usage = "latency PROGRAM [SECONDS] [FRAMES_A_SECOND]    (PROGRAM: oilwatch or oilwatch.dll)";

    private const double PeriodS = 2.5;              // one corner with a drop in it
    public const int EngineEveryMs = 10;
    public const int QuietMs = 20_000;              // the first moments are looked at before anything is judged

    public const string Database =
        """
        VERSION ""
        BU_: ECU
        BO_ 256 ENGINE: 8 ECU
         SG_ OilPressure : 0|16@1+ (0.1,0) [0|6553] "kPa" ECU
         SG_ EngineSpeed : 16|16@1+ (1,0) [0|16000] "rpm" ECU
         SG_ OilTemperature : 32|8@1+ (1,-40) [-40|215] "degC" ECU
         SG_ LateralG : 40|16@1- (0.001,0) [-30|30] "g" ECU
        """;

    public static async Task<int> RunAsync(string[] args)
    {
        if (args.Length == 0)
        {
            await Console.Error.WriteLineAsync(Usage);
            return 2;
        }
        ThreadPool.SetMinThreads(16, 16);                    // writer and readers here each hold one: a broker and a page that wait for a thread are not what is measured
        int seconds = args.Length > 1 ? int.Parse(args[1], CultureInfo.InvariantCulture) : 300;
        int framesAMs = (args.Length > 2 ? int.Parse(args[2], CultureInfo.InvariantCulture) : 8000) / 1000;
        string folder = Directory.CreateTempSubdirectory("oilwatch-latency-").FullName;
        await File.WriteAllTextAsync(Path.Combine(folder, "engine.dbc"), Database);
        int port = FreePort(), brokerPort = FreePort();
        Way console = new("console, a JSON line"), board = new("board, an event in a page"), mqtt = new("MQTT, at the broker");
        using MqttServer broker = await BrokerAsync(brokerPort, mqtt);
        var start = new ProcessStartInfo { RedirectStandardInput = true, RedirectStandardOutput = true, UseShellExecute = false };
        bool managed = args[0].EndsWith(".dll", StringComparison.Ordinal);
        start.FileName = managed ? "dotnet" : args[0];
        foreach (string arg in (string[])[.. managed ? [args[0]] : Array.Empty<string>(),
            "watch", "-", "--json", "--quiet", "--can-db", Path.Combine(folder, "engine.dbc"), "--board", port.ToString(CultureInfo.InvariantCulture),
            "--mqtt", FormattableString.Invariant($"mqtt://127.0.0.1:{brokerPort}")]) start.ArgumentList.Add(arg);
        using Process program = Process.Start(start)!;

        var written = new long[seconds * 1000];
        var known = new ConcurrentDictionary<int, double>();             // alert, log time at which it was known
        Task lines = Task.Run(() => ReadLines(program.StandardOutput, known, console));
        Task events = Task.Run(() => ReadEventsAsync(port, board));
        Write(program.StandardInput.BaseStream, written, framesAMs);
        program.StandardInput.Close();
        await lines;
        await events;
        await program.WaitForExitAsync();
        await broker.StopAsync();
        Directory.Delete(folder, recursive: true);

        Console.WriteLine(FormattableString.Invariant($"{seconds} s, {framesAMs * 1000} frames/s, {known.Count} alerts; ms from the byte:"));
        foreach (Way way in (Way[])[console, board, mqtt]) way.Report(known, written);
        return 0;
    }

    /// <summary>Writes each millisecond's frames when it has come.</summary>
    private static void Write(Stream to, long[] written, int framesAMs)
    {
        var clock = Stopwatch.StartNew();
        for (int ms = 0; ms < written.Length; ms++)
        {
            while (clock.ElapsedMilliseconds < ms) Thread.Sleep(ms - clock.ElapsedMilliseconds > 1 ? 1 : 0);
            byte[] text = Frames(ms, framesAMs);
            written[ms] = Stopwatch.GetTimestamp();
            to.Write(text);
            to.Flush();
        }
    }

    private static byte[] Frames(int ms, int framesAMs)
    {
        var text = new StringBuilder();
        for (int i = 0; i < framesAMs; i++)
        {
            text.Append(CultureInfo.InvariantCulture, $"({ms / 1000}.{(ms % 1000 * 1000) + (i * 1000 / framesAMs):D6}) can0 ");
            if (i == 0 && ms % EngineEveryMs == 0) text.Append(CultureInfo.InvariantCulture, $"100#{Engine(ms)}\n");
            else text.Append(CultureInfo.InvariantCulture, $"{0x200 + (i * 16) + (ms % 16):X3}#{ms:X8}00FF00FF\n");
        }
        return Encoding.ASCII.GetBytes(text.ToString());
    }

    /// <summary>Steady speed; once a period a second of load, and in it half a second without pressure. The eight bytes in hexadecimal digits.</summary>
    /// <returns>Where the line goes on.</returns>
    public static int EngineInto(Span<byte> line, int at, long ms)
    {
        double phase = ms < QuietMs ? 0 : ms / 1000.0 % PeriodS;
        bool loaded = phase is >= 1 and < 2, dry = phase is >= 1.5 and < 2;
        int pressure = dry ? 600 : 4200, wobble = (int)(ms / EngineEveryMs % 7), g = loaded ? 1200 : 0;
        foreach (int value in (ReadOnlySpan<int>)[pressure + wobble & 0xFF, pressure + wobble >> 8, 6000 + wobble & 0xFF, 6000 + wobble >> 8, 95 + 40, g & 0xFF, g >> 8, 0])
        {
            Utf8Formatter.TryFormat(value, line[at..], out int size, new StandardFormat('X', 2));
            at += size;
        }
        return at;
    }

    private static string Engine(int ms)
    {
        Span<byte> digits = stackalloc byte[16];
        return Encoding.ASCII.GetString(digits[..EngineInto(digits, 0, ms)]);
    }

    private static void ReadLines(StreamReader output, ConcurrentDictionary<int, double> known, Way way)
    {
        while (output.ReadLine() is { } line)
        {
            long now = Stopwatch.GetTimestamp();
            using JsonDocument step = JsonDocument.Parse(line);
            if (!step.RootElement.TryGetProperty("phase", out JsonElement phase) || !phase.ValueEquals("raised")) continue;
            int id = step.RootElement.GetProperty("id").GetInt32();
            known[id] = step.RootElement.GetProperty("at_s").GetDouble();
            way.Arrived(id, now);
        }
    }

    /// <summary>Looks on as a page does, and acknowledges at once, so that the next alert is a new one.</summary>
    private static async Task ReadEventsAsync(int port, Way way)
    {
        string origin = FormattableString.Invariant($"http://localhost:{port}");
        using var client = new HttpClient { BaseAddress = new Uri(origin), Timeout = Timeout.InfiniteTimeSpan };
        client.DefaultRequestHeaders.Add("Origin", origin);
        using var reader = new StreamReader(await OpenAsync(client));
        while (await reader.ReadLineAsync() is { } line)
        {
            long now = Stopwatch.GetTimestamp();
            if (!line.StartsWith("data: ", StringComparison.Ordinal)) continue;
            using JsonDocument news = JsonDocument.Parse(line.AsMemory(6));
            if (!news.RootElement.TryGetProperty("alerts", out JsonElement alerts)) continue;
            foreach (JsonElement card in alerts.GetProperty("cards").EnumerateArray())
            {
                way.Arrived(card.GetProperty("id").GetInt32(), now);
                if (card.GetProperty("acknowledged").GetBoolean()) continue;
                using var seen = new StringContent($"[\"{card.GetProperty("seen").GetString()}\"]");
                seen.Headers.ContentType = new MediaTypeHeaderValue("application/json");
                using HttpResponseMessage _ = await client.PostAsync(new Uri("acknowledge", UriKind.Relative), seen);
            }
        }
    }

    private static async Task<Stream> OpenAsync(HttpClient client)
    {
        while (true)
        {
            try
            {
                return await client.GetStreamAsync(new Uri("events", UriKind.Relative));
            }
            catch (HttpRequestException)
            {
                await Task.Delay(50);                        // it is still starting
            }
        }
    }

    /// <summary>A broker in this process: what it is given has arrived.</summary>
    private static async Task<MqttServer> BrokerAsync(int port, Way way)
    {
        var factory = new MqttServerFactory();
        MqttServer broker = factory.CreateMqttServer(factory.CreateServerOptionsBuilder()
            .WithDefaultEndpoint().WithDefaultEndpointPort(port).WithDefaultEndpointBoundIPAddress(System.Net.IPAddress.Loopback).Build());
        broker.InterceptingPublishAsync += published =>
        {
            long now = Stopwatch.GetTimestamp();
            if (!published.ApplicationMessage.Topic.EndsWith("/alerts", StringComparison.Ordinal)) return Task.CompletedTask;
            using JsonDocument step = JsonDocument.Parse(published.ApplicationMessage.Payload);
            if (step.RootElement.GetProperty("phase").ValueEquals("raised")) way.Arrived(step.RootElement.GetProperty("id").GetInt32(), now);
            return Task.CompletedTask;
        };
        await broker.StartAsync();
        return broker;
    }

    private static int FreePort()
    {
        using var free = new TcpListener(System.Net.IPAddress.Loopback, 0);
        free.Start();
        return ((System.Net.IPEndPoint)free.LocalEndpoint).Port;
    }

    /// <summary>A way by which alerts come out.</summary>
    private sealed class Way(string name)
    {
        private readonly ConcurrentDictionary<int, long> _arrived = new();

        public void Arrived(int id, long now) => _arrived.TryAdd(id, now);

        public void Report(ConcurrentDictionary<int, double> known, long[] written)
        {
            double[] ms =
            [
                .. known.Where(alert => _arrived.ContainsKey(alert.Key))
                    .Select(alert => Stopwatch.GetElapsedTime(written[Math.Min(written.Length - 1, (int)Math.Ceiling((alert.Value * 1000) - 1e-6))], _arrived[alert.Key]).TotalMilliseconds)
                    .Order(),
            ];
            if (ms.Length == 0) Console.WriteLine($"  {name}: nothing arrived");
            else Console.WriteLine(FormattableString.Invariant($"  {name,-28} {ms.Length,5} alerts   median {At(0.5),7:F2}   p99 {At(0.99),7:F2}   most {ms[^1],7:F2}"));

            double At(double share) => ms[Math.Clamp((int)Math.Ceiling(share * ms.Length) - 1, 0, ms.Length - 1)];
        }
    }
}
