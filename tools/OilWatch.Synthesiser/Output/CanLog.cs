using System.Globalization;
using OilWatch.Synthesiser.Faults;
using OilWatch.Synthesiser.Maths;
using OilWatch.Synthesiser.Sensing;
using OilWatch.Synthesiser.Truths;

namespace OilWatch.Synthesiser.Output;

/// <summary>Writes a run as a CAN text log, as Linux <c>candump -L</c> does.</summary>
public static class CanLog
{
    /// <summary>Stamp of the log's first second: an invented Saturday afternoon.</summary>
    public const long FirstStampS = 1_939_208_400;

    /// <summary>Writes every frame in order of time; a frame carries the last reading of each of its channels.</summary>
    public static void Write(SynthesisedRun run, CanLayout layout, TextWriter to)
    {
        IReadOnlyList<CanMessage> messages = layout.Messages;
        List<TrueFault> clock = [.. run.Truth.Faults.Where(fault => fault.Channel is "log")];
        var random = new SeededRandom(run.Plan.Seed, "bus");
        double[] due = [.. messages.Select(message => message.PhaseS)];
        long[] sent = new long[messages.Count];
        SampledChannel?[][] channels = [.. messages.Select(m => m.Signals.Select(s => run.Channel(s.Role)).ToArray())];
        byte[] data = new byte[8];
        while (true)
        {
            int next = 0;
            for (int m = 1; m < messages.Count; m++)
                if (due[m] < due[next]) next = m;
            double at = due[next];
            if (at >= run.Truth.LengthS) return;
            CanMessage message = messages[next];
            int turns = Math.Max(1, message.MuxValues.Count);
            long number = sent[next]++;
            // Frames wait for the bus by up to a third of a millisecond.
            due[next] = message.PhaseS + (sent[next] / (message.RateHz * turns)) + (0.0003 * random.Unit());
            if (clock.Any(f => f.Kind is "gap" && at >= f.StartS && at <= f.EndS)) continue;

            Fill(message, channels[next], at, number, data);
            WriteFrame(message, FaultInjector.LoggedTime(at, clock), data, to);
        }
    }

    private static void Fill(CanMessage message, SampledChannel?[] channels, double at, long number, byte[] data)
    {
        Array.Fill(data, message.IsJ1939 ? (byte)0xFF : (byte)0);
        int? mux = message.MuxValues.Count > 0 ? message.MuxValues[(int)(number % message.MuxValues.Count)] : null;
        if (mux is { } value) data[0] = (byte)value;
        for (int s = 0; s < channels.Length; s++)
        {
            CanSignal signal = message.Signals[s];
            if (channels[s] is not { } channel || (signal.Mux is not null && signal.Mux != mux)) continue;
            double held = channel.HeldAt(at);
            double physical = message.IsJ1939 ? (held * channel.Scale) + channel.Offset : held;
            // SAE J1939-71: raw values from 0xFB (one byte) or 0xFB00 (two) on are codes.
            long highest = !message.IsJ1939 ? long.MaxValue : signal.Length == 8 ? 0xFA : 0xFAFF;
            signal.Insert(data, signal.ToRaw(physical, highest));
        }
    }

    private static void WriteFrame(CanMessage message, double seconds, byte[] data, TextWriter to)
    {
        long micros = (long)Math.Round(seconds * 1e6);
        long whole = FirstStampS + Math.DivRem(micros, 1_000_000, out long fraction);
        to.Write('(');
        to.Write(whole.ToString(CultureInfo.InvariantCulture));
        to.Write('.');
        to.Write(fraction.ToString("D6", CultureInfo.InvariantCulture));
        to.Write(") can0 ");
        to.Write(message.Id.ToString(message.IsExtended ? "X8" : "X3", CultureInfo.InvariantCulture));
        to.Write('#');
        to.Write(Convert.ToHexString(data));
        to.Write('\n');
    }
}
