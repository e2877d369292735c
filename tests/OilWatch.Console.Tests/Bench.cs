using System.Collections.Immutable;
using OilWatch.Analysis;
using OilWatch.Channels;
using OilWatch.Reading;
using OilWatch.Results;
using OilWatch.Tests.Results;

namespace OilWatch.Console.Tests;

/// <summary>The program with a folder of its own and a library whose answers the test decides.</summary>
internal sealed class Bench : IDisposable
{
    private readonly StringWriter _out = new();
    private readonly StringWriter _error = new();

    public Bench()
    {
        Folder = Directory.CreateTempSubdirectory("oilwatch-test-").FullName;
        Parts = new Parts
        {
            Analyse = (log, _, _) => ValueTask.FromResult(Sessions.Rich with { LogName = log.Name, Reading = new ReadingReport() }),
            OpenLog = (log, _, _) => throw new InputException($"{log.Name}: no reader in this test"),
            ParseCar = (_, _) => (AnalysisOptions.Default, []),
            FindRoles = (_, _, _) => new ChannelPlan([], []),
            RoleCost = role => $"No {role.Key()}, no judgement.",
            Limits = _ => [],
        };
    }

    public string Folder { get; }

    public Parts Parts { get; set; }

    public Func<string, Stream> CreateFile { get; set; } = Files.ResultFolder.CreateNew;

    public CancellationToken Interrupt { get; set; }

    public bool Progress { get; set; }

    /// <summary>Variables of the environment.</summary>
    public Dictionary<string, string> Variables { get; } = new(StringComparer.Ordinal);

    /// <summary>What somebody types; a terminal is there when it is set.</summary>
    public TextReader? Keys { get; set; }

    public string Out => _out.ToString();

    /// <summary>Standard error, with the test's folder written as <c>~</c>.</summary>
    public string Error => _error.ToString().Replace(Folder, "~", StringComparison.Ordinal);

    public void Analyse(Func<LogSource, AnalysisRequest, CancellationToken, ValueTask<SessionResult>> analyse) =>
        Parts = Parts with { Analyse = analyse };

    /// <summary>Runs the program. Arguments that begin with <c>~/</c> are paths in the test's folder.</summary>
    public Task<int> RunAsync(params string[] args) => CommandLine.RunAsync(
        [.. args.Select(arg => arg.StartsWith("~/", StringComparison.Ordinal) ? PathOf(arg[2..]) : arg)],
        new Surroundings
        {
            Out = TextWriter.Synchronized(_out),
            Error = TextWriter.Synchronized(_error),
            Parts = Parts,
            CreateFile = CreateFile,
            Interrupt = Interrupt,
            Progress = Progress,
            Variable = name => Variables.GetValueOrDefault(name),
            Keys = Keys,
            Terminal = Keys is not null,
            Time = new ClockThatJumps(),
        });

    public string PathOf(string name) => Path.Combine(Folder, name);

    /// <summary>Writes a file and returns the name for <see cref="RunAsync"/>.</summary>
    public string File(string name, string text = "time,rpm\n0,900\n")
    {
        string path = PathOf(name);
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        System.IO.File.WriteAllText(path, text);
        return "~/" + name;
    }

    public string Read(string name) => System.IO.File.ReadAllText(PathOf(name));

    /// <summary>Every file below a folder, in order, with / between.</summary>
    public ImmutableArray<string> FilesIn(string name) => Directory.Exists(PathOf(name))
        ?
        [
            .. Directory.EnumerateFiles(PathOf(name), "*", SearchOption.AllDirectories)
                .Select(path => Path.GetRelativePath(PathOf(name), path).Replace('\\', '/'))
                .Order(StringComparer.Ordinal),
        ]
        : [];

    public void Dispose() => Directory.Delete(Folder, recursive: true);

    /// <summary>A second later at each look.</summary>
    private sealed class ClockThatJumps : TimeProvider
    {
        private long _seconds;

        public override long TimestampFrequency => 1;

        public override long GetTimestamp() => Interlocked.Increment(ref _seconds);
    }
}
