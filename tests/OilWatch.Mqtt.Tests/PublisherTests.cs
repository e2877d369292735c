using System.Collections.Concurrent;
using System.Globalization;
using System.Net;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using System.Text;
using System.Text.Json;
using Microsoft.Extensions.Time.Testing;
using MQTTnet.Protocol;
using OilWatch.Alerts;
using OilWatch.Live;
using OilWatch.Live.Life;
using OilWatch.Live.Listening;
using OilWatch.Live.Tests;
using OilWatch.Mqtt.Spooling;
using OilWatch.Results;

namespace OilWatch.Mqtt.Tests;

/// <summary>The publisher against a broker in the same process.</summary>
public sealed class PublisherTests
{
    private static readonly CanRun Run = CanRun.Of("wet-left", 16);

    private readonly FakeTimeProvider _time = new(new DateTimeOffset(2026, 5, 1, 12, 0, 0, TimeSpan.Zero));
    private readonly ConcurrentQueue<string> _said = new();

    [Fact]
    public async Task The_alerts_that_arrive_are_the_lines_of_the_file_and_the_laps_are_its_rows()
    {
        await using BrokerInProcess broker = await BrokerInProcess.StartedAsync();
        SessionResult result;
        var steps = new List<string>();
        await using (MqttPublisher publisher = Publisher(broker.Port, store: new StoreInMemory()))
        {
            var desk = new LiveDesk(AlertLifeOptions.Default, publisher);
            publisher.Follow(desk);
            LiveRequest request = desk.Into(new LiveRequest { Readers = Run.Readers, Changed = change => steps.Add(LineOf(change)) });
            result = await LiveWatch.PlayAsync(Run.Source(), double.PositiveInfinity, request);
            desk.Over(result);
        }
        await Eventually(() => broker.Of("status").Any(message => message.Says("offline")));
        Assert.NotEmpty(steps);
        Assert.Equal(steps, broker.Of("alerts").Select(message => message.Payload), StringComparer.Ordinal);
        Assert.Equal(
            CanRun.Alerts(result).Split('\n', StringSplitOptions.RemoveEmptyEntries).Order(StringComparer.Ordinal),
            broker.Of("alerts").Select(message => message.Payload).Where(line => line.StartsWith("{\"phase\":\"ended\"", StringComparison.Ordinal)).Select(WithoutPhase).Order(StringComparer.Ordinal),
            StringComparer.Ordinal);
        Assert.Equal(result.Laps.Length - 1, broker.Of("laps").Length);
        Assert.Equal(Column(result, "end_s").Take(result.Laps.Length - 1), broker.Of("laps").Select(lap => Field(lap.Payload, "end_s").GetRawText()), StringComparer.Ordinal);
        Received[] kept = [.. broker.All.Where(message => message.Sequence is not null)];
        Assert.Equal(Enumerable.Range(1, kept.Length), Sequences(kept));
        Assert.All(kept, message => Assert.Equal((1, false, "application/json", 86_400u), (message.Qos, message.Retain, message.ContentType, message.ExpiryS)));
        Assert.All(kept, message => Assert.Matches("^[0-9a-f]{16}$", message.Run));
        Assert.All(kept, message => Assert.Equal("2026-05-01T12:00:00.000Z", message.At));
    }

