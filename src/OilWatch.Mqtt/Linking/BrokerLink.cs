using System.Buffers;
using System.Net.Security;
using System.Net.Sockets;
using System.Security.Authentication;
using System.Security.Cryptography.X509Certificates;
using MQTTnet;
using MQTTnet.Exceptions;
using MQTTnet.Formatter;
using MQTTnet.Packets;
using MQTTnet.Protocol;

namespace OilWatch.Mqtt.Linking;

/// <summary>A connection over TCP or TLS, MQTT 5.</summary>
internal sealed class BrokerLink(MqttOptions options, string statusTopic) : IBrokerLink
{
    /// <summary>How long the word of a broker that hung up may follow the failure of what was being sent, seconds of the clock.</summary>
    private static readonly TimeSpan LastWord = TimeSpan.FromSeconds(1);

    private readonly IMqttClient _client = new MqttClientFactory().CreateMqttClient();
    private readonly TaskCompletionSource _gone = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private string? _lost;
    private bool _mayRetain = true;
    private uint _maxPacketBytes = uint.MaxValue;

    /// <inheritdoc/>
    public string? Lost => Volatile.Read(ref _lost);

    /// <inheritdoc/>
    public async Task ConnectAsync(Action lost, CancellationToken stop)
    {
        _client.DisconnectedAsync += gone =>
        {
            Volatile.Write(ref _lost, WhyGone(gone));
            _gone.TrySetResult();
            lost();
            return Task.CompletedTask;
        };
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(stop);
        limit.CancelAfter(options.Patience);
        try
        {
            MqttClientConnectResult answer = await _client.ConnectAsync(Options(), limit.Token).ConfigureAwait(false);
            if (answer.ResultCode != MqttClientConnectResultCode.Success) throw new BrokerException(WhyRefused(answer.ResultCode));
            _mayRetain = answer.RetainAvailable;
            _maxPacketBytes = answer.MaximumPacketSize is { } most and > 0 ? most : uint.MaxValue;
        }
        catch (OperationCanceledException) when (!stop.IsCancellationRequested)
        {
            throw new BrokerException(NoAnswer);
        }
        catch (Exception error) when (IsOfTheLink(error))
        {
            throw new BrokerException(Why(error), error);
        }
    }

    /// <inheritdoc/>
    public async Task PublishAsync(OutgoingMessage message, CancellationToken stop)
    {
        if (message.Payload.Length + message.Topic.Length + 512u > _maxPacketBytes)
            throw new BrokerException(FormattableString.Invariant($"takes no packets of more than {_maxPacketBytes} bytes, and a message has {message.Payload.Length}")) { IsForGood = true };
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(stop);
        limit.CancelAfter(options.Patience);
        try
        {
            MqttClientPublishResult answer = await _client.PublishAsync(Packet(message), limit.Token).ConfigureAwait(false);
            if (answer.IsSuccess || answer.ReasonCode == MqttClientPublishReasonCode.NoMatchingSubscribers) return;
            throw new BrokerException($"does not take messages for {message.Topic}: {WhyRefused(answer.ReasonCode)}")
            {
                IsForGood = answer.ReasonCode is MqttClientPublishReasonCode.TopicNameInvalid or MqttClientPublishReasonCode.PayloadFormatInvalid,
            };
        }
        catch (OperationCanceledException) when (!stop.IsCancellationRequested)
        {
            throw new BrokerException(Lost ?? NoAnswer);
        }
        catch (Exception error) when (IsOfTheLink(error))
        {
            throw new BrokerException(await LastWordAsync().ConfigureAwait(false) ?? Why(error), error);
        }
    }

    /// <summary>Why the connection went, as the broker said it: what was being sent meanwhile fails a moment before that is known.</summary>
    private async Task<string?> LastWordAsync()
    {
        await Task.WhenAny(_gone.Task, Task.Delay(LastWord)).ConfigureAwait(false);
        return Lost;
    }

    /// <inheritdoc/>
    public async Task DisconnectAsync()
    {
        try
        {
            await _client.DisconnectAsync(new MqttClientDisconnectOptions()).ConfigureAwait(false);
        }
        catch (Exception error) when (IsOfTheLink(error) || error is OperationCanceledException)
        {
            // It is gone already.
        }
    }

    /// <inheritdoc/>
    public ValueTask DisposeAsync()
    {
        _client.Dispose();
        return ValueTask.CompletedTask;
    }

    private string NoAnswer => FormattableString.Invariant($"no answer within {options.Patience.TotalSeconds:0.#} s");

