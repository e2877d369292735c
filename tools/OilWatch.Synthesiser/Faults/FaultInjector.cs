using OilWatch.Synthesiser.Maths;
using OilWatch.Synthesiser.Sensing;
using OilWatch.Synthesiser.Truths;

namespace OilWatch.Synthesiser.Faults;

/// <summary>Puts faults into sampled channels.</summary>
internal static class FaultInjector
{
    /// <summary>The channel with its faults in.</summary>
    /// <param name="channel">A channel without faults.</param>
    /// <param name="faults">All faults of the run; those of other channels are skipped.</param>
    /// <param name="low">What a sensor shows whose line is broken, role unit.</param>
    /// <param name="high">What it shows at its upper rail, role unit.</param>
    /// <param name="random">Where the numbers come from.</param>
    public static SampledChannel Apply(SampledChannel channel, IReadOnlyList<TrueFault> faults, double low, double high, SeededRandom random)
    {
        SampledChannel result = channel;
        foreach (TrueFault fault in faults)
        {
            if (fault.Channel is "log") result = OfLog(result, fault);
            else if (string.Equals(fault.Channel, channel.Role, StringComparison.Ordinal)) OfSensor(result, fault, ToLogged(low), ToLogged(high), random);
        }

        return result;

        double ToLogged(double inRoleUnit) => (inRoleUnit - channel.Offset) / channel.Scale;
    }

    private static void OfSensor(SampledChannel channel, TrueFault fault, double low, double high, SeededRandom random)
    {
        double[] values = channel.Values;
        double stuck = channel.HeldAt(fault.StartS);
        double often = random.Range(0.04, 0.15);
        double bias = random.Range(0.15, 0.35) * (high - low) * (random.Chance(0.5) ? 1 : -1);
        int burst = 0;
        for (int i = 0; i < values.Length; i++)
        {
            if (channel.TimesS[i] < fault.StartS || channel.TimesS[i] > fault.EndS) continue;
            double changed = values[i];
            switch (fault.Kind)
            {
                case "dropout-zero": changed = low; break;
                case "dropout-empty": changed = double.NaN; break;
                case "rail-high": changed = high; break;
                case "stuck": changed = stuck; break;
                case "spikes-down" when random.Chance(often): changed = low; break;
                case "spikes-up" when random.Chance(often): changed = high; break;
                case "offset": changed = Math.Clamp(values[i] + bias, Math.Min(low, high), Math.Max(low, high)); break;
                case "noisy-connection":
                    if (burst == 0 && random.Chance(0.12)) burst = random.Whole(1, 5);
                    if (burst > 0)
                    {
                        burst--;
                        changed = low + ((high - low) * random.Unit());
                    }

                    break;
            }

            values[i] = double.IsNaN(changed) ? changed : Math.Round(changed / channel.Quantum) * channel.Quantum;
        }
    }

    private static SampledChannel OfLog(SampledChannel channel, TrueFault fault)
    {
        if (fault.Kind is "gap")
        {
            int[] kept = [.. Enumerable.Range(0, channel.TimesS.Length).Where(i => channel.TimesS[i] < fault.StartS || channel.TimesS[i] > fault.EndS)];
            return channel with
            {
                TimesS = [.. kept.Select(i => channel.TimesS[i])],
                LoggedTimesS = [.. kept.Select(i => channel.LoggedTimesS[i])],
                Values = [.. kept.Select(i => channel.Values[i])],
            };
        }

        double[] logged = [.. channel.LoggedTimesS];
        for (int i = 0; i < logged.Length; i++)
            if (channel.TimesS[i] >= fault.StartS && channel.TimesS[i] <= fault.EndS) logged[i] = LoggedTime(channel.TimesS[i], [fault]);
        return channel with { LoggedTimesS = logged };
    }

    /// <summary>What the log's clock says at a true time.</summary>
    public static double LoggedTime(double timeS, IReadOnlyList<TrueFault> faults)
    {
        foreach (TrueFault fault in faults)
        {
            if (timeS < fault.StartS || timeS > fault.EndS) continue;
            if (fault.Kind is "time-repeated") return Math.Round(fault.StartS, 3);
            if (fault.Kind is "time-backwards") return Math.Round(timeS - 0.8, 6);
        }

        return timeS;
    }
}
