using OilWatch.Reading;

namespace OilWatch.Vibration;

/// <summary>A raw vibration waveform recorded beside a log: RIFF WAVE, or a table of samples with their times; gzip is unpacked.</summary>
/// <remarks>The core opens no files itself: the host says how.</remarks>
/// <param name="File">Where its bytes come from.</param>
public sealed record WaveSource(LogSource File)
{
    /// <summary>g at full scale of a WAVE file (1.0 in a float file, 32768 in one of 16 bits), or g for each unit of a table. Finite, not 0; null: 1 g, or what the table's unit says.</summary>
    public double? Scale { get; init; }

    /// <summary>Log time of the first sample, s; null: 0 for a WAVE file, the table's own times for a table.</summary>
    public double? StartS { get; init; }

    /// <summary>The unit of a table's columns where its header does not say, such as <c>m/s²</c>; null: g.</summary>
    public string? Unit { get; init; }
}
