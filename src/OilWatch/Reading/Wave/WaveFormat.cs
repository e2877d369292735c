namespace OilWatch.Reading;

/// <summary>What a WAVE file says of its samples.</summary>
/// <param name="Encoding">Whole numbers or floating point.</param>
/// <param name="Channels">Channels, 1 to 64; their samples alternate.</param>
/// <param name="RateHz">Samples a second of each channel, 1 to 10,000,000.</param>
/// <param name="Bits">Bits of one sample as stored: 8, 16, 24 or 32 (PCM), 32 or 64 (float).</param>
/// <param name="Frames">Samples of each channel that the file promises, or null when it leaves that open.</param>
public sealed record WaveFormat(WaveEncoding Encoding, int Channels, int RateHz, int Bits, long? Frames)
{
    /// <summary>Bytes of one sample of every channel.</summary>
    public int BytesPerFrame => Channels * (Bits / 8);
}
