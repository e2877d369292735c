namespace OilWatch.Reading;

/// <summary>Opens a log whatever its format.</summary>
public static class LogFile
{
    /// <summary>Recognises the format by its first bytes and opens the reader for it.</summary>
    /// <exception cref="InputException">The input is empty, is no log, or a CAN database cannot be used.</exception>
    public static ValueTask<ILogReader> OpenAsync(
        LogSource source, ReaderOptions? options = null, CancellationToken cancellationToken = default) =>
        throw new InputException(new ReadingProblem(source.Name, 0, 0, "no reader knows this format"));
}
