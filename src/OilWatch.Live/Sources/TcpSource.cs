using System.Globalization;
using System.Net.Sockets;
using OilWatch.Alerts;

namespace OilWatch.Live.Sources;

/// <summary>Lines over TCP, this program being the client. Connects again whenever the connection is lost.</summary>
/// <remarks>
/// A connection whose other end is gone without a word (cable, radio, power) is found by keep-alive probes and, where the probes are
/// answered for it, by silence: nothing for <see cref="TcpOptions.SilenceNotice"/> is said, nothing for <see cref="TcpOptions.LongestSilence"/> ends it.
/// </remarks>
public sealed class TcpSource : ILiveSource
{
    private readonly string _host;
    private readonly int _port;
    private readonly TcpOptions _options;
    private readonly TimeProvider _time;

    /// <summary>A source; nothing is connected yet.</summary>
    /// <param name="host">Name or address.</param>
    /// <param name="port">1 to 65535.</param>
    /// <param name="options">When to give up on a connection; the defaults when null.</param>
    /// <param name="time">Paces the tries; the system's clock when null.</param>
    public TcpSource(string host, int port, TcpOptions? options = null, TimeProvider? time = null)
    {
        ArgumentException.ThrowIfNullOrEmpty(host);
        ArgumentOutOfRangeException.ThrowIfLessThan(port, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(port, 65_535);
        _host = host;
        _port = port;
        _options = options ?? TcpOptions.Default;
        _time = time ?? TimeProvider.System;
        Name = string.Create(CultureInfo.InvariantCulture, $"tcp:{host}:{port}");
    }

    /// <inheritdoc/>
    public string Name { get; }

    /// <inheritdoc/>
    public void Run(ILiveInlet inlet, CancellationToken stop)
    {
        ArgumentNullException.ThrowIfNull(inlet);
        var backOff = new BackOff(_time);
        bool complained = false;
        while (!stop.IsCancellationRequested)
        {
            string why;
            try
            {
                using Socket socket = Connect(stop);
                inlet.Say(new LiveNotice(null, $"{Name}: connected"));
                complained = false;
                using CancellationTokenRegistration registration = stop.Register(static state => ((Socket)state!).Dispose(), socket);
                if (Receive(socket, inlet, backOff)) why = "the other end closed the connection";
                else why = string.Create(CultureInfo.InvariantCulture, $"nothing came for {_options.LongestSilence.TotalSeconds:0.#} s, so the connection is taken for lost");
                if (_options.EndWhenClosed && !stop.IsCancellationRequested) return;
            }
            catch (Exception error) when (error is SocketException or ObjectDisposedException or OperationCanceledException)
            {
                why = error.Message.TrimEnd('.');
            }
            if (stop.IsCancellationRequested) return;
            inlet.Break();
            if (!complained) inlet.Say(new LiveNotice(Severity.Advisory, $"{Name}: {why}; no data until it is connected again, trying on"));
            complained = true;
            if (!backOff.Wait(stop)) return;
        }
    }

    private Socket Connect(CancellationToken stop)
    {
        var socket = new Socket(SocketType.Stream, ProtocolType.Tcp);
        try
        {
            socket.SetSocketOption(SocketOptionLevel.Socket, SocketOptionName.KeepAlive, optionValue: true);
            socket.SetSocketOption(SocketOptionLevel.Tcp, SocketOptionName.TcpKeepAliveTime, 5);
            socket.SetSocketOption(SocketOptionLevel.Tcp, SocketOptionName.TcpKeepAliveInterval, 2);
            socket.SetSocketOption(SocketOptionLevel.Tcp, SocketOptionName.TcpKeepAliveRetryCount, 3);
            socket.ReceiveTimeout = Math.Max(1, (int)_options.SilenceNotice.TotalMilliseconds);
            using var limit = CancellationTokenSource.CreateLinkedTokenSource(stop);
            limit.CancelAfter(_options.ConnectTimeout);
            try
            {
                socket.ConnectAsync(_host, _port, limit.Token).AsTask().GetAwaiter().GetResult();
            }
            catch (OperationCanceledException) when (!stop.IsCancellationRequested)
            {
                throw new SocketException((int)SocketError.TimedOut);
            }
            return socket;
        }
        catch
        {
            socket.Dispose();
            throw;
        }
    }

    /// <summary>True when the other end closed; false when it went silent.</summary>
    private bool Receive(Socket socket, ILiveInlet inlet, BackOff backOff)
    {
        var buffer = new byte[Coalescing.BufferBytes];
        long lastCame = _time.GetTimestamp();
        bool silent = false;
        while (true)
        {
            int count = socket.Receive(buffer, 0, buffer.Length, SocketFlags.None, out SocketError error);
            if (error is SocketError.TimedOut or SocketError.WouldBlock)
            {
                if (!silent) inlet.Say(new LiveNotice(Severity.Advisory, string.Create(CultureInfo.InvariantCulture,
                    $"{Name}: nothing has come for {_options.SilenceNotice.TotalSeconds:0.#} s; the engine cannot be judged meanwhile")));
                silent = true;
                if (_time.GetElapsedTime(lastCame) >= _options.LongestSilence) return false;
                continue;
            }
            if (error != SocketError.Success) throw new SocketException((int)error);
            if (count == 0) return true;
            if (silent) inlet.Say(new LiveNotice(null, $"{Name}: data are coming again"));
            silent = false;
            backOff.Reset();
            lastCame = _time.GetTimestamp();
            inlet.Write(buffer.AsSpan(0, count));
            Coalescing.AfterReading(count);
        }
    }
}
