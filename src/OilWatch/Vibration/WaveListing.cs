using System.Collections.Immutable;
using OilWatch.Reading;

namespace OilWatch.Vibration;

/// <summary>What is in a raw waveform beside a log, before anything is judged.</summary>
public sealed record WaveListing
{
    private const int BlockSamples = 4096;

    /// <summary>The file's name, without its folder.</summary>
    public required string Source { get; init; }

    /// <summary>What kind of file it is: <c>WAVE</c> or <c>table</c>.</summary>
    public required string FormatName { get; init; }

    /// <summary>How its samples are stored, in words.</summary>
    public required string Stored { get; init; }

    /// <summary>Samples a second of each axis.</summary>
    public required double RateHz { get; init; }

    /// <summary>Samples of each axis.</summary>
    public required long Samples { get; init; }

    /// <summary>Log time of the first sample.</summary>
    public required LogTime Start { get; init; }

    /// <summary>Log time at which it is over.</summary>
    public LogTime End => Start.AddSeconds(LengthS);

    /// <summary>Its length, s.</summary>
    public double LengthS => Samples / RateHz;

    /// <summary>Lowest and highest sample of each axis, g; NaN where it has none.</summary>
    public required ImmutableArray<(double Min, double Max)> RangeG { get; init; }

    /// <summary>What was odd but could be read.</summary>
    public ImmutableArray<ReadingProblem> Problems { get; init; } = [];

    /// <summary>Reads a waveform once, from beginning to end, in memory that does not depend on its length.</summary>
    /// <param name="source">Which.</param>
    /// <param name="openScratch">Opens a scratch stream for the samples of a table; null to keep them in memory.</param>
    /// <param name="cancellationToken">Looked at once a block.</param>
    /// <exception cref="InputException">It cannot be read or holds no waveform; the message says why and what would be right.</exception>
    public static async ValueTask<WaveListing> ReadAsync(WaveSource source, Func<Stream>? openScratch = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(source);
        using WaveInput input = await WaveInput.OpenAsync(source, openScratch, cancellationToken).ConfigureAwait(false);
        var block = new float[BlockSamples * input.Axes];
        var range = new (double Min, double Max)[input.Axes];
        Array.Fill(range, (double.NaN, double.NaN));
        long samples = 0;
        while (input.Read(block) is > 0 and int read)
        {
            cancellationToken.ThrowIfCancellationRequested();
            samples += read;
            for (int i = 0; i < read * input.Axes; i++)
            {
                double value = block[i];
                if (!double.IsFinite(value)) continue;
                ref (double Min, double Max) axis = ref range[i % input.Axes];
                if (!(value >= axis.Min)) axis.Min = value;
                if (!(value <= axis.Max)) axis.Max = value;
            }
        }
        return new WaveListing
        {
            Source = input.Name,
            FormatName = input.FormatName,
            Stored = input.Stored,
            RateHz = input.RateHz,
            Samples = samples,
            Start = input.Start,
            RangeG = [.. range],
            Problems = input.Problems,
        };
    }
}
