using System.Collections.Immutable;
using OilWatch.Channels;

namespace OilWatch.Alerts;

/// <summary>One alert, as it stands: raised and perhaps still lasting, or over.</summary>
/// <remarks>Numbers that do not apply are null, never 0. Pressures kPa gauge, acceleration g, engine speed rpm, temperature °C.</remarks>
public sealed record Alert
{
    /// <summary>What it is about.</summary>
    public required AlertKind Kind { get; init; }

    /// <summary>How much it matters; the worst it reached so far.</summary>
    public required Severity Severity { get; init; }

    /// <summary>When it began.</summary>
    public required LogTime Start { get; init; }

    /// <summary>When the alert would have reached the pit; never earlier than the data allowed.</summary>
    public required LogTime Raised { get; init; }

    /// <summary>When it was over; the last instant known while it lasts.</summary>
    public required LogTime End { get; init; }

    /// <summary>How it ended.</summary>
    public EventEnd Ending { get; init; } = EventEnd.Recovered;

    /// <summary>When it reached <see cref="Severity"/>, where that was later than <see cref="Raised"/>; otherwise null.</summary>
    public LogTime? Escalated { get; init; }

    /// <summary>Lap number as the log counts it, or null.</summary>
    public int? Lap { get; init; }

    /// <summary>Corner label such as <c>C3L</c>, or null.</summary>
    public string? Corner { get; init; }

    /// <summary>The role it is about.</summary>
    public required Role Channel { get; init; }

    /// <summary>Worst oil pressure, kPa gauge; for a crankcase its pressure at the worst moment.</summary>
    public double? MinKpa { get; init; }

    /// <summary>What a healthy system shows at that moment, kPa gauge.</summary>
    public double? ExpectedKpa { get; init; }

    /// <summary>The worst ratio of pressure to expected pressure.</summary>
    public double? MinRatio { get; init; }

    /// <summary>Time below, s.</summary>
    public double? DurationS { get; init; }

    /// <summary>Pressure deficit integrated over the time below, kPa·s.</summary>
    public double? DeficitKpaS { get; init; }

    /// <summary>Crank revolutions turned in the time below.</summary>
    public double? Revolutions { get; init; }

    /// <summary>Largest sustained lateral acceleration from the load's start to the event's end, g, as a magnitude.</summary>
    public double? PeakLateralG { get; init; }

    /// <summary>Which way the load acted.</summary>
    public LoadDirection Direction { get; init; }

    /// <summary>Seconds of sustained load before the drop.</summary>
    public double? LoadBeforeS { get; init; }

    /// <summary>The load along the other axis that acted at the drop's start: which of the two it answers to, only the run as a whole can tell.</summary>
    internal LoadDirection OtherDirection { get; init; }

    /// <summary>Seconds of that load before the drop.</summary>
    internal double OtherLoadS { get; init; }

    /// <summary>Engine speed at the worst moment, rpm.</summary>
    public double? RpmAtMin { get; init; }

    /// <summary>Oil temperature at the worst moment, °C.</summary>
    public double? OilTemperatureC { get; init; }

    /// <summary>The kind of sensor fault (<c>dropout</c>, <c>rail</c>, <c>stuck</c>, <c>spikes</c>, <c>slew</c>, <c>offset</c>, <c>steps</c>, <c>time</c>), what is wrong with the
    /// crankcase (<c>vacuum-lost</c>, <c>blow-by</c>, <c>too-deep</c>) or the oil's temperature (<c>hot</c>, <c>cold</c>), or the name of the band; null otherwise.</summary>
    public string? Detail { get; init; }

    /// <summary>The likely cause in the trade's words.</summary>
    public string? Reading { get; init; }

    /// <summary>Short sentences that carry the numbers behind <see cref="Reading"/>.</summary>
    public ImmutableArray<string> Evidence { get; init; } = [];

    /// <summary>What an engine builder would look at because of it, most telling first.</summary>
    public ImmutableArray<string> Inspect { get; init; } = [];

    /// <summary>One sentence for a person under stress.</summary>
    public string Message { get; init; } = "";
}
