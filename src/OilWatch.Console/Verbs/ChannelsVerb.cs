using System.Text;
using OilWatch.Channels;
using OilWatch.Console.Files;
using OilWatch.Console.Hosting;
using OilWatch.Console.Text;
using OilWatch.Reading;
using OilWatch.Results;
using OilWatch.Vibration;

namespace OilWatch.Console.Verbs;

/// <summary><c>oilwatch channels</c>: what is in a log, which role each channel got and why, what is missing and what that costs.</summary>
internal sealed class ChannelsVerb(ChannelsSettings settings, Surroundings around) : IVerb
{
    public async Task<int> RunAsync(CancellationToken stop)
    {
        (AnalysisOptions options, ReaderOptions readers) = Inputs.Car(settings.Car, settings.CanDatabases, around.Parts);
        if (settings.Limits) ShowLimits(options);
        if (settings.Logs.Length == 0) return ExitCodes.Done;
        WaveSource? waveform = Inputs.Waveform(settings.Car, options);
        PositionSource? positions = Inputs.Positions(settings.Car, options);
        foreach (LogSource beside in new[] { waveform?.File, positions?.File }.OfType<LogSource>())
            if (settings.Logs.Length > 1) around.Say($"{beside.Name}: is not listed, because it belongs to one log and several are given; list its log alone");
        if (settings.Logs.Length > 1) (waveform, positions) = (null, null);
        readers = readers with { Positions = positions };
        (WaveListing? wave, Outcome? unread) = await WaveAsync(waveform, stop);
        var progress = new ProgressBar(null, around.Time, settings.Logs.Select(_ => 0L));
        IReadOnlyCollection<Outcome> outcomes = await LogRun.AllAsync(
            settings.Logs, around, progress, (log, token) => OneAsync(settings.Logs[log], options, readers, wave, token), stop);
        if (unread is null) return Outcome.ExitCode(outcomes);
        foreach (string problem in unread.Problems) around.Say(problem);
        return Outcome.ExitCode([.. outcomes, unread]);
    }

    private async Task<Outcome> OneAsync(string log, AnalysisOptions options, ReaderOptions readers, WaveListing? waveform, CancellationToken stop)
    {
        ILogReader reader = await around.Parts.OpenLog(Inputs.Log(log), readers, stop);
        var contents = new InventorySink(reader.Channels.Count);
        ReadingReport reading = await reader.ReadAsync([.. reader.Channels.Select(channel => channel.Index)], contents, stop);
        ChannelPlan plan = around.Parts.FindRoles(reader.Channels, contents.Sample, options.Car);
        ChannelInventory inventory = ChannelInventory.Of(reader, contents, reading, plan, around.Parts.RoleCost);
        if (waveform is not null) inventory = inventory with { Waveform = waveform, Missing = inventory.Missing.RemoveAll(missing => missing.Role == Role.Vibration) };
        return new Outcome { Read = true, Answer = Answer(inventory) };
    }

    /// <summary>What is in the waveform, or what kept it from being read.</summary>
    private static async Task<(WaveListing? Waveform, Outcome? Unread)> WaveAsync(WaveSource? waveform, CancellationToken stop)
    {
        if (waveform is null) return (null, null);
        try
        {
            return (await WaveListing.ReadAsync(waveform, Scratch.Open, stop), null);
        }
        catch (OperationCanceledException) when (stop.IsCancellationRequested)
        {
            return (null, new Outcome { Interrupted = true });
        }
        catch (Exception error) when (error is InputException or IOException or UnauthorizedAccessException)
        {
            return (null, new Outcome { Problems = [Failures.Reading(waveform.File.Name, error)] });
        }
    }

    private string Answer(ChannelInventory inventory)
    {
        if (settings.Answer.Json) return Line(stream => InventoryFiles.WriteJsonLine(inventory, stream));
        return settings.Answer.Quiet ? "" : ChannelsAnswer.Of(inventory, around.Colour) + "\n";
    }

    private void ShowLimits(AnalysisOptions options)
    {
        IEnumerable<LimitListing> limits = around.Parts.Limits(options);
        if (settings.Answer.Json) around.Out.Write(Line(stream => LimitsAnswer.WriteJsonLine(limits, stream)));
        else if (!settings.Answer.Quiet) around.Out.Write(LimitsAnswer.Of(limits));
    }

    private static string Line(Action<Stream> write)
    {
        using var line = new MemoryStream();
        write(line);
        return Encoding.UTF8.GetString(line.ToArray());
    }
}
