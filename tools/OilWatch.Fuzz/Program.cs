using System.Globalization;
using OilWatch.Fuzz;
using SharpFuzz;

// A target takes bytes and must return: an input that is bad is answered, never thrown about. The seeds are what random inputs are made of.
(string Name, ReadOnlySpanAction Target, string[] Seeds)[] targets =
[
    ("csv", CsvTarget.Run, CsvTarget.Seeds),
    ("can", CanTextTarget.Run, TextSeeds.Can),
    ("dbc", DbcTarget.Run, TextSeeds.Dbc),
    ("recording", RecordingTarget.Run, RecordingTarget.Seeds),
    ("car", CarFileTarget.Run, TextSeeds.Car),
    ("nmea", NmeaTarget.Run, NmeaTarget.Seeds),
];

if (args.Length == 0 || targets.FirstOrDefault(target => target.Name.Equals(args[0], StringComparison.Ordinal)) is not { Name: not null } chosen)
{
    Console.Error.WriteLine($"OilWatch.Fuzz TARGET [--replay FILE... | --random SECONDS [SEED]]; targets: {string.Join(", ", targets.Select(target => target.Name))}");
    Console.Error.WriteLine("Without an option: inputs come from AFL (shared memory and standard input), the library being instrumented.");
    return 2;
}

switch (args)
{
    case [_]:
        Fuzzer.OutOfProcess.Run(stream =>
        {
            using var bytes = new MemoryStream();
            stream.CopyTo(bytes);
            chosen.Target(bytes.ToArray());
        });
        return 0;
    case [_, "--replay", .. var files] when files.Length > 0:
        foreach (string file in files)
        {
            chosen.Target(File.ReadAllBytes(file));
            Console.WriteLine($"{file}: ok");
        }
        return 0;
    case [_, "--random", var seconds, .. var seed] when double.TryParse(seconds, CultureInfo.InvariantCulture, out double length) && seed.Length < 2:
        return RandomInputs.Run(chosen.Target, chosen.Seeds, TimeSpan.FromSeconds(length), seed.Length == 1 ? int.Parse(seed[0], CultureInfo.InvariantCulture) : Environment.TickCount);
    default:
        Console.Error.WriteLine("--replay FILE... or --random SECONDS [SEED]");
        return 2;
}
