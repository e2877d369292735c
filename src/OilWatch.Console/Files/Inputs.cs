using System.Collections.Immutable;
using OilWatch.Cars;
using OilWatch.Causes;
using OilWatch.Channels;
using OilWatch.Reading;
using OilWatch.Vibration;

namespace OilWatch.Console.Files;

/// <summary>The files that are read.</summary>
internal static class Inputs
{
    /// <summary>Larger than any car file; one of this size is something else.</summary>
    public const int MaxCarFileBytes = 1 << 20;

    /// <summary>A file as a source of bytes, opened anew at each pass.</summary>
    /// <exception cref="InputException">There is no such file.</exception>
    public static LogSource Log(string path)
    {
        if (Directory.Exists(path)) throw new InputException(Failures.Folder(path));
        if (!File.Exists(path)) throw new InputException(Failures.Missing(path));
        string[] parts = RecordingParts.Of(path);
        return new LogSource(Path.GetFileName(path), () => parts.Length == 1 ? Open(path) : new PartsStream(parts, Open));
    }

    /// <summary>Bytes of a file, or 0 when that cannot be told.</summary>
    public static long Length(string path)
    {
        try
        {
            return new FileInfo(path).Length;
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            return 0;
        }
    }

    /// <summary>The car file and the CAN databases that it and the command line name, those of the command line first.</summary>
    /// <exception cref="UsageException">The car file or a database cannot be used; all problems at once.</exception>
    public static (AnalysisOptions Options, ReaderOptions Readers) Car(string? carFile, IEnumerable<string> canDatabases, Parts parts)
    {
        AnalysisOptions options = carFile is null ? AnalysisOptions.Default : ParsedCar(carFile, parts);
        string beside = carFile is null ? "" : Path.GetDirectoryName(carFile) ?? "";
        var problems = new List<string>();
        ImmutableArray<LogSource> databases =
        [
            .. canDatabases.Select(path => SideFile(path, $"--can-db {path}", problems)),
            .. options.Car.CanDatabases.Select(path => SideFile(
                Path.Combine(beside, path), $"{Path.GetFileName(carFile)}: [can] database = \"{path}\"", problems)),
        ];
        if (options.Car.AdviceFile is { } advice) options = options with { Advice = Advice(Path.Combine(beside, advice), $"{Path.GetFileName(carFile)}: [advice] file = \"{advice}\"", problems) };
        if (problems.Count > 0) throw new UsageException(problems);
        return (options, new ReaderOptions { CanDatabases = databases });
    }

    /// <summary>The raw vibration waveform that a car file names, or null.</summary>
    /// <exception cref="UsageException">There is no such file.</exception>
    public static WaveSource? Waveform(string? carFile, AnalysisOptions options)
    {
        if (carFile is null || !options.Car.Channels.TryGetValue(Role.Vibration, out ChannelSetting? setting) || setting.File is not { } file) return null;
        var problems = new List<string>();
        LogSource source = SideFile(Path.Combine(Path.GetDirectoryName(carFile) ?? "", file), $"{Path.GetFileName(carFile)}: [channels.vibration] file = \"{file}\"", problems);
        if (problems.Count > 0) throw new UsageException(problems);
        return new WaveSource(source) { Scale = setting.Scale, StartS = setting.StartS, Unit = setting.Unit };
    }

