using System.Globalization;
using OilWatch.Live;
using OilWatch.Live.Sources;

namespace OilWatch.Hosting;

/// <summary>What a host watches, and whom it tells. Bound from configuration by the names of the properties.</summary>
public sealed class OilWatchOptions
{
    /// <summary>
    /// Where the bytes come from: <c>-</c>, <c>tcp:HOST:PORT</c>, <c>serial:DEVICE</c>, <c>can:INTERFACE</c> or <c>play:LOG</c>. Not needed where an <see cref="ILiveSource"/> is registered, which goes before it.
    /// </summary>
    public string? Source { get; set; }

    /// <summary>Path of the car file (TOML); null for none.</summary>
    public string? CarFile { get; set; }

    /// <summary>Paths of CAN databases (DBC), before those of the car file.</summary>
    public IList<string> CanDatabases { get; set; } = [];

    /// <summary>Folder for results, and for the recording and the spool where those have none of their own; null to keep nothing.</summary>
    public string? ResultsFolder { get; set; }

    /// <summary>Keep every byte that comes, in <see cref="ResultsFolder"/>. Default true. A log that is played is there already.</summary>
    public bool Record { get; set; } = true;

    /// <summary>How many times as fast as it was a log is played, 0.1 to 1000, or infinity. Default 1.</summary>
    public double Pace { get; set; } = 1;

    /// <summary>Be done when the other end of a TCP connection closes it, instead of connecting again. Default false.</summary>
    public bool UntilClosed { get; set; }

    /// <summary>Speed of the bus behind a serial adapter, kbit/s. Default 500.</summary>
    public int BusKbit { get; set; } = 500;

    /// <summary>A source that gives nothing for so long makes the health check fail, s, 1 or more. Default 10.</summary>
    public double SilentAfterS { get; set; } = 10;

    /// <summary>Stop the host when the watch is over. Default true; a watch that failed stops it always.</summary>
    public bool StopHostWhenOver { get; set; } = true;

    /// <summary>The broker.</summary>
    public OilWatchMqttOptions Mqtt { get; set; } = new();

    /// <summary>Every problem at once, in the names of the configuration; empty when usable.</summary>
    /// <param name="needsSource">False where a source is registered.</param>
    internal IEnumerable<string> Problems(bool needsSource)
    {
        if (needsSource && string.IsNullOrWhiteSpace(Source))
            yield return "Source: needed: -, tcp:HOST:PORT, serial:DEVICE, can:INTERFACE or play:LOG";
        else if (needsSource && Played is null && LiveSources.Parse(Source!).Problem is { } problem)
            yield return $"Source: {problem}";
        else if (needsSource && Played is { } log && !File.Exists(log))
            yield return $"Source: {log}: there is no such file; check the name";
        if (CarFile is { } car && !File.Exists(car)) yield return $"CarFile: {car}: there is no such file; check the name";
        foreach (string database in CanDatabases.Where(path => !File.Exists(path))) yield return $"CanDatabases: {database}: there is no such file; check the name";
        if (!(Pace is >= 0.1 and <= 1000) && !double.IsPositiveInfinity(Pace)) yield return string.Create(CultureInfo.InvariantCulture, $"Pace = {Pace}: 0.1 to 1000, or Infinity, is allowed");
        if (SerialOptions.OpenCommandsFor(BusKbit) is null) yield return string.Create(CultureInfo.InvariantCulture, $"BusKbit = {BusKbit}: 10, 20, 50, 100, 125, 250, 500, 800 or 1000 is allowed");
        if (SilentAfterS is not (>= 1 and <= 86_400)) yield return string.Create(CultureInfo.InvariantCulture, $"SilentAfterS = {SilentAfterS}: 1 to 86400 is allowed");
        foreach (string mqtt in Mqtt.Problems()) yield return $"Mqtt:{mqtt}";
    }

    /// <summary>The log that is played, or null.</summary>
    internal string? Played => Source is { } source && source.StartsWith(LiveSources.PlayPrefix, StringComparison.Ordinal) ? source[LiveSources.PlayPrefix.Length..] : null;
}
