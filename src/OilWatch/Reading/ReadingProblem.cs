namespace OilWatch.Reading;

/// <summary>Something in an input that could not be used.</summary>
/// <param name="File">The file's name.</param>
/// <param name="Line">Line number counted from 1, or 0 when the problem is not of one line.</param>
/// <param name="Column">Column (character or byte) counted from 1, or 0.</param>
/// <param name="Text">What was wrong and what would be right.</param>
public readonly record struct ReadingProblem(string File, long Line, int Column, string Text)
{
    /// <summary><c>file:line:column: text</c>.</summary>
    public override string ToString() => (Line, Column) switch
    {
        (0, _) => $"{File}: {Text}",
        (_, 0) => FormattableString.Invariant($"{File}:{Line}: {Text}"),
        _ => FormattableString.Invariant($"{File}:{Line}:{Column}: {Text}"),
    };
}
