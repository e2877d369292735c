namespace OilWatch.Console.Text;

/// <summary>How grave a mark is; colour only adds to its word and shape.</summary>
internal enum Tone
{
    Plain,
    Good,
    Advisory,
    Caution,
    Warning,
}
