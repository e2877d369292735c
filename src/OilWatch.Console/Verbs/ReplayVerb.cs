using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using OilWatch.Analysis;
using OilWatch.Causes;
using OilWatch.Console.Files;
using OilWatch.Console.Hosting;
using OilWatch.Console.Text;
using OilWatch.Reading;
using OilWatch.Report;
using OilWatch.Results;
using OilWatch.Vibration;

namespace OilWatch.Console.Verbs;

/// <summary><c>oilwatch replay</c>: analyses logs after a run, writes the results and gives the answer.</summary>
internal sealed class ReplayVerb(ReplaySettings settings, Surroundings around) : IVerb
{
    private const int MostProblems = 5;
    private readonly ReportOptions _report = new() { Units = settings.Answer.Units, Version = CommandLine.Version };

    private IReadOnlyList<ResultFile> Files => [.. ResultFiles.All, SessionReport.File(_report)];

    public async Task<int> RunAsync(CancellationToken stop)
    {
        (AnalysisOptions options, ReaderOptions readers) = Inputs.Car(settings.Car, settings.CanDatabases, around.Parts);
        ImmutableArray<ResultFolder?> folders = Folders(options);
        var progress = new ProgressBar(
            around.Progress && !settings.Answer.Quiet ? around.Error : null, around.Time, settings.Logs.Select(Inputs.Length));
        AnalysisRequest request = new()
        {
            Options = options,
            Readers = readers,
            AsLive = settings.AsLive,
            OpenScratch = Scratch.Open,
        };
        WaveSource? waveform = Inputs.Waveform(settings.Car, options);
        PositionSource? positions = Inputs.Positions(settings.Car, options);
        if (settings.Reference is { } reference) request = request with { Reference = await ReferenceAsync(reference, request, stop) };
        if (waveform is not null && settings.Logs.Length > 1) around.Say($"{waveform.File.Name}: is not judged, because it belongs to one log and several are given; replay its log alone");
        else request = request with { Waveform = waveform };
        if (positions is not null && settings.Logs.Length > 1) around.Say($"{positions.File.Name}: is not used, because it belongs to one log and several are given; replay its log alone");
        else request = request with { Readers = readers with { Positions = positions } };
        IReadOnlyCollection<Outcome> outcomes = await LogRun.AllAsync(
            settings.Logs, around, progress,
            (log, token) => OneAsync(settings.Logs[log], folders[log], request with { Progress = progress.Of(log) }, token), stop);
        bool indexed = WriteIndex(outcomes, stop);
        if (settings.Answer is { Json: false, Quiet: false } && outcomes.Any(outcome => outcome.Read)) SayCaution();
        return Outcome.ExitCode(indexed ? outcomes : [.. outcomes, new Outcome { NotWritten = true, Read = true }]);
    }

    /// <summary>The way to each log's report, beside the sub-folders. False when it could not be written.</summary>
    private bool WriteIndex(IReadOnlyCollection<Outcome> outcomes, CancellationToken stop)
    {
        if (settings.Out is not { } path || settings.Logs.Length == 1 || stop.IsCancellationRequested || !outcomes.Any(outcome => outcome.Row is not null)) return true;
        IndexRow[] rows =
        [
            .. outcomes.Zip(settings.Logs, (outcome, log) => outcome.Row ?? IndexRow.Unread(Path.GetFileName(log), outcome.Problems.FirstOrDefault() ?? "No results were written.")),
        ];
        try
        {
            new ResultFolder(path, around.CreateFile).Write([(IndexPage.FileName, stream => IndexPage.Write(rows, _report, stream))], stop);
            return true;
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            around.Say(Failures.Writing(path, error));
            return false;
        }
    }

