namespace OilWatch.Live.Life;

/// <summary>What happened to an alert that the pit knows of, or should.</summary>
public enum LifePhase
{
    /// <summary>It is new.</summary>
    Raised,

    /// <summary>It became graver, or another like it was added to it.</summary>
    Updated,

    /// <summary>It is over; it stays in sight until it is acknowledged.</summary>
    Over,

    /// <summary>It is over and acknowledged: it is gone.</summary>
    Cleared,
}
