namespace OilWatch.Reading.Can;

/// <summary>One frame, whatever it was read from. Valid only as long as the buffer behind <see cref="Data"/>.</summary>
/// <param name="id">The identifier with its flags.</param>
/// <param name="data">The data bytes: 0 to 8, or up to 64 in an FD frame; none in a remote frame.</param>
internal readonly ref struct CanFrame(CanId id, ReadOnlySpan<byte> data)
{
    /// <summary>The most data bytes of a classic frame.</summary>
    public const int ClassicBytes = 8;

    /// <summary>The most data bytes of any frame.</summary>
    public const int MaxBytes = 64;

    /// <summary>The identifier with its flags.</summary>
    public CanId Id { get; } = id;

    /// <summary>The data bytes.</summary>
    public ReadOnlySpan<byte> Data { get; } = data;
}