    private MqttClientOptions Options()
    {
        MqttClientOptionsBuilder builder = new MqttClientOptionsBuilder()
            .WithTcpServer(options.Host, options.Port)
            .WithProtocolVersion(MqttProtocolVersion.V500)
            .WithClientId(options.ClientId ?? $"oilwatch-{TopicNames.Level(options.Car)}")
            .WithCleanStart()
            .WithSessionExpiryInterval(0)
            .WithKeepAlivePeriod(options.KeepAlive)
            .WithTimeout(options.Patience)
            .WithWillTopic(statusTopic)
            .WithWillPayload("offline")
            .WithWillContentType(TextPlain)
            .WithWillRetain()
            .WithWillQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce);
        if (options.User is { } user) builder.WithCredentials(user, options.Password);
        if (options.UseTls)
        {
            builder.WithTlsOptions(tls =>
            {
                tls.UseTls().WithTargetHost(options.Host).WithRevocationMode(X509RevocationMode.NoCheck);
                if (options.TrustedRoots is { } roots) tls.WithCertificateValidationHandler(seen => IsTrusted(seen, roots));
            });
        }
        return builder.Build();
    }

    public const string TextPlain = "text/plain";

    /// <summary>The name has to be right, and the chain has to lead to one of the authorities that were named.</summary>
    private static bool IsTrusted(MqttClientCertificateValidationEventArgs seen, X509Certificate2Collection roots)
    {
        if (seen.SslPolicyErrors is not (SslPolicyErrors.None or SslPolicyErrors.RemoteCertificateChainErrors)) return false;
        using X509Certificate2 certificate = X509CertificateLoader.LoadCertificate(seen.Certificate.GetRawCertData());
        using var chain = new X509Chain();
        chain.ChainPolicy.TrustMode = X509ChainTrustMode.CustomRootTrust;
        chain.ChainPolicy.CustomTrustStore.AddRange(roots);
        chain.ChainPolicy.RevocationMode = X509RevocationMode.NoCheck;
        if (seen.Chain is { } sent) chain.ChainPolicy.ExtraStore.AddRange(sent.ChainPolicy.ExtraStore);
        return chain.Build(certificate);
    }

    private MqttApplicationMessage Packet(OutgoingMessage message)
    {
        List<MqttUserProperty>? marks = null;
        if (message.Mark is { } mark)
        {
            marks = [new MqttUserProperty("run", Utf8(mark.Run))];
            if (mark.Sequence is { } sequence) marks.Add(new MqttUserProperty("sequence", Utf8(FormattableString.Invariant($"{sequence}"))));
            if (mark.At is { } at) marks.Add(new MqttUserProperty("at", Utf8(at)));
        }
        return new MqttApplicationMessage
        {
            Topic = message.Topic,
            Payload = new ReadOnlySequence<byte>(message.Payload),
            QualityOfServiceLevel = message.MustArrive ? MqttQualityOfServiceLevel.AtLeastOnce : MqttQualityOfServiceLevel.AtMostOnce,
            Retain = message.Retain && _mayRetain,
            MessageExpiryInterval = message.ExpiryS,
            ContentType = message.ContentType,
            PayloadFormatIndicator = message.ContentType is null ? MqttPayloadFormatIndicator.Unspecified : MqttPayloadFormatIndicator.CharacterData,
            UserProperties = marks,
        };
    }

    private static ReadOnlyMemory<byte> Utf8(string text) => System.Text.Encoding.UTF8.GetBytes(text);

    private static bool IsOfTheLink(Exception error) =>
        error is MqttCommunicationException or MqttClientNotConnectedException or MqttProtocolViolationException or MqttCommunicationTimedOutException
            or SocketException or IOException or AuthenticationException or ObjectDisposedException or InvalidOperationException;

    private string Why(Exception error)
    {
        for (Exception? cause = error; cause is not null; cause = cause.InnerException)
        {
            if (cause is AuthenticationException tls) return $"TLS failed: {OneLine(tls.Message)}; is its certificate's authority trusted, and is the name right?";
            if (cause is SocketException socket) return OneLine(socket.Message);
            if (cause is MqttCommunicationTimedOutException) return NoAnswer;
        }
        return OneLine(error.Message);
    }

    private string WhyGone(MqttClientDisconnectedEventArgs gone) => gone.Reason switch
    {
        MqttClientDisconnectReason.SessionTakenOver => $"another client has connected as '{options.ClientId ?? $"oilwatch-{TopicNames.Level(options.Car)}"}'; give each a client id of its own",
        MqttClientDisconnectReason.ServerShuttingDown => "the broker is shutting down",
        MqttClientDisconnectReason.KeepAliveTimeout => "the broker gave the connection up: nothing reached it in time",
        MqttClientDisconnectReason.NotAuthorized => "not authorised",
        _ => gone.Exception is { } error ? Why(error) : "the connection was closed",
    };

    private static string WhyRefused(MqttClientConnectResultCode code) => code switch
    {
        MqttClientConnectResultCode.BadUserNameOrPassword => "user name or password are not accepted",
        MqttClientConnectResultCode.NotAuthorized => "not authorised to connect; a user and password may be needed",
        MqttClientConnectResultCode.UnsupportedProtocolVersion => "does not speak MQTT 5",
        MqttClientConnectResultCode.ClientIdentifierNotValid => "does not accept the client id; give another one",
        _ => $"refused the connection ({code})",
    };

    private static string WhyRefused(MqttClientPublishReasonCode code) => code switch
    {
        MqttClientPublishReasonCode.NotAuthorized => "not authorised; allow this user to publish there",
        MqttClientPublishReasonCode.QuotaExceeded => "its quota is used up",
        _ => $"{code}",
    };

    private static string OneLine(string text) => text.ReplaceLineEndings(" ").TrimEnd('.', ' ');
}
