using System.IO.Ports;
using System.Text;
using OilWatch.Alerts;

namespace OilWatch.Live.Sources;

/// <summary>A serial CAN adapter (SLCAN). Opened listening only, so that it cannot disturb the car's bus, with the adapter's time stamps on.</summary>
/// <remarks>Unplugged, it is tried again until it is back. Not tested with hardware: tested over a pair of pseudo-terminals.</remarks>
public sealed class SerialSource : ILiveSource
{
    private readonly string _device;
    private readonly SerialOptions _options;
    private readonly TimeProvider _time;

    /// <summary>A source; nothing is opened yet.</summary>
    /// <param name="device">Such as <c>/dev/ttyACM0</c> or <c>COM3</c>.</param>
    /// <param name="options">Speeds and commands; the defaults when null.</param>
    /// <param name="time">Paces the tries; the system's clock when null.</param>
    public SerialSource(string device, SerialOptions? options = null, TimeProvider? time = null)
    {
        ArgumentException.ThrowIfNullOrEmpty(device);
        _device = device;
        _options = options ?? SerialOptions.Default;
        _time = time ?? TimeProvider.System;
    }

    /// <inheritdoc/>
    public string Name => "serial:" + _device;

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
                using var port = new SerialPort(_device, _options.Baud, Parity.None, 8, StopBits.One)
                {
                    ReadTimeout = (int)_options.SilenceNotice.TotalMilliseconds,
                    WriteTimeout = 1000,
                    ReadBufferSize = Coalescing.BufferBytes,
                };
                port.Open();
                using CancellationTokenRegistration registration = stop.Register(static state => Close((SerialPort)state!), port);
                Command(port, _options.OpenCommands);
                inlet.Say(new LiveNotice(null, $"{Name}: open"));
                complained = false;
                Receive(port, inlet, backOff, stop);
                Command(port, _options.CloseCommands);
                why = "the adapter stopped sending";
            }
            catch (Exception error) when (error is IOException or UnauthorizedAccessException or InvalidOperationException or OperationCanceledException or TimeoutException)
            {
                why = error.Message.TrimEnd('.');
            }
            if (stop.IsCancellationRequested) return;
            inlet.Break();
            if (!complained) inlet.Say(new LiveNotice(Severity.Advisory, $"{Name}: {why}; no data until the adapter is back, trying on"));
            complained = true;
            if (!backOff.Wait(stop)) return;
        }
    }

    private void Receive(SerialPort port, ILiveInlet inlet, BackOff backOff, CancellationToken stop)
    {
        var buffer = new byte[Coalescing.BufferBytes];
        bool silent = false;
        while (!stop.IsCancellationRequested)
        {
            int count;
            try
            {
                count = port.Read(buffer, 0, buffer.Length);
            }
            catch (TimeoutException silence)
            {
                if (!File.Exists(_device) && OperatingSystem.IsLinux()) throw new IOException("the adapter is gone", silence);
                if (!silent) inlet.Say(new LiveNotice(Severity.Advisory, FormattableString.Invariant(
                    $"{Name}: nothing has come for {_options.SilenceNotice.TotalSeconds:0.#} s; the engine cannot be judged meanwhile")));
                silent = true;
                continue;
            }
            if (count == 0) return;
            if (silent) inlet.Say(new LiveNotice(null, $"{Name}: data are coming again"));
            silent = false;
            backOff.Reset();
            inlet.Write(buffer.AsSpan(0, count));
            Coalescing.AfterReading(count);
        }
    }

    private static void Command(SerialPort port, string commands)
    {
        if (commands.Length == 0) return;
        byte[] bytes = Encoding.ASCII.GetBytes(commands);
        port.Write(bytes, 0, bytes.Length);
    }

    private static void Close(SerialPort port)
    {
        try
        {
            port.Close();
        }
        catch (IOException)
        {
            // It is gone already.
        }
    }
}
