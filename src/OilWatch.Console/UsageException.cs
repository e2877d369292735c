namespace OilWatch.Console;

/// <summary>The program was called in a way that cannot work. Every problem is a sentence for a person.</summary>
internal sealed class UsageException(params IReadOnlyList<string> problems) : Exception(string.Join("; ", problems))
{
    public IReadOnlyList<string> Problems { get; } = problems;
}
