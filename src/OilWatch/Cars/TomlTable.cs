namespace OilWatch.Cars;

/// <summary>A table of a TOML document, its keys in the order of the file.</summary>
internal sealed class TomlTable(TomlTable.Origin origin)
{
    private readonly Dictionary<string, TomlEntry> _byKey = new(StringComparer.Ordinal);

    /// <summary>How a table came to be; decides what may still be added to it.</summary>
    public enum Origin
    {
        /// <summary>Named on the way to another, as <c>a</c> by <c>[a.b]</c>.</summary>
        OnTheWay,

        /// <summary>By a header of its own.</summary>
        Header,

        /// <summary>By a dotted key.</summary>
        Dotted,

        /// <summary>Between braces.</summary>
        Inline,
    }

    /// <summary>How it came to be.</summary>
    public Origin From { get; set; } = origin;

    /// <summary>The keys in the order of the file.</summary>
    public List<TomlEntry> Entries { get; } = [];

    /// <summary>The entry of a key, or null.</summary>
    public TomlEntry? this[string key] => _byKey.GetValueOrDefault(key);

    /// <summary>Adds a key that is not there yet.</summary>
    public void Add(TomlEntry entry)
    {
        _byKey.Add(entry.Key, entry);
        Entries.Add(entry);
    }
}
