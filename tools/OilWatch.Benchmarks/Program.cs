using System.Globalization;
using BenchmarkDotNet.Running;
using OilWatch.Benchmarks;

// Plain commands measure a whole pass over a file of real size; anything else goes to BenchmarkDotNet.
(string Name, string Usage, Func<string[], Task<int>> Run)[] commands =
[
    ("make-csv", "make-csv PATH ROWS [HZ]", CsvReplay.MakeAsync),
    ("make-can", "make-can PATH FRAMES", args =>
    {
        CanReplay.Make(args[0], long.Parse(args[1], CultureInfo.InvariantCulture));
        return Task.FromResult(0);
    }),
    ("can", "can PATH", async args =>
    {
        await CanReplay.RunAsync(args[0]);
        return 0;
    }),
    ("vibration", "vibration [MINUTES] [REPEATS] [PYTHON|none]", args => Task.FromResult(VibrationBench.Run(args))),
    ("replay", WholeReplay.Usage, WholeReplay.RunAsync),
    ("latency", LatencyBench.Usage, LatencyBench.RunAsync),
    ("live", LiveBench.Usage, LiveBench.RunAsync),
    ("truth", DetectionStudy.Usage, DetectionStudy.RunAsync),
    ("csv", "csv PATH [CHANNEL...] [--passes N]", CsvReplay.ReadAsync),
];

CultureInfo.CurrentCulture = CultureInfo.InvariantCulture;
if (args.Length > 0 && commands.FirstOrDefault(command => command.Name.Equals(args[0], StringComparison.Ordinal)) is { Name: not null } chosen)
    return await chosen.Run(args[1..]);

if (args.Length > 0)
{
    BenchmarkSwitcher.FromAssembly(typeof(CsvReplay).Assembly).Run(args);
    return 0;
}

foreach ((_, string usage, _) in commands) Console.Error.WriteLine(usage);
Console.Error.WriteLine("--filter PATTERN and other options of BenchmarkDotNet");
return 2;
