namespace OilWatch.Synthesiser.Scenarios;

/// <summary>Which loads uncover the pickup of a pan.</summary>
[Flags]
public enum Prone
{
    /// <summary>None: well baffled and filled.</summary>
    None = 0,

    /// <summary>Left-hand corners.</summary>
    Left = 1,

    /// <summary>Right-hand corners.</summary>
    Right = 2,

    /// <summary>Braking.</summary>
    Braking = 4,

    /// <summary>Acceleration.</summary>
    Accelerating = 8,
}
