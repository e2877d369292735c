namespace OilWatch.Cars;

/// <summary>A key of a TOML table with its value and its place.</summary>
/// <param name="Key">The key.</param>
/// <param name="Line">Line of the key, counted from 1.</param>
/// <param name="Column">Column of the key in characters, counted from 1.</param>
/// <param name="Node">The value.</param>
internal sealed record TomlEntry(string Key, int Line, int Column, TomlNode Node)
{
    /// <summary>True for a list that grows by <c>[[headers]]</c>.</summary>
    public bool IsTableList { get; init; }
}