    [Fact]
    public async Task Broker_away_for_two_minutes_nothing_is_lost_the_order_is_kept_and_it_is_said_once_each_way()
    {
        await using BrokerInProcess broker = await BrokerInProcess.StartedAsync();
        await using MqttPublisher publisher = Publisher(broker.Port, store: new StoreInMemory());
        await Eventually(() => publisher.IsConnected);
        for (int id = 1; id <= 5; id++) publisher.OnChange(Make.Change(id));
        await Eventually(() => broker.Of("alerts").Length == 5);
        await broker.StopAsync();
        await Eventually(() => !publisher.IsConnected);
        for (int id = 6; id <= 80; id++)
        {
            publisher.OnChange(Make.Change(id));
            publisher.OnHealth(Make.Health(id));
            if (id % 20 == 0) publisher.OnLap(Make.Lap(id / 20));
        }
        await Eventually(() => publisher.Spooled == 79 && publisher.Waiting == 79);
        for (int second = 0; second < 120; second++)
        {
            _time.Advance(TimeSpan.FromSeconds(1));
            await Task.Yield();
        }
        Assert.False(publisher.IsConnected);
        await broker.StartAsync();
        await UntilConnected(publisher);
        await Eventually(() => publisher.Waiting == 0 && broker.All.Count(message => message.Sequence is not null) >= 84);
        Received[] kept = [.. broker.All.Where(message => message.Sequence is not null)];
        Assert.Equal(Enumerable.Range(1, 84), Sequences(kept));                // 80 alerts, 4 laps
        Assert.Equal(Enumerable.Range(1, 80), broker.Of("alerts").Select(message => Field(message.Payload, "id").GetInt32()));
        await Eventually(() => _said.Count == 4);
        string name = FormattableString.Invariant($"mqtt://127.0.0.1:{broker.Port}");
        Assert.Equal($"{name}: connected", _said.ElementAt(0));
        Assert.StartsWith($"{name}: broker away: ", _said.ElementAt(1), StringComparison.Ordinal);
        Assert.EndsWith("; alerts and laps are kept on disk meanwhile, trying on", _said.ElementAt(1), StringComparison.Ordinal);
        Assert.Matches($@"^{name}: broker back after 1[23]\d s, 79 messages spooled$", _said.ElementAt(2));
        Assert.Equal($"{name}: all sent (79 messages)", _said.ElementAt(3));
    }

    [Fact]
    public async Task Of_health_only_the_latest_is_sent_when_the_broker_is_back()
    {
        await using BrokerInProcess broker = await BrokerInProcess.StartedAsync();
        await using MqttPublisher publisher = Publisher(broker.Port);
        publisher.OnHealth(Make.Health(1));
        await Eventually(() => broker.Of("health").Length == 1);
        await broker.StopAsync();
        await Eventually(() => !publisher.IsConnected);
        for (int at = 2; at <= 501; at++) publisher.OnHealth(Make.Health(at));
        await broker.StartAsync();
        while (!publisher.IsConnected)
        {
            publisher.OnHealth(Make.Health(501));
            _time.Advance(TimeSpan.FromSeconds(1));
            await Task.Delay(10);
        }
        await Eventually(() => broker.Of("health").Length >= 2);
        Assert.Equal([1, 501], broker.Of("health").Select(message => Field(message.Payload, "at_s").GetInt32()).Distinct());
    }

    [Fact]
    public async Task Whoever_subscribes_late_is_shown_that_it_is_online_the_state_the_health_and_what_stands()
    {
        await using BrokerInProcess broker = await BrokerInProcess.StartedAsync();
        await using MqttPublisher publisher = Publisher(broker.Port);
        var desk = new LiveDesk(AlertLifeOptions.Default, publisher);
        publisher.Follow(desk);
        LiveRequest request = desk.Into(LiveRequest.Default);
        await Eventually(() => publisher.IsConnected);
        request.Changed!(Make.Change(1, severity: Severity.Warning));
        request.Changed!(Make.Change(2, severity: Severity.Advisory));
        request.Changed!(Make.Change(2, AlertPhase.Ended, Severity.Advisory));
        publisher.OnHealth(Make.Health(3, EngineState.Stop));
        await Eventually(() => broker.Of("alerts").Length == 3 && broker.Of("health").Length > 0 && broker.Of("state")[^1].Says("stop") && new[] { "\"state\":\"stop\"", "\"count\":2", "\"over\":true" }.All(part => broker.Of("standing")[^1].Payload.Contains(part, StringComparison.Ordinal)));
        var late = new ConcurrentQueue<Received>();
        using var subscriber = await broker.SubscribeAsync("oilwatch/Number-27/+", late.Enqueue);
        await Eventually(() => late.Count == 4);
        Dictionary<string, Received> shown = late.ToDictionary(message => message.Topic.Split('/')[^1], StringComparer.Ordinal);
        Assert.All(shown.Values, message => Assert.True(message.Retain));
        Assert.Equal("online", shown["status"].Payload);
        Assert.Equal("stop", shown["state"].Payload);
        Assert.Equal(
            "{\"at_s\":3,\"state\":\"stop\",\"oil_pressure_kpa\":412.5,\"expected_kpa\":420,\"min_ratio\":0.97,\"oil_temperature_c\":null,\"engine_speed_rpm\":6100,\"lateral_g\":null,\"crankcase_pressure_kpa\":null,\"vibration\":null,\"lap\":null,\"masked\":[\"lateral_g\"]}",
            shown["health"].Payload);
        JsonElement standing = JsonDocument.Parse(shown["standing"].Payload).RootElement;
        Assert.Equal("stop", standing.GetProperty("state").GetString());
        JsonElement[] alerts = [.. standing.GetProperty("alerts").EnumerateArray()];
        Assert.Equal([(1, "warning", false), (2, "advisory", true)], alerts.Select(alert => (alert.GetProperty("id").GetInt32(), alert.GetProperty("severity").GetString(), alert.GetProperty("over").GetBoolean())));
        // What is known of the engine goes stale by itself, should nobody be left to take it away.
        Assert.All([shown["state"], shown["health"], shown["standing"]], message => Assert.InRange(message.ExpiryS, 1u, 30u));
        Assert.Equal(0u, shown["status"].ExpiryS);
        desk.Alerts.AcknowledgeAll();
        _time.Advance(TimeSpan.FromSeconds(1));
        await Eventually(() => broker.Of("standing")[^1].Payload.Contains("\"count\":1", StringComparison.Ordinal));
    }

