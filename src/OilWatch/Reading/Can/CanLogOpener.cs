namespace OilWatch.Reading.Can;

/// <summary>What the text forms of CAN have in common when they are opened.</summary>
internal static class CanLogOpener
{
    /// <summary>Reads the databases that the options name.</summary>
    /// <exception cref="InputException">One of them cannot be used.</exception>
    public static async ValueTask<IReadOnlyList<CanDatabase>> LoadDatabasesAsync(ReaderOptions options, CancellationToken cancellationToken)
    {
        var databases = new List<CanDatabase>();
        foreach (LogSource database in options.CanDatabases)
            databases.Add(await CanDatabase.LoadAsync(database, cancellationToken).ConfigureAwait(false));
        return databases;
    }

    /// <summary>Surveys a log and brings it together with the databases.</summary>
    /// <param name="source">The log.</param>
    /// <param name="databases">The databases.</param>
    /// <param name="asLive">True to look at the first moments only, longer and longer ones while nothing is known.</param>
    /// <param name="newSurveyor">Makes a surveyor of the form, for a log's name and the longest time to look at, ns.</param>
    /// <param name="check">Refuses what has no time.</param>
    /// <param name="cancellationToken">Stops between two blocks of bytes.</param>
    /// <exception cref="InputException">No frame can be read, or nothing in the log is known.</exception>
    public static async ValueTask<(T Surveyor, CanCatalog Catalog)> SurveyAsync<T>(
        LogSource source, IReadOnlyList<CanDatabase> databases, bool asLive, Func<string, long, T> newSurveyor, Action<T> check, CancellationToken cancellationToken)
        where T : CanSurveyor
    {
        long longestNs = asLive ? (long)(ReaderOptions.FirstMomentsS * LogTime.NanosecondsPerSecond) : long.MaxValue;
        T surveyor = newSurveyor(source.Name, longestNs);
        await surveyor.ReadAsync(source, asLive ? long.MaxValue : CanSurveyor.UsualBytes, cancellationToken).ConfigureAwait(false);
        check(surveyor);
        CanCatalog catalog = CanCatalog.Build(databases, surveyor.Found);
        while (!catalog.AnySeen && !surveyor.Found.IsWhole && !surveyor.IsExhausted)
        {
            // Nothing known at the start: look through all of it before refusing; live through twice as much each time.
            longestNs = longestNs > long.MaxValue / 2 ? long.MaxValue : 2 * longestNs;
            surveyor = newSurveyor(source.Name, longestNs);
            await surveyor.ReadAsync(source, long.MaxValue, cancellationToken).ConfigureAwait(false);
            catalog = CanCatalog.Build(databases, surveyor.Found);
        }
        if (!catalog.AnySeen) throw new InputException(new ReadingProblem(source.Name, 0, 0, NothingKnown(databases, surveyor)));
        return (surveyor, catalog);
    }

    /// <summary>A sentence for each database that has problems.</summary>
    public static IEnumerable<string> Describe(IReadOnlyList<CanDatabase> databases)
    {
        foreach (CanDatabase database in databases)
        {
            if (database.ProblemCount == 0) continue;
            yield return database.ProblemCount == 1
                ? $"One thing in a CAN database is odd or could not be used: {database.Problems[0]}"
                : FormattableString.Invariant($"{database.ProblemCount} things in a CAN database are odd or could not be used; the first: {database.Problems[0]}");
        }
    }

    /// <summary>Refuses a log without a single frame.</summary>
    public static InputException NoFrames(string file, CanSurveyor surveyor) => new(new ReadingProblem(file, 0, 0, surveyor.FirstProblem is { } first
        ? $"no CAN frame could be read; first problem: {first}"
        : "no CAN frame in it"));

    private static string NothingKnown(IReadOnlyList<CanDatabase> databases, CanSurveyor surveyor)
    {
        if (surveyor.Found.Frames.Count == 0) return "no data frame in it, only remote or error frames";
        string ids = surveyor.Found.DescribeIds();
        if (databases.Count == 0)
        {
            return "a CAN database (DBC) is needed to read this log: give it with --can-db FILE, or as database = \"FILE\" under [can] in the car file; " +
                $"the log holds neither SAE J1939-71 nor SAE J1979 data that are known without one. Ids in the log: {ids}";
        }
        string names = string.Join(", ", databases.Select(database => database.Name));
        return $"no message of {names} occurs in this log; is it the database of this car? Ids in the log: {ids}";
    }
}
