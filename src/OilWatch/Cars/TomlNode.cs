namespace OilWatch.Cars;

/// <summary>A value of a TOML document with its place.</summary>
/// <param name="Line">Line, counted from 1.</param>
/// <param name="Column">Column in characters, counted from 1.</param>
/// <param name="Value">
/// A <see cref="string"/>, <see cref="long"/>, <see cref="double"/>, <see cref="bool"/>, <see cref="TomlTable"/>,
/// a list of nodes for an array, or null for what a car file has no use for (dates and times).
/// </param>
internal sealed record TomlNode(int Line, int Column, object? Value)
{
    /// <summary>What it is, for people.</summary>
    public string Kind => Value switch
    {
        string => "a text",
        long or double => "a number",
        bool => "true or false",
        TomlTable => "a section",
        List<TomlNode> => "a list",
        _ => "a date or time",
    };
}