    [Fact]
    public async Task When_nothing_is_judged_any_more_the_state_is_unknown_and_the_health_is_taken_away()
    {
        await using BrokerInProcess broker = await BrokerInProcess.StartedAsync();
        await using MqttPublisher publisher = Publisher(broker.Port);
        publisher.OnHealth(Make.Health(1));
        await Eventually(() => broker.Of("state").Any(message => message.Says("clear")) && broker.Of("health").Length == 1);
        _time.Advance(TimeSpan.FromSeconds(6));
        await Eventually(() => broker.Of("state")[^1].Says("unknown") && broker.Of("health").Length == 2);
        Assert.Equal("", broker.Of("health")[^1].Payload);
        publisher.OnHealth(Make.Health(2));
        await Eventually(() => broker.Of("state")[^1].Says("clear") && broker.Of("health").Length == 3);
    }

    [Fact]
    public async Task The_end_of_the_watch_takes_away_what_was_true_while_somebody_watched()
    {
        await using BrokerInProcess broker = await BrokerInProcess.StartedAsync();
        await using (MqttPublisher publisher = Publisher(broker.Port))
        {
            publisher.Follow(new LiveDesk(AlertLifeOptions.Default, publisher));
            publisher.OnHealth(Make.Health(1));
            await Eventually(() => broker.Of("health").Length == 1 && broker.Of("standing").Length == 1);
        }
        await Eventually(() => broker.Of("status")[^1].Says("offline"));
        IDictionary<string, Received> kept = await broker.RetainedAsync();
        Assert.Equal(["status"], kept.Keys, StringComparer.Ordinal);
        Assert.Equal("offline", kept["status"].Payload);
    }