    /// <summary>The file of NMEA 0183 sentences that a car file names for positions and speed, or null.</summary>
    /// <exception cref="UsageException">There is no such file, or more than one is named.</exception>
    public static PositionSource? Positions(string? carFile, AnalysisOptions options)
    {
        if (carFile is null) return null;
        (Role Role, ChannelSetting Setting)[] named =
        [
            .. ((Role[])[Role.Latitude, Role.Longitude, Role.VehicleSpeed])
                .Where(role => options.Car.Channels.TryGetValue(role, out ChannelSetting? setting) && setting.File is not null)
                .Select(role => (role, options.Car.Channels[role])),
        ];
        if (named is not [(var first, { File: { } file } setting), ..]) return null;
        string car = Path.GetFileName(carFile);
        var problems = new List<string>();
        foreach ((Role role, ChannelSetting other) in named[1..])
        {
            if (!string.Equals(other.File, file, StringComparison.Ordinal))
                problems.Add($"{car}: [channels.{role.Key()}] file = \"{other.File}\" and [channels.{first.Key()}] file = \"{file}\": sentences come from one file; name the same for both");
            else if (other.StartS is { } start && setting.StartS is { } known && start != known)
                problems.Add(FormattableString.Invariant($"{car}: [channels.{role.Key()}] start_s = {start} and [channels.{first.Key()}] start_s = {known}: one file begins once; give it once"));
        }
        LogSource source = SideFile(Path.Combine(Path.GetDirectoryName(carFile) ?? "", file), $"{car}: [channels.{first.Key()}] file = \"{file}\"", problems);
        if (problems.Count > 0) throw new UsageException(problems);
        return new PositionSource(source) { StartS = named.Select(each => each.Setting.StartS).FirstOrDefault(start => start is not null) ?? 0, Fills = [.. named.Select(each => each.Role)] };
    }

    /// <summary>The paths of a car file and of all files that it names beside it: none of them may be replaced by results.</summary>
    public static IEnumerable<string> CarFiles(string? carFile, AnalysisOptions options)
    {
        if (carFile is null) return [];
        string folder = Path.GetDirectoryName(carFile) ?? "";
        return options.Car.Channels.Values.Select(setting => setting.File).Concat(options.Car.CanDatabases).Append(options.Car.AdviceFile)
            .OfType<string>().Distinct(StringComparer.Ordinal).Select(file => Path.Combine(folder, file)).Prepend(carFile);
    }

    private static FileStream Open(string path)
    {
        var stream = new FileStream(path, new FileStreamOptions
        {
            Mode = FileMode.Open,
            Access = FileAccess.Read,
            Share = FileShare.ReadWrite | FileShare.Delete,
            Options = FileOptions.SequentialScan,
            BufferSize = 0,
        });
        if (stream.CanSeek) return stream;
        stream.Dispose();
        throw new InputException(Failures.NotSeekable(path));
    }

    private static LogSource SideFile(string path, string saidWhere, List<string> problems)
    {
        if (!File.Exists(path)) problems.Add($"{saidWhere}: there is no such file; check the name");
        return new LogSource(Path.GetFileName(path), () => Open(path));
    }

    private static InspectionAdvice Advice(string path, string saidWhere, List<string> problems)
    {
        if (!File.Exists(path))
        {
            problems.Add($"{saidWhere}: there is no such file; check the name");
            return InspectionAdvice.BuiltIn;
        }
        try
        {
            if (Length(path) > MaxCarFileBytes)
            {
                problems.Add($"{saidWhere}: is larger than 1 MiB, so it is no inspection file");
                return InspectionAdvice.BuiltIn;
            }
            (InspectionAdvice advice, ImmutableArray<ReadingProblem> found) = InspectionAdvice.Parse(File.ReadAllBytes(path), Path.GetFileName(path));
            problems.AddRange(found.Select(problem => problem.ToString()));
            return advice;
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            problems.Add(Failures.Reading(path, error));
            return InspectionAdvice.BuiltIn;
        }
    }

    private static AnalysisOptions ParsedCar(string path, Parts parts)
    {
        (AnalysisOptions options, ImmutableArray<ReadingProblem> problems) = parts.ParseCar(CarBytes(path), Path.GetFileName(path));
        return problems.IsDefaultOrEmpty ? options : throw new UsageException([.. problems.Select(problem => problem.ToString())]);
    }

    private static byte[] CarBytes(string path)
    {
        if (Directory.Exists(path)) throw new UsageException($"{path}: is a folder; name the car file in it");
        try
        {
            return Length(path) <= MaxCarFileBytes
                ? File.ReadAllBytes(path)
                : throw new UsageException($"{path}: is larger than 1 MiB, so it is no car file; name a TOML file");
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw new UsageException(Failures.Reading(path, error));
        }
    }
}
