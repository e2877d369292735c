using OilWatch.Alerts;
using OilWatch.Causes;
using OilWatch.Frames;
using OilWatch.Laps;
using OilWatch.Reading;
using OilWatch.Vibration;

namespace OilWatch.Analysis;

/// <summary>How a log is to be analysed.</summary>
public sealed record AnalysisRequest
{
    /// <summary>Defaults: no car file, no CAN database, whole-run view.</summary>
    public static AnalysisRequest Default { get; } = new();

    /// <summary>The car and every threshold.</summary>
    public AnalysisOptions Options { get; init; } = AnalysisOptions.Default;

    /// <summary>What the readers need beside the log.</summary>
    public ReaderOptions Readers { get; init; } = ReaderOptions.Default;

    /// <summary>What the same engine showed in another run, to hold the level of pressure against; null without one.</summary>
    public HealthyReference? Reference { get; init; }

    /// <summary>A raw vibration waveform recorded beside the log; null without one.</summary>
    public WaveSource? Waveform { get; init; }

    /// <summary>True to judge every instant by what the pit knew then; false to let the healthy model see the whole run.</summary>
    public bool AsLive { get; init; }

    /// <summary>Opens a scratch stream (readable, writable, seekable, gone when disposed) for long logs; null to keep everything in memory.</summary>
    public Func<Stream>? OpenScratch { get; init; }

    /// <summary>Told of each alert as it is raised, becomes more severe and ends, from the analysing thread; null when nobody asks.</summary>
    /// <remarks>After a run the texts in the result may say more: they know how the run went on.</remarks>
    public Action<AlertChange>? Changed { get; init; }

    /// <summary>Told of each lap when it is over, with what was known of it then, from the analysing thread; null when nobody asks.</summary>
    public Action<LapSummary>? LapEnded { get; init; }

    /// <summary>Given every frame once it has been judged, from the analysing thread; null when nobody asks.</summary>
    public Action<EngineFrame>? Judged { get; init; }

    /// <summary>Told the bytes read so far, by one thread at a time; null when nobody asks.</summary>
    public Action<long>? Progress { get; init; }
}