    [Fact]
    public async Task When_the_program_is_gone_without_a_word_the_broker_says_offline()
    {
        await using BrokerInProcess broker = await BrokerInProcess.StartedAsync();
        using var relay = new RelayThatIsCut(broker.Port);
        await using MqttPublisher publisher = Publisher(relay.Port);
        await Eventually(() => broker.Of("status").Any(message => message.Says("online")));
        relay.Cut();
        await Eventually(() => broker.Of("status")[^1].Says("offline"));
        Assert.Equal("offline", (await broker.RetainedAsync())["status"].Payload);
        await Eventually(() => !publisher.IsConnected);
        relay.Mend();
        await UntilConnected(publisher);
        await Eventually(() => broker.Of("status")[^1].Says("online"));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public async Task Wherever_the_cable_is_cut_everything_arrives_in_order_and_what_comes_twice_is_known_by_its_number(int seed)
    {
        var random = new Random(seed);
        await using BrokerInProcess broker = await BrokerInProcess.StartedAsync();
        using var relay = new RelayThatIsCut(broker.Port);
        await using MqttPublisher publisher = Publisher(relay.Port, store: new StoreInMemory());
        await Eventually(() => publisher.IsConnected);
        for (int id = 1; id <= 60; id++)
        {
            if (id % 10 == 5) relay.CutAfterBytes = random.Next(1500);
            publisher.OnChange(Make.Change(id));
            if (id % 10 != 0) continue;
            await Eventually(() => !publisher.IsConnected || publisher.Waiting == 0);
            relay.Mend();
            await UntilConnected(publisher);
        }
        await Eventually(() => publisher.Waiting == 0 && broker.Of("alerts").Any(message => string.Equals(message.Sequence, "60", StringComparison.Ordinal)));
        int[] arrived = Sequences(broker.Of("alerts"));
        Assert.Equal(arrived.Order(), arrived);
        Assert.Equal(Enumerable.Range(1, 60), arrived.Distinct());
        Assert.True(relay.Tries > 1);
    }

    [Fact]
    public async Task What_a_killed_program_left_is_sent_by_the_next_one_first()
    {
        var store = new StoreInMemory();
        await using (MqttPublisher before = Publisher(BrokerInProcess.FreePort(), store))
        {
            for (int id = 1; id <= 10; id++) before.OnChange(Make.Change(id));
            await Eventually(() => store.Bytes.Length > 0 && before.Waiting == 10);
        }
        Assert.EndsWith(": 10 messages were not sent; they are kept and go with the next watch that spools to the same folder", _said.Last(), StringComparison.Ordinal);
        await using BrokerInProcess broker = await BrokerInProcess.StartedAsync();
        await using MqttPublisher publisher = Publisher(broker.Port, new StoreInMemory(store.Bytes));
        publisher.OnChange(Make.Change(1));
        await Eventually(() => broker.Of("alerts").Length == 11);
        Assert.Equal([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 1], Sequences(broker.Of("alerts")));
        Assert.Equal(2, broker.Of("alerts").Select(message => message.Run).Distinct(StringComparer.Ordinal).Count());
    }

    [Fact]
    public async Task Nobody_who_calls_is_held_up_while_the_disk_hangs_and_memory_is_bounded()
    {
        using var hangs = new ManualResetEventSlim();
        var store = new StoreThatHangs(hangs);
        await using (MqttPublisher publisher = Publisher(BrokerInProcess.FreePort(), store))
        {
            try
            {
                publisher.OnChange(Make.Change(1));
                await Eventually(() => store.Hangs);                  // the disk hangs with the first in hand; from here on nothing leaves the queue
                for (int id = 2; id <= MqttPublisher.MostQueued + 101; id++) publisher.OnChange(Make.Change(id));
                Assert.InRange(publisher.Waiting, MqttPublisher.MostQueued, MqttPublisher.MostQueued + 1);
                Assert.InRange(publisher.LeftOut, 100, 101);
                Assert.Single(_said, said => said.StartsWith("mqtt: more is found than the disk takes", StringComparison.Ordinal));
            }
            finally
            {
                hangs.Set();                                          // or the publisher would wait for its disk for ever
            }
        }
    }

    [Fact]
    public async Task A_hostile_name_of_a_car_stays_one_level()
    {
        await using BrokerInProcess broker = await BrokerInProcess.StartedAsync();
        await using MqttPublisher publisher = new(Options(broker.Port) with { Car = "+/#" }, Say, time: _time);
        publisher.OnChange(Make.Change(1));
        await Eventually(() => broker.Of("alerts").Length == 1);
        Assert.Equal("oilwatch/___/alerts", broker.Of("alerts")[0].Topic);
    }

    [Fact]
    public async Task Hostile_text_in_an_alert_is_text_in_its_payload_and_one_that_is_too_long_loses_evidence_and_advice()
    {
        await using BrokerInProcess broker = await BrokerInProcess.StartedAsync();
        await using MqttPublisher publisher = new(Options(broker.Port) with { MaxPayloadBytes = 16 * 1024 }, Say, time: _time);
        AlertChange change = Make.Change(1, message: "+/# \0 \" </script> \uD800 ");
        publisher.OnChange(change);
        publisher.OnChange(Make.Change(2) with { Alert = change.Alert with { Evidence = [new string('"', 20_000)], Inspect = [new string('x', 20_000)], Message = new string('"', 9000) } });
        await Eventually(() => broker.Of("alerts").Length == 2);
        Assert.Equal("+/# \0 \" </script> \uFFFD ", Field(broker.Of("alerts")[0].Payload, "message").GetString());
        Assert.InRange(broker.Of("alerts")[1].Payload.Length, 500, 16 * 1024);
        Assert.Equal(0, Field(broker.Of("alerts")[1].Payload, "evidence").GetArrayLength());
        Assert.Equal(120.5, Field(broker.Of("alerts")[1].Payload, "min_kpa").GetDouble());
    }

    [Fact]
    public async Task User_and_password_open_the_door_and_a_wrong_one_is_said_without_being_shown()
    {
        await using var broker = new BrokerInProcess
        {
            Door = asked => asked.ReasonCode = asked is { UserName: "crew", Password: "hunter2" } ? MqttConnectReasonCode.Success : MqttConnectReasonCode.BadUserNameOrPassword,
        };
        await broker.StartAsync();
        await using (MqttPublisher wrong = new(Options(broker.Port) with { User = "crew", Password = "hunter3" }, Say, time: _time)) await Eventually(() => !_said.IsEmpty);
        Assert.Equal(FormattableString.Invariant($"mqtt://127.0.0.1:{broker.Port}: cannot connect: user name or password are not accepted; alerts and laps are kept in memory meanwhile, trying on"), _said.First());
        await using MqttPublisher right = new(Options(broker.Port) with { User = "crew", Password = "hunter2" }, Say, time: _time);
        await Eventually(() => right.IsConnected);
        Assert.DoesNotContain(_said, said => said.Contains("hunter", StringComparison.Ordinal));
    }

    [Fact]
    public async Task Over_TLS_a_certificate_is_trusted_through_the_authority_that_is_named_and_no_other()
    {
        using X509Certificate2 authority = Authority("The pit's own");
        using X509Certificate2 other = Authority("Another");
        await using var broker = new BrokerInProcess { Certificate = Issued(authority, "localhost") };
        await broker.StartAsync();
        MqttOptions options = Options(broker.Port) with { Host = "localhost", UseTls = true, TrustedRoots = [authority] };
        await using (MqttPublisher publisher = new(options, Say, time: _time))
        {
            publisher.OnChange(Make.Change(1));
            await Eventually(() => broker.Of("alerts").Length == 1);
        }
        foreach (MqttOptions refused in new[] { options with { TrustedRoots = [other] }, options with { TrustedRoots = null }, options with { Host = "127.0.0.1" } })
        {
            _said.Clear();
            await using MqttPublisher publisher = new(refused, Say, time: _time);
            await Eventually(() => !_said.IsEmpty);
            Assert.Contains("cannot connect: TLS failed: ", _said.First(), StringComparison.Ordinal);
            Assert.False(publisher.IsConnected);
        }
    }

    [Fact]
    public async Task Two_with_one_client_id_say_so()
    {
        await using BrokerInProcess broker = await BrokerInProcess.StartedAsync();
        await using MqttPublisher first = Publisher(broker.Port);
        await Eventually(() => first.IsConnected);
        await using MqttPublisher second = Publisher(broker.Port);
        await Eventually(() => _said.Any(said => said.Contains("another client has connected as 'oilwatch-Number-27'; give each a client id of its own", StringComparison.Ordinal)));
    }

    [Fact]
    public async Task It_is_tried_again_after_longer_and_longer_times_by_chance_up_to_ten_seconds()
    {
        var pace = new Linking.RetryPace(() => 0);
        Assert.Equal([0.5, 1, 2, 4, 8, 10, 10], Enumerable.Range(0, 7).Select(_ => pace.Next().TotalSeconds));
        var shorter = new Linking.RetryPace(() => 1);
        Assert.Equal([0.25, 0.5, 1, 2, 4, 5, 5], Enumerable.Range(0, 7).Select(_ => shorter.Next().TotalSeconds));
        using var relay = new RelayThatIsCut(1);
        relay.Cut();
        await using MqttPublisher publisher = Publisher(relay.Port);
        await Eventually(() => !_said.IsEmpty);
        Assert.Equal(1, relay.Tries);
        _time.Advance(TimeSpan.FromSeconds(0.2));
        await Task.Delay(50);
        Assert.Equal(1, relay.Tries);
        _time.Advance(TimeSpan.FromSeconds(0.4));
        await Eventually(() => relay.Tries == 2);
    }

    private static MqttOptions Options(int port) => new() { Host = "127.0.0.1", Port = port, Car = "Number 27", Farewell = TimeSpan.FromSeconds(20) };

    private MqttPublisher Publisher(int port, ISpoolStore? store = null) => new(Options(port), Say, store, _time, open: null, chance: () => 0);

    private void Say(LiveNotice notice) => _said.Enqueue(notice.Text);

    private async Task UntilConnected(MqttPublisher publisher)
    {
        for (int i = 0; i < 400 && !publisher.IsConnected; i++)
        {
            _time.Advance(TimeSpan.FromSeconds(1));
            await Task.Delay(25);
        }
        Assert.True(publisher.IsConnected, $"Not connected; said were: {string.Join(" | ", _said)}");
    }

    private async Task Eventually(Func<bool> holds)
    {
        for (int i = 0; i < 3000 && !holds(); i++) await Task.Delay(10);
        Assert.True(holds(), $"It did not come in 30 s; said were: {string.Join(" | ", _said)}");
    }

    private static int[] Sequences(IEnumerable<Received> messages) => [.. messages.Select(message => int.Parse(message.Sequence!, CultureInfo.InvariantCulture))];

    private static JsonElement Field(string json, string name) => JsonDocument.Parse(json).RootElement.GetProperty(name);

    private static string LineOf(AlertChange change)
    {
        using var line = new MemoryStream();
        ResultFiles.WriteAlertChangeJsonLine(change, line);
        return Encoding.UTF8.GetString(line.ToArray()).TrimEnd('\n');
    }

    private static string WithoutPhase(string line) => "{" + line[line.IndexOf("\"kind\"", StringComparison.Ordinal)..];

    private static string[] Column(SessionResult result, string name)
    {
        using var file = new MemoryStream();
        ResultFiles.WriteLapsCsv(result, file);
        string[] rows = Encoding.UTF8.GetString(file.ToArray()).Split("\r\n", StringSplitOptions.RemoveEmptyEntries);
        int column = Array.IndexOf(rows[0].Split(','), name);
        return [.. rows[1..].Select(row => row.Split(',')[column])];
    }

    private static X509Certificate2 Authority(string name)
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var request = new CertificateRequest($"CN={name}", key, HashAlgorithmName.SHA256);
        request.CertificateExtensions.Add(new X509BasicConstraintsExtension(certificateAuthority: true, hasPathLengthConstraint: false, 0, critical: true));
        return request.CreateSelfSigned(DateTimeOffset.UtcNow.AddDays(-1), DateTimeOffset.UtcNow.AddDays(30));
    }

