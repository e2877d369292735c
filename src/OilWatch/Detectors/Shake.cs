namespace OilWatch.Detectors;

/// <summary>Whether something else felt a knock at the same moment: a kerb moves both accelerations, a loose pin only one.</summary>
internal enum Shake
{
    /// <summary>Nothing else felt one, or nothing of the kind matters to the role.</summary>
    None,

    /// <summary>There is no other channel that would have felt it.</summary>
    Unknown,

    /// <summary>The other acceleration leapt at the same moment.</summary>
    Felt,
}
