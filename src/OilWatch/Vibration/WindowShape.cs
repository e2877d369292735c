namespace OilWatch.Vibration;

/// <summary>The shape by which a segment of a waveform is weighted before it is transformed.</summary>
public enum WindowShape
{
    /// <summary>No weighting.</summary>
    Rectangular,

    /// <summary>Raised cosine; the usual choice.</summary>
    Hann,

    /// <summary>Raised cosine on a pedestal (0.54, 0.46).</summary>
    Hamming,

    /// <summary>Three terms (0.42, 0.5, 0.08).</summary>
    Blackman,

    /// <summary>Four terms, side lobes 92 dB down.</summary>
    BlackmanHarris,

    /// <summary>Five terms; heights of lines are true to 0.01 dB wherever they fall.</summary>
    FlatTop,
}