    private async Task<Outcome> OneAsync(string log, ResultFolder? folder, AnalysisRequest request, CancellationToken stop)
    {
        SessionResult result = await around.Parts.Analyse(Inputs.Log(log), request, stop);
        List<string> problems = settings.Answer.Quiet ? [] : [.. Problems(result.Reading), .. (result.Waveform?.Problems ?? []).Take(MostProblems).Select(problem => problem.ToString())];
        bool written = folder is null || Write(result, folder, problems, stop);
        return new Outcome
        {
            Read = true,
            Row = written && folder is not null ? IndexRow.Of(result, Path.GetFileName(folder.FolderPath)) : null,
            NotWritten = !written,
            Alarming = settings.FailOn is { } severity && result.Alerts.Any(alert => alert.Severity >= severity),
            Answer = Answer(result, written ? folder?.FolderPath : null),
            Problems = [.. problems],
        };
    }

    /// <summary>What an earlier log of the same engine showed.</summary>
    private async Task<HealthyReference> ReferenceAsync(string log, AnalysisRequest request, CancellationToken stop)
    {
        SessionResult earlier;
        try
        {
            earlier = await around.Parts.Analyse(Inputs.Log(log), request with { AsLive = false }, stop);
        }
        catch (Exception error) when (error is InputException or IOException or UnauthorizedAccessException)
        {
            throw new UsageException($"--reference {Failures.Reading(log, error)}");
        }
        return HealthyReference.From(earlier)
            ?? throw new UsageException($"--reference {log}: no healthy pressure could be learned from it; name a longer log with calm running");
    }

    private bool Write(SessionResult result, ResultFolder folder, List<string> problems, CancellationToken stop)
    {
        try
        {
            folder.Write(result, Files, stop);
            return true;
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            problems.Add(Failures.Writing(folder.FolderPath, error));
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
        return settings.Answer.Quiet ? "" : SessionAnswer.Of(result, settings.Answer.Units, around.Colour, folder) + "\n";
    }

    /// <summary>Where each log's results go: straight into the folder for one log, a sub-folder each for several.</summary>
    private ImmutableArray<ResultFolder?> Folders(AnalysisOptions options)
    {
        if (settings.Out is not { } path) return [.. settings.Logs.Select(_ => (ResultFolder?)null)];
        ImmutableArray<ResultFolder?> folders = settings.Logs.Length == 1
            ? [new ResultFolder(path, around.CreateFile)]
            : [.. FolderNames.For(settings.Logs).Select(name => new ResultFolder(Path.Combine(path, name), around.CreateFile))];
        SpareInputs(folders, options);
        new ResultFolder(path, around.CreateFile).Prepare();
        return folders;
    }

    /// <summary>A log called laps.csv, say, must not be replaced by the results about it.</summary>
    private void SpareInputs(IEnumerable<ResultFolder?> folders, AnalysisOptions options)
    {
        SparedFiles.Check(
            [
                .. folders.OfType<ResultFolder>().SelectMany(folder => Files.Select(file => Path.Combine(folder.FolderPath, file.Name))),
                Path.Combine(settings.Out!, IndexPage.FileName),
            ],
            [
                .. settings.Logs, .. settings.Reference is null ? Array.Empty<string>() : [settings.Reference], .. settings.CanDatabases,
                .. Inputs.CarFiles(settings.Car, options),
            ]);
    }

    private static IEnumerable<string> Problems(ReadingReport reading)
    {
        ImmutableArray<ReadingProblem> first = reading.Problems.IsDefault ? [] : reading.Problems;
        foreach (ReadingProblem problem in first.Take(MostProblems)) yield return problem.ToString();
        long more = reading.ProblemCount - Math.Min(first.Length, MostProblems);
        if (more > 0 && first.Length > 0)
            yield return string.Create(CultureInfo.InvariantCulture, $"{first[0].File}: and {more} more problems; 'oilwatch channels' shows more of them");
    }

    private void SayCaution()
    {
        var page = new Page(around.Colour);
        page.Wrapped(Caution.Sentence);
        around.Out.Write(page.ToString());
    }
}
