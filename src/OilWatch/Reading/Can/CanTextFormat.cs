using System.Globalization;

namespace OilWatch.Reading.Can;

/// <summary>CAN text logs as <c>candump -L</c> writes them, and the form it shows on a screen.</summary>
internal static class CanTextFormat
{
    private const long EpochSeconds = 100_000_000;                               // fewer: counted from some start, not from 1970

    /// <summary>True when these first bytes of a file are those of a CAN text log.</summary>
    /// <remarks>
    /// One line that is a whole frame is enough, whatever stands before it; no other kind of log has such a line. Where every line is damaged,
    /// half of them have to begin with a stamp, which a table does not.
    /// </remarks>
    public static bool Recognise(ReadOnlySpan<byte> firstBytes)
    {
        if (firstBytes.StartsWith(new byte[] { 0xEF, 0xBB, 0xBF })) firstBytes = firstBytes[3..];
        Span<byte> data = stackalloc byte[CanFrame.MaxBytes];
        int alike = 0, other = 0;
        while (!firstBytes.IsEmpty)
        {
            int end = firstBytes.IndexOf((byte)'\n');
            ReadOnlySpan<byte> line = end < 0 ? firstBytes : firstBytes[..end];
            firstBytes = end < 0 ? [] : firstBytes[(end + 1)..];
            if (line.Length > CanLines.MaxLineBytes) { other++; continue; }
            CanLine parsed = CandumpParser.Parse(line, data);
            if (parsed.Kind is CanLineKind.Frame or CanLineKind.Remote or CanLineKind.Error) return true;
            if (parsed.Kind == CanLineKind.Comment) continue;
            if (parsed.HasStamp || parsed.Kind == CanLineKind.Notice) alike++;
            else other++;
        }
        return alike > 0 && alike >= other;
    }

    /// <summary>Opens a log.</summary>
    /// <param name="source">Its bytes, decompressed, ASCII or UTF-8.</param>
    /// <param name="options">The databases.</param>
    /// <param name="cancellationToken">Stops between two blocks of bytes.</param>
    /// <exception cref="InputException">A database cannot be used; no frame can be read; there is no time; nothing in the log is known.</exception>
    public static async ValueTask<ILogReader> OpenAsync(LogSource source, ReaderOptions options, CancellationToken cancellationToken)
    {
        IReadOnlyList<CanDatabase> databases = await CanLogOpener.LoadDatabasesAsync(options, cancellationToken).ConfigureAwait(false);
        (CandumpSurveyor surveyor, CanCatalog catalog) = await CanLogOpener.SurveyAsync(
            source, databases, options.AsLive, static (file, longestNs) => new CandumpSurveyor(file) { LongestNs = longestNs }, found => CheckTime(source.Name, found), cancellationToken).ConfigureAwait(false);
        List<string> assumptions = [DescribeTime(surveyor.First), .. CanLogOpener.Describe(databases), .. catalog.Notes];
        return new CanLogReader(source, "CAN text log", catalog, databases, assumptions, options.AsLive, static run => new CandumpHandler(run));
    }

    private static void CheckTime(string file, CandumpSurveyor surveyor)
    {
        if (surveyor.Stamped == 0)
        {
            throw surveyor.Unstamped == 0
                ? CanLogOpener.NoFrames(file, surveyor)
                : new InputException(new ReadingProblem(file, 0, 0,
                    "the frames have no time stamps, so nothing can be said about when; record with candump -L (log form) or candump -t a (screen form)"));
        }
        if (!surveyor.First.IsDated && DeltaStamps.LooksSo(surveyor.Found.Stamps))
        {
            throw new InputException(new ReadingProblem(file, 0, 0,
                "the time stamps are differences from frame to frame (delta), which cannot be added up where frames were left out or lost; " +
                "record absolute stamps, with candump -L or candump -t a"));
        }
    }

    private static string DescribeTime(in CanLine first)
    {
        string form = first.IsScreen ? "the screen form" : "the log form";
        string stamps = first.IsDated
            ? "dates and times of day"
            : first.StampNs / LogTime.NanosecondsPerSecond >= EpochSeconds ? "seconds since 1970" : "seconds since some start";
        return string.Create(CultureInfo.InvariantCulture, $"Read as {form} of a CAN text log; time stamps are {stamps} with {first.Decimals} decimals, and time counts from the first frame.");
    }
}
