namespace OilWatch.Reading;

/// <summary>How a WAVE file writes a sample.</summary>
public enum WaveEncoding
{
    /// <summary>Whole numbers: 8 bits unsigned about 128, more bits signed, little-endian.</summary>
    Pcm,

    /// <summary>IEEE 754 floating point, little-endian.</summary>
    FloatingPoint,
}
