using System.Collections.Immutable;
using System.Text;
using OilWatch.Analysis;
using OilWatch.Console.Files;
using OilWatch.Console.Hosting;
using OilWatch.Console.Text;
using OilWatch.Proof;
using OilWatch.Proof.Page;
using OilWatch.Reading;
using OilWatch.Results;

namespace OilWatch.Console.Verbs;

/// <summary><c>oilwatch prove</c>: analyses the logs of each group and says what they prove about the change between them.</summary>
internal sealed class ProveVerb(ProveSettings settings, Surroundings around) : IVerb
{
    private const string JsonName = "proof.json";
    private const string PageName = "proof.html";

    public async Task<int> RunAsync(CancellationToken stop)
    {
        (AnalysisOptions options, ReaderOptions readers) = Inputs.Car(settings.Car, settings.CanDatabases, around.Parts);
        ResultFolder? folder = Folder(options);
        ImmutableArray<string> logs = [.. settings.Groups.SelectMany(group => group.Logs)];
        var results = new SessionResult?[logs.Length];
        var progress = new ProgressBar(around.Progress && !settings.Answer.Quiet ? around.Error : null, around.Time, logs.Select(Inputs.Length));
        AnalysisRequest request = new() { Options = options, Readers = readers, OpenScratch = Scratch.Open };
        IReadOnlyCollection<Outcome> outcomes = await LogRun.AllAsync(
            logs, around, progress,
            async (log, token) =>
            {
                results[log] = await around.Parts.Analyse(Inputs.Log(logs[log]), request with { Progress = progress.Of(log) }, token);
                return new Outcome { Read = true };
            },
            stop);
        int code = Outcome.ExitCode(outcomes);
        if (code is ExitCodes.Interrupted or ExitCodes.NothingRead) return code;
        var groups = new List<(string Name, IReadOnlyList<SessionResult> Sessions)>();
        int next = 0;
        foreach ((string name, ImmutableArray<string> group) in settings.Groups)
        {
            groups.Add((name, [.. results[next..(next + group.Length)].OfType<SessionResult>()]));
            next += group.Length;
        }
        return Answer(groups, folder, stop) ? code : ExitCodes.Usage;
    }

    private bool Answer(List<(string Name, IReadOnlyList<SessionResult> Sessions)> groups, ResultFolder? folder, CancellationToken stop)
    {
        Action<Stream> json, html;
        ImmutableArray<ProofResult> pairs;
        if (settings.Named)
        {
            ProofComparison comparison = ProofRun.ProveAll(groups);
            (json, html, pairs) = (to => ProofJson.Write(to, comparison), to => ProofPage.Write(to, comparison), [.. comparison.Pairs]);
        }
        else
        {
            ProofResult result = ProofRun.Prove(groups[0].Sessions, groups[1].Sessions);
            (json, html, pairs) = (to => ProofJson.Write(to, result), to => ProofPage.Write(to, result), [result]);
        }
        bool written = folder is null || Write(folder, json, html, stop);
        if (settings.Answer.Json)
        {
            using var line = new MemoryStream();
            json(line);
            around.Out.Write(Encoding.UTF8.GetString(line.ToArray()).TrimEnd() + "\n");
        }
        else if (!settings.Answer.Quiet)
        {
            foreach (ProofResult pair in pairs) around.Out.Write(ProofAnswer.Of(pair, around.Colour));
            var page = new Text.Page(around.Colour);
            if (written && folder is not null) page.Wrapped($"{JsonName} and {PageName} are in {folder.FolderPath}");
            page.Blank();
            page.Wrapped(Caution.Sentence);
            around.Out.Write(page.ToString());
        }
        return written;
    }

    private bool Write(ResultFolder folder, Action<Stream> json, Action<Stream> html, CancellationToken stop)
    {
        try
        {
            folder.Write([(JsonName, json), (PageName, html)], stop);
            return true;
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            around.Say(Failures.Writing(folder.FolderPath, error));
            return false;
        }
    }

    private ResultFolder? Folder(AnalysisOptions options)
    {
        if (settings.Out is not { } path) return null;
        var folder = new ResultFolder(path, around.CreateFile);
        SparedFiles.Check(
            [Path.Combine(path, JsonName), Path.Combine(path, PageName)],
            [
                .. settings.Groups.SelectMany(group => group.Logs), .. settings.CanDatabases,
                .. Inputs.CarFiles(settings.Car, options),
            ]);
        folder.Prepare();
        return folder;
    }
}
