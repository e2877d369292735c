using OilWatch.Channels;
using OilWatch.Frames;

namespace OilWatch.Live.Listening;

/// <summary>How the engine is, once a second of the log's time. Null is "not known", never 0.</summary>
public sealed record EngineHealth
{
    /// <summary>When.</summary>
    public required LogTime At { get; init; }

    /// <summary>The state of the engine in a word.</summary>
    public required EngineState State { get; init; }

    /// <summary>Oil pressure, kPa gauge.</summary>
    public double? OilPressureKpa { get; init; }

    /// <summary>What a healthy oil system shows at this moment, kPa gauge.</summary>
    public double? ExpectedKpa { get; init; }

    /// <summary>The lowest ratio of oil pressure to expected since the last of these.</summary>
    public double? MinRatio { get; init; }

    /// <summary>Oil temperature, °C.</summary>
    public double? OilTemperatureC { get; init; }

    /// <summary>Engine speed, rpm.</summary>
    public double? SpeedRpm { get; init; }

    /// <summary>Sustained lateral acceleration, g; positive in a left-hand corner.</summary>
    public double? LateralG { get; init; }

    /// <summary>Crankcase pressure, kPa gauge; below ambient is negative.</summary>
    public double? CrankcaseKpa { get; init; }

    /// <summary>Vibration level, in the channel's unit.</summary>
    public double? Vibration { get; init; }

    /// <summary>Number of the lap under way.</summary>
    public int? Lap { get; init; }

    /// <summary>Roles whose sensor is not believed at this moment (one bit a role, as in <see cref="EngineFrame.Masked"/>).</summary>
    public uint Masked { get; init; }

    /// <summary>True when the role's sensor is not believed at this moment.</summary>
    public bool IsMasked(Role role) => (Masked & (1u << (int)role)) != 0;
}
