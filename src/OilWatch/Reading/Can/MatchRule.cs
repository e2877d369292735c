namespace OilWatch.Reading.Can;

/// <summary>Which frames of a log are a message.</summary>
/// <param name="message">The message.</param>
/// <param name="origin">The database it is from, or null for a built-in definition.</param>
internal sealed class MatchRule(CanMessage message, string? origin)
{
    /// <summary>The message.</summary>
    public CanMessage Message { get; } = message;

    /// <summary>The database it is from, or null for a built-in definition.</summary>
    public string? Origin { get; } = origin;

    /// <summary>By the parameter group in the id, not by the whole id.</summary>
    public bool ByGroup { get; set; }

    /// <summary>With <see cref="ByGroup"/>: the only source address taken, or -1 for any.</summary>
    public int Source { get; set; } = -1;

    /// <summary>The only interface taken, or 0 for any.</summary>
    public ulong Interface { get; set; }

    /// <summary>That interface's name, where others carry the message too.</summary>
    public string? InterfaceName { get; set; }

    /// <summary>True when the survey holds a frame of it.</summary>
    public bool IsSeen { get; set; }
}
