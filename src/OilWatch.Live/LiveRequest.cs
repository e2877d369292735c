using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Laps;
using OilWatch.Reading;

namespace OilWatch.Live;

/// <summary>How a stream is to be watched, and who is told.</summary>
/// <remarks>
/// Whoever is told is called from the analysing thread or the source's and must return at once: hand on to a queue what takes longer, such as printing.
/// </remarks>
public sealed record LiveRequest
{
    /// <summary>Defaults: no car file, no CAN database, nobody told.</summary>
    public static LiveRequest Default { get; } = new();

    /// <summary>The car and every threshold.</summary>
    public AnalysisOptions Options { get; init; } = AnalysisOptions.Default;

    /// <summary>What the readers need beside the stream.</summary>
    public ReaderOptions Readers { get; init; } = ReaderOptions.Default;

    /// <summary>Bytes kept between the source and the analysis, 1 MiB to 1 GiB. Default 16 MiB: some 40 s of a full 500 kbit/s bus.</summary>
    /// <remarks>When the analysis falls so far behind, a source that can wait is made to, for two seconds at most; then the oldest bytes are dropped, with a notice.</remarks>
    public int BufferBytes { get; init; } = 16 * 1024 * 1024;

    /// <summary>Told of each alert as it is raised, becomes more severe and ends; null when nobody asks.</summary>
    public Action<AlertChange>? Changed { get; init; }

    /// <summary>Told what happens to source, buffers and recording; null when nobody asks.</summary>
    public Action<LiveNotice>? Said { get; init; }

    /// <summary>Told once what the stream is and which channel plays which role; null when nobody asks.</summary>
    public Action<ILogReader, ChannelPlan>? Planned { get; init; }

    /// <summary>Told the log's time as it goes on, at most ten times a second of it; null when nobody asks.</summary>
    public Action<LogTime>? Ticked { get; init; }

    /// <summary>Told of each lap when it is over; null when nobody asks.</summary>
    public Action<LapSummary>? LapEnded { get; init; }

    /// <summary>Given every frame once it has been judged; null when nobody asks.</summary>
    public Action<EngineFrame>? Judged { get; init; }

    /// <summary>Takes every byte that comes, before it is judged, such as a recording; null when nobody does. Must not block.</summary>
    public ILiveTap? Tap { get; init; }

    /// <summary>Counts what goes through; null when nobody asks.</summary>
    public LiveCounts? Counts { get; init; }

    /// <summary>Paces a rehearsal; nothing else. The system's clock by default.</summary>
    public TimeProvider Time { get; init; } = TimeProvider.System;
}
