using System.Collections.Immutable;
using OilWatch.Alerts;
using OilWatch.Laps;
using static OilWatch.Results.ResultValue;

namespace OilWatch.Results;

/// <summary>The columns of <c>corners.csv</c>.</summary>
internal static class CornerColumns
{
    public static ImmutableArray<Column<CornerPass>> All { get; } =
    [
        new("lap", pass => Of(pass.Lap)),
        new("corner", pass => Of(pass.Corner)),
        new("direction", pass => Of(pass.Direction.Word())),
        new("entry_s", pass => Instant(pass.Entry)),
        new("exit_s", pass => Instant(pass.Exit)),
        new("sustained_s", pass => Seconds(pass.SustainedS)),
        new("peak_lateral_g", pass => G(pass.PeakLateralG)),
        new("mean_lateral_g", pass => G(pass.MeanLateralG)),
        new("mean_rpm", pass => Rpm(pass.MeanRpm)),
        new("oil_temperature_c", pass => Celsius(pass.OilTemperatureC)),
        new("oil_pressure_min_kpa", pass => Kpa(pass.OilPressureMinKpa)),
        new("oil_pressure_min_ratio", pass => Ratio(pass.OilPressureMinRatio)),
        new("time_to_drop_s", pass => Seconds(pass.TimeToDropS)),
        new("starved", pass => Of(pass.Starved)),
    ];
}
