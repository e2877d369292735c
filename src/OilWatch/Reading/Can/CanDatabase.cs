using System.Collections.Immutable;

namespace OilWatch.Reading.Can;

/// <summary>A CAN database (DBC): which messages there are and how their bits make values.</summary>
internal sealed class CanDatabase
{
    /// <summary>The largest file read, bytes.</summary>
    public const int MaxFileBytes = 64 * 1024 * 1024;

    /// <summary>How many problems are kept in full.</summary>
    public const int MaxProblemsKept = 100;

    private CanDatabase(string name, DbcParser parser)
    {
        Name = name;
        Messages = [.. parser.Messages];
        Problems = [.. parser.Problems];
        ProblemCount = parser.ProblemCount;
    }

    /// <summary>The file's name for messages.</summary>
    public string Name { get; }

    /// <summary>The messages in the order of the file, each identifier once.</summary>
    public ImmutableArray<CanMessage> Messages { get; }

    /// <summary>The first things in the file that could not be used, or are odd.</summary>
    public ImmutableArray<ReadingProblem> Problems { get; }

    /// <summary>How many such things there are.</summary>
    public long ProblemCount { get; }

    /// <summary>Reads a database file.</summary>
    /// <exception cref="InputException">It is too large or defines no message.</exception>
    public static async ValueTask<CanDatabase> LoadAsync(LogSource source, CancellationToken cancellationToken)
    {
        using var bytes = new MemoryStream();
        Stream stream = source.Open();
        await using (stream.ConfigureAwait(false))
        {
            byte[] block = new byte[64 * 1024];
            int count;
            while ((count = await stream.ReadAsync(block, cancellationToken).ConfigureAwait(false)) > 0)
            {
                if (bytes.Length + count > MaxFileBytes)
                    throw new InputException(new ReadingProblem(source.Name, 0, 0, "a CAN database of more than 64 MiB is not read"));
                bytes.Write(block, 0, count);
            }
        }
        return Parse(source.Name, bytes.GetBuffer().AsSpan(0, (int)bytes.Length));
    }

    /// <summary>Reads a database from bytes.</summary>
    /// <param name="name">The file's name for messages.</param>
    /// <param name="bytes">The file: UTF-8, or Windows-1252 where it is not valid UTF-8.</param>
    /// <exception cref="InputException">It defines no message.</exception>
    public static CanDatabase Parse(string name, ReadOnlySpan<byte> bytes)
    {
        var parser = new DbcParser(name, DbcEncoding.Decode(bytes));
        parser.Run();
        if (parser.Messages.Count > 0) return new CanDatabase(name, parser);
        const string None = "no message is defined; a CAN database (DBC) has lines such as BO_ 256 Engine: 8 ECU";
        throw new InputException(parser.Problems.Count == 0
            ? new ReadingProblem(name, 0, 0, None).ToString()
            : $"{new ReadingProblem(name, 0, 0, None)}; first problem: {parser.Problems[0]}");
    }
}