    private static X509Certificate2 Issued(X509Certificate2 authority, string host)
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var request = new CertificateRequest($"CN={host}", key, HashAlgorithmName.SHA256);
        var names = new SubjectAlternativeNameBuilder();
        names.AddDnsName(host);
        request.CertificateExtensions.Add(names.Build());
        using X509Certificate2 issued = request.Create(authority, DateTimeOffset.UtcNow.AddHours(-12), DateTimeOffset.UtcNow.AddDays(20), [1, 2, 3, 4, 5, 6, 7, 8]);
        using X509Certificate2 whole = issued.CopyWithPrivateKey(key);
        return X509CertificateLoader.LoadPkcs12(whole.Export(X509ContentType.Pkcs12), null);
    }

    /// <summary>A disk that takes nothing until the test lets it.</summary>
    private sealed class StoreThatHangs(ManualResetEventSlim until) : ISpoolStore
    {
        private readonly StoreInMemory _store = new();

        public string Name => "spool";

        public Stream Open() => _store.Open();

        public Stream Begin() => _store.Begin();

        public Stream Replace(Stream old, Stream fresh) => _store.Replace(old, fresh);

        public bool Hangs { get; private set; }

        public void Flush(Stream file)
        {
            Hangs = true;
            until.Wait();
        }
    }
}
