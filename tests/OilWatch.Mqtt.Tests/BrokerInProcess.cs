using System.Collections.Immutable;
using System.Net;
using System.Net.Sockets;
using System.Security.Cryptography.X509Certificates;
using MQTTnet;
using MQTTnet.Formatter;
using MQTTnet.Protocol;
using MQTTnet.Server;

namespace OilWatch.Mqtt.Tests;

/// <summary>A broker that the test stops and starts again at the same port, and somebody who subscribes to everything.</summary>
internal sealed class BrokerInProcess : IAsyncDisposable
{
    private readonly List<Received> _received = [];
    private MqttServer? _server;
    private IMqttClient? _subscriber;
    private volatile bool _isReady;

    public BrokerInProcess(int? port = null) => Port = port ?? FreePort();

    public int Port { get; }

    /// <summary>Asked before a connection is let in; null lets all in.</summary>
    public Action<ValidatingConnectionEventArgs>? Door { get; set; }

    public X509Certificate2? Certificate { get; set; }

    public ImmutableArray<Received> All
    {
        get { lock (_received) return [.. _received]; }
    }

    public ImmutableArray<Received> Of(string leaf) => [.. All.Where(message => message.Topic.EndsWith("/" + leaf, StringComparison.Ordinal))];

    public static async Task<BrokerInProcess> StartedAsync(string filter = "oilwatch/#")
    {
        var broker = new BrokerInProcess();
        await broker.StartAsync(filter);
        return broker;
    }

    public async Task StartAsync(string? filter = "oilwatch/#")
    {
        MqttServerOptionsBuilder options = new MqttServerFactory().CreateServerOptionsBuilder();
        if (Certificate is null) options.WithDefaultEndpoint().WithDefaultEndpointPort(Port).WithDefaultEndpointBoundIPAddress(IPAddress.Loopback).WithDefaultEndpointReuseAddress();
        else options.WithoutDefaultEndpoint().WithEncryptedEndpoint().WithEncryptedEndpointPort(Port).WithEncryptedEndpointBoundIPAddress(IPAddress.Loopback).WithEncryptionCertificate(Certificate);
        _server = new MqttServerFactory().CreateMqttServer(options.Build());
        _server.ValidatingConnectionAsync += asked =>
        {
            if (asked.ClientId.StartsWith("test-", StringComparison.Ordinal)) return Task.CompletedTask;
            if (_isReady) Door?.Invoke(asked);
            else asked.ReasonCode = MqttConnectReasonCode.ServerUnavailable;       // not before somebody listens
            return Task.CompletedTask;
        };
        if (Certificate is not null)
        {
            // Nobody needs a second connection over TLS to look: the broker is asked as the message comes.
            _server.InterceptingPublishAsync += published =>
            {
                lock (_received) _received.Add(Received.Of(published.ApplicationMessage));
                return Task.CompletedTask;
            };
        }
        _isReady = Certificate is not null;
        await _server.StartAsync();
        if (filter is not null && Certificate is null) _subscriber = await SubscribeAsync(filter, message => { lock (_received) _received.Add(message); });
        _isReady = true;
    }

    /// <summary>Subscribes with a connection of its own.</summary>
    public async Task<IMqttClient> SubscribeAsync(string filter, Action<Received> heard)
    {
        IMqttClient client = new MqttClientFactory().CreateMqttClient();
        client.ApplicationMessageReceivedAsync += got =>
        {
            heard(Received.Of(got.ApplicationMessage));
            return Task.CompletedTask;
        };
        await client.ConnectAsync(new MqttClientOptionsBuilder()
            .WithTcpServer("127.0.0.1", Port).WithProtocolVersion(MqttProtocolVersion.V500).WithClientId("test-" + Guid.NewGuid().ToString("N")).Build());
        await client.SubscribeAsync(filter, MqttQualityOfServiceLevel.AtLeastOnce);
        return client;
    }

    /// <summary>What a subscriber who comes now is shown, by the last level of the topic.</summary>
    public async Task<IDictionary<string, Received>> RetainedAsync()
    {
        IList<MqttApplicationMessage> kept = await _server!.GetRetainedMessagesAsync();
        return kept.ToDictionary(message => message.Topic.Split('/')[^1], Received.Of, StringComparer.Ordinal);
    }

    public async Task StopAsync()
    {
        if (_server is null) return;
        _subscriber?.Dispose();
        _subscriber = null;
        await _server.StopAsync();
        _server.Dispose();
        _server = null;
    }

    public async ValueTask DisposeAsync() => await StopAsync();

    public static int FreePort()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }
}
