using System.Collections.Immutable;

namespace OilWatch.Console.Verbs;

/// <summary>What <c>watch</c> was asked to do.</summary>
internal sealed record WatchSettings
{
    /// <summary>Where the bytes come from: <c>-</c>, <c>tcp:HOST:PORT</c>, <c>serial:DEVICE</c>, <c>can:INTERFACE</c> or <c>play:LOG</c>.</summary>
    public required string Source { get; init; }

    /// <summary>Path of the car file, or null.</summary>
    public string? Car { get; init; }

    /// <summary>The folder for results, or null to show what is found only.</summary>
    public string? Out { get; init; }

    /// <summary>CAN databases named on the command line.</summary>
    public ImmutableArray<string> CanDatabases { get; init; } = [];

    /// <summary>How many times as fast as it was a log is played; infinity for as fast as can be.</summary>
    public double Pace { get; init; } = 1;

    /// <summary>The broker, or null for none.</summary>
    public MqttSettings? Mqtt { get; init; }

    /// <summary>Be done when the other end of a TCP connection closes it.</summary>
    public bool UntilClosed { get; init; }

    /// <summary>Speed of the bus behind a serial adapter, kbit/s.</summary>
    public int BusKbit { get; init; } = 500;

    /// <summary>Keep what comes from the source in the folder for results; a log that is played is there already.</summary>
    public bool Record { get; init; } = true;

    /// <summary>The board, or null for none.</summary>
    public BoardSettings? Board { get; init; }

    /// <summary>How to answer.</summary>
    public AnswerSettings Answer { get; init; } = new();
}
