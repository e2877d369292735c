using System.Collections.Immutable;
using OilWatch.Cars;
using OilWatch.Causes;
using OilWatch.Reading;

namespace OilWatch.Hosting;

/// <summary>The car file and what it names.</summary>
internal static class CarInputs
{
    private const int MaxCarFileBytes = 1 << 20;

    /// <summary>Reads them.</summary>
    /// <exception cref="InputException">Something cannot be used; every problem at once.</exception>
    public static (AnalysisOptions Options, ReaderOptions Readers) Read(OilWatchOptions asked)
    {
        var problems = new List<string>();
        AnalysisOptions options = AnalysisOptions.Default;
        string beside = "";
        if (asked.CarFile is { } carFile)
        {
            beside = Path.GetDirectoryName(carFile) ?? "";
            CarFileResult car = CarFile.Parse(BytesOf(carFile), Path.GetFileName(carFile));
            problems.AddRange(car.Problems.Select(problem => problem.ToString()));
            options = car.Options;
            if (options.Car.AdviceFile is { } advice)
            {
                (InspectionAdvice read, ImmutableArray<ReadingProblem> found) = InspectionAdvice.Parse(BytesOf(Path.Combine(beside, advice)), Path.GetFileName(advice));
                problems.AddRange(found.Select(problem => problem.ToString()));
                options = options with { Advice = read };
            }
        }
        ImmutableArray<LogSource> databases = [.. asked.CanDatabases.Concat(options.Car.CanDatabases.Select(path => Path.Combine(beside, path))).Select(path => FileAt(path, problems))];
        if (problems.Count > 0) throw new InputException(string.Join("; ", problems));
        return (options, new ReaderOptions { CanDatabases = databases });
    }

    /// <summary>A log to play.</summary>
    public static LogSource Log(string path) => new(Path.GetFileName(path), () => new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete));

    private static LogSource FileAt(string path, List<string> problems)
    {
        if (!File.Exists(path)) problems.Add($"{path}: there is no such file; check the name");
        return Log(path);
    }

    private static byte[] BytesOf(string path)
    {
        try
        {
            return new FileInfo(path).Length <= MaxCarFileBytes ? File.ReadAllBytes(path) : throw new InputException($"{path}: is larger than 1 MiB, so it is no car file; name a TOML file");
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw new InputException($"{path}: cannot be read: {error.Message.TrimEnd('.')}", error);
        }
    }
}
