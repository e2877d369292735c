using System.Collections.Immutable;
using System.Text;
using OilWatch.Alerts;
using OilWatch.Board;
using OilWatch.Console.Files;
using OilWatch.Console.Hosting;
using OilWatch.Console.Text;
using OilWatch.Live;
using OilWatch.Live.Life;
using OilWatch.Live.Listening;
using OilWatch.Live.Recording;
using OilWatch.Live.Sources;
using OilWatch.Mqtt;
using OilWatch.Reading;
using OilWatch.Report;
using OilWatch.Results;

namespace OilWatch.Console.Verbs;

/// <summary><c>oilwatch watch</c>: judges a stream as it comes, says each alert at once, and writes the results when it is over or interrupted.</summary>
internal sealed class WatchVerb(WatchSettings settings, Surroundings around) : IVerb
{
    private readonly ReportOptions _report = new() { Units = settings.Answer.Units, Version = CommandLine.Version };

    private IReadOnlyList<ResultFile> Files => [.. ResultFiles.All, SessionReport.File(_report)];

    private bool ForPeople => settings.Answer is { Json: false, Quiet: false };

    public async Task<int> RunAsync(CancellationToken stop)
    {
        (AnalysisOptions options, ReaderOptions readers) = Inputs.Car(settings.Car, settings.CanDatabases, around.Parts);
        string? played = settings.Source.StartsWith(LiveSources.PlayPrefix, StringComparison.Ordinal) ? settings.Source[LiveSources.PlayPrefix.Length..] : null;
        ILiveSource? source = played is null ? Source() : null;
        ResultFolder? folder = Folder(played, options);
        if (played is not null) readers = readers with { Positions = Inputs.Positions(settings.Car, options) };
        await using PitBoard? board = await BoardStart.OpenAsync(settings.Board, options.Car.Name, settings.Answer.Units, SayOfBoard);
        SessionResult result;
        using (var outbox = new Outbox(around))
        {
            if (ForPeople) outbox.Answer(Sentence(Caution.Sentence));
            var said = new WatchSayings(settings.Answer, around, outbox);
            using Recorder? recorder = folder is null || source is null || !settings.Record ? null : new Recorder(
                new RecordingFolder(folder.FolderPath), source.Name, readers.CanDatabases, said.OnNotice, time: TimeProvider.System);
            await using MqttPublisher? mqtt = MqttStart.Open(settings.Mqtt, options.Car.Name, folder?.FolderPath, said.OnNotice);
            ILiveListener?[] listeners = [said, board, mqtt];
            var desk = new LiveDesk(AlertLifeOptions.Default, [.. listeners.OfType<ILiveListener>()]);
            board?.Follow(desk);
            mqtt?.Follow(desk);
            if (ForPeople && settings.Source is not "-") said.HearKeys(desk.Alerts);
            LiveRequest request = desk.Into(new LiveRequest { Options = options, Readers = readers, Tap = recorder });
            try
            {
                result = played is null
                    ? await around.Parts.Watch(source!, request, stop)
                    : await around.Parts.Play(Inputs.Log(played), settings.Pace, request, stop);
                desk.Over(result);
            }
            catch (InputException) when (stop.IsCancellationRequested)
            {
                outbox.Problem($"{settings.Source}: interrupted before anything could be judged; nothing was written");
                return ExitCodes.Interrupted;
            }
            catch (Exception error)
            {
                desk.Over(null);
                outbox.Problem(Failures.Reading(settings.Source, error));
                return ExitCodes.NothingRead;
            }
        }
        bool written = folder is null || Write(result, folder);
        around.Out.Write(Answer(result, written ? folder?.FolderPath : null));
        if (!written) return ExitCodes.Usage;
        return stop.IsCancellationRequested ? ExitCodes.Interrupted : ExitCodes.Done;
    }

    private void SayOfBoard(LiveNotice notice)
    {
        if (notice.Severity is not null || !settings.Answer.Quiet) around.Say(notice.Text);
    }

    private ILiveSource Source()
    {
        SerialOptions serial = SerialOptions.OpenCommandsFor(settings.BusKbit) is { } commands
            ? new SerialOptions { OpenCommands = commands }
            : throw new UsageException($"--bus-kbit {settings.BusKbit}: 10, 20, 50, 100, 125, 250, 500, 800 or 1000 is allowed");
        (ILiveSource? source, string? problem) = LiveSources.Parse(settings.Source, new TcpOptions { EndWhenClosed = settings.UntilClosed }, serial);
        return source ?? throw new UsageException($"{problem}; see 'oilwatch watch --help'");
    }

    private ResultFolder? Folder(string? played, AnalysisOptions options)
    {
        if (settings.Out is not { } path) return null;
        SparedFiles.Check(
            Files.Select(file => Path.Combine(path, file.Name)),
            [.. played is null ? Array.Empty<string>() : [played], .. settings.CanDatabases, .. Inputs.CarFiles(settings.Car, options)]);
        var folder = new ResultFolder(path, around.CreateFile);
        folder.Prepare();
        return folder;
    }

    private bool Write(SessionResult result, ResultFolder folder)
    {
        try
        {
            folder.Write(result, Files, CancellationToken.None);     // interrupted or not: what was finished is kept
            return true;
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            around.Say(Failures.Writing(folder.FolderPath, error));
            return false;
        }
    }

    private string Answer(SessionResult result, string? folder)
    {
        if (settings.Answer.Json)
        {
            using var line = new MemoryStream();
            ResultFiles.WriteSummaryJsonLine(result, line);
            return Encoding.UTF8.GetString(line.ToArray());
        }
        return ForPeople ? "\n" + SessionAnswer.Of(result, settings.Answer.Units, around.Colour, folder) + "\n" + Sentence(Caution.Sentence) : "";
    }

    private string Sentence(string text)
    {
        var page = new Page(around.Colour);
        page.Wrapped(text);
        return page.ToString();
    }
}
