namespace OilWatch.Mqtt.Linking;

/// <summary>A message on its way.</summary>
/// <param name="Topic">Where to.</param>
/// <param name="Payload">What it says; empty to take a retained message away.</param>
internal sealed record OutgoingMessage(string Topic, byte[] Payload)
{
    /// <summary>True to wait until the broker says that it has it.</summary>
    public bool MustArrive { get; init; } = true;

    /// <summary>True for a message that the broker shows to whoever comes later.</summary>
    public bool Retain { get; init; }

    /// <summary>How long it is good for, s; 0 for ever.</summary>
    public uint ExpiryS { get; init; }

    /// <summary>What kind of text it is; null when it is empty.</summary>
    public string? ContentType { get; init; }

    /// <summary>Which run of the program, and the message's number in it; null where it has none.</summary>
    public (string Run, long? Sequence, string? At)? Mark { get; init; }
}
