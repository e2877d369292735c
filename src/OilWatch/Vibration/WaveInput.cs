using System.Collections.Immutable;
using OilWatch.Reading;

namespace OilWatch.Vibration;

/// <summary>The samples of a waveform, pulled a block at a time, whatever file they come from.</summary>
internal abstract class WaveInput : IDisposable
{
    private const double SlowestHz = 100;
    private const int HeadBytes = 12;

    /// <summary>The file's name.</summary>
    public required string Name { get; init; }

    /// <summary>What kind of file it is, in words.</summary>
    public abstract string FormatName { get; }

    /// <summary>How its samples are stored, in words.</summary>
    public abstract string Stored { get; }

    /// <summary>Axes: samples of each come in turn.</summary>
    public abstract int Axes { get; }

    /// <summary>Samples a second of each axis.</summary>
    public abstract double RateHz { get; }

    /// <summary>Log time of the first sample.</summary>
    public LogTime Start { get; init; }

    /// <summary>What was odd but could be read, as known so far.</summary>
    public abstract ImmutableArray<ReadingProblem> Problems { get; }

    /// <summary>Reads the next samples; how many of each axis, 0 at the end.</summary>
    /// <exception cref="InputException">The stream failed.</exception>
    public abstract int Read(Span<float> interleaved);

    public void Dispose()
    {
        Dispose(true);
        GC.SuppressFinalize(this);
    }

    /// <summary>Opens a waveform.</summary>
    /// <param name="source">Which.</param>
    /// <param name="openScratch">Opens a scratch stream for the samples of a table; null to keep them in memory.</param>
    /// <param name="cancellationToken">Stops the reading of a table.</param>
    /// <exception cref="InputException">It cannot be read or holds no waveform; the message says why and what would be right.</exception>
    public static async ValueTask<WaveInput> OpenAsync(WaveSource source, Func<Stream>? openScratch, CancellationToken cancellationToken)
    {
        WaveInput input = IsWave(source.File)
            ? WaveFileInput.Open(source)
            : await WaveTableInput.ReadTableAsync(source, openScratch, cancellationToken).ConfigureAwait(false);
        if (input.RateHz >= SlowestHz) return input;
        input.Dispose();
        throw new InputException(
            FormattableString.Invariant($"{source.File.Name}: {input.RateHz:0.###} samples a second are no waveform; at least 100 are needed, and slower vibration belongs into the log as a level"));
    }

    protected abstract void Dispose(bool disposing);

    /// <summary>By its first bytes, or by its name: a broken WAVE file is told as such, not as an odd table.</summary>
    private static bool IsWave(LogSource file)
    {
        string name = file.Name.EndsWith(".gz", StringComparison.OrdinalIgnoreCase) ? file.Name[..^3] : file.Name;
        if (name.EndsWith(".wav", StringComparison.OrdinalIgnoreCase)) return true;
        using Stream stream = LogBytes.Decoded(file).Open();
        ReadOnlySpan<byte> head = LogBytes.Head(stream, HeadBytes);
        return head.Length == HeadBytes && head[8..].SequenceEqual("WAVE"u8);
    }
}
