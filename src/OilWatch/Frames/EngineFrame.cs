using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using OilWatch.Channels;

namespace OilWatch.Frames;

/// <summary>Every role at one instant, in the role's unit. Absent is <see cref="double.NaN"/>, never 0.</summary>
/// <remarks>
/// What flows from the aligner to the detectors. Stages on the way fill what they know: the aligner the roles,
/// the sensor guard <see cref="Masked"/>, the pressure model <see cref="ExpectedKpa"/> and <see cref="SpreadKpa"/>,
/// the lap stage <see cref="LapNumber"/>, <see cref="LapDistanceM"/> and <see cref="CornerIndex"/>.
/// </remarks>
[StructLayout(LayoutKind.Sequential)]
public record struct EngineFrame
{
    /// <summary>The value of <see cref="LapNumber"/> outside any numbered lap.</summary>
    public const int NoLap = int.MinValue;

    private RoleValues _values;

    /// <summary>A frame at an instant with every role absent.</summary>
    public EngineFrame(LogTime at)
    {
        At = at;
        for (int i = 0; i < Roles.Count; i++) _values[i] = double.NaN;
        ExpectedKpa = SurelyExpectedKpa = SpreadKpa = DisbelievedKpa = LapDistanceM = LoadLateralG = LoadLongitudinalG = ExpectedCrankcaseKpa = double.NaN;
        LapNumber = NoLap;
        CornerIndex = -1;
    }

    /// <summary>When.</summary>
    public LogTime At { get; set; }

    /// <summary>Roles whose sensor is not to be believed at this instant (one bit a role); their values are absent.</summary>
    public uint Masked { get; set; }

    /// <summary>Roles whose latest readings look wrong but not yet surely so (one bit a role); their values are kept or absent, and no alert is raised on them.</summary>
    public uint Suspect { get; set; }

    /// <summary>Roles that the log is known to repeat on every record, and whose repeats are no readings (one bit a role).</summary>
    internal uint Held { get; set; }

    /// <summary>Roles whose value stands for several readings that lay apart as those of one moment cannot (one bit a role).</summary>
    internal uint Ragged { get; set; }

    /// <summary>Roles that have a reading of their own at this instant, not one held from before (one bit a role).</summary>
    public uint Fresh { get; set; }

    /// <summary>Lap number as the log counts it, or <see cref="NoLap"/>.</summary>
    public int LapNumber { get; set; }

    /// <summary>Index into the session's corners, or -1 outside any.</summary>
    public int CornerIndex { get; set; }

    /// <summary>Distance since the start line, m, on the scale of the reference lap.</summary>
    public double LapDistanceM { get; set; }

    /// <summary>What a healthy oil system shows at this instant, kPa gauge.</summary>
    public double ExpectedKpa { get; set; }

    /// <summary>The least that was expected in the last moments, kPa gauge: what pressure must show even if it comes late.</summary>
    public double SurelyExpectedKpa { get; set; }

    /// <summary>What this engine's own curve shows at this instant, kPa gauge, where it lies so low that <see cref="ExpectedKpa"/> is the rule of thumb's instead; otherwise NaN.</summary>
    public double DisbelievedKpa { get; set; }

    /// <summary>One standard deviation of <see cref="ExpectedKpa"/>, kPa, &gt; 0.</summary>
    public double SpreadKpa { get; set; }

    /// <summary>What a healthy engine's crankcase shows at this instant, kPa gauge; below ambient is negative. NaN while it is not known.</summary>
    public double ExpectedCrankcaseKpa { get; set; }

    /// <summary>Low-passed lateral acceleration, g: the sustained load, without kerb strikes.</summary>
    public double LoadLateralG { get; set; }

    /// <summary>Low-passed longitudinal acceleration, g.</summary>
    public double LoadLongitudinalG { get; set; }

    /// <summary>The value of a role in its unit, or NaN.</summary>
    public double this[Role role]
    {
        readonly get => _values[(int)role];
        set => _values[(int)role] = value;
    }

    /// <summary>Oil pressure, kPa gauge.</summary>
    public readonly double PressureKpa => _values[(int)Role.OilPressure];

    /// <summary>Oil temperature, °C.</summary>
    public readonly double OilTemperatureC => _values[(int)Role.OilTemperature];

    /// <summary>Engine speed, rpm.</summary>
    public readonly double SpeedRpm => _values[(int)Role.EngineSpeed];

    /// <summary>Lateral acceleration, g; positive in a left-hand corner.</summary>
    public readonly double LateralG => _values[(int)Role.LateralG];

    /// <summary>Longitudinal acceleration, g; negative under braking.</summary>
    public readonly double LongitudinalG => _values[(int)Role.LongitudinalG];

    /// <summary>Crankcase pressure, kPa gauge.</summary>
    public readonly double CrankcaseKpa => _values[(int)Role.CrankcasePressure];

    /// <summary>Vehicle speed, km/h.</summary>
    public readonly double VehicleSpeedKmh => _values[(int)Role.VehicleSpeed];

    /// <summary>Throttle opening, percent.</summary>
    public readonly double ThrottlePercent => _values[(int)Role.Throttle];

    /// <summary>Vibration level, g; mm/s where its channel gives a velocity.</summary>
    public readonly double VibrationLevel => _values[(int)Role.Vibration];

    /// <summary>True where pressure can be judged. Ask this; do not compare with NaN.</summary>
    public readonly bool CanJudgePressure =>
        double.IsFinite(PressureKpa) && double.IsFinite(ExpectedKpa) && SpreadKpa > 0;

    /// <summary>True when the role's sensor is masked at this instant.</summary>
    public readonly bool IsMasked(Role role) => (Masked & (1u << (int)role)) != 0;

    /// <summary>True when the role's latest readings look wrong but not yet surely so.</summary>
    public readonly bool IsSuspect(Role role) => (Suspect & (1u << (int)role)) != 0;

    /// <summary>True when the role has a reading of its own at this instant.</summary>
    public readonly bool IsFresh(Role role) => (Fresh & (1u << (int)role)) != 0;

    [InlineArray(Roles.Count)]
    private struct RoleValues : IEquatable<RoleValues>
    {
        private double _first;

        // The runtime refuses to compare inline arrays by itself.
        public readonly bool Equals(RoleValues other) => ((ReadOnlySpan<double>)this).SequenceEqual(other);

        public override readonly bool Equals(object? obj) => obj is RoleValues other && Equals(other);

        public override readonly int GetHashCode()
        {
            var hash = new HashCode();
            foreach (double value in this) hash.Add(value);
            return hash.ToHashCode();
        }
    }
}
