namespace OilWatch.Results;

/// <summary>The answer in one word. Written to files in lower case.</summary>
public enum Verdict
{
    /// <summary>Nothing found in what could be judged.</summary>
    Clear,

    /// <summary>Something was found, or something that matters could not be judged: look before going out again.</summary>
    Watch,

    /// <summary>Do not go out again before it has been looked at.</summary>
    Stop,
}
