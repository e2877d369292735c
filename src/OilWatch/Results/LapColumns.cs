using System.Collections.Immutable;
using OilWatch.Laps;
using static OilWatch.Results.ResultValue;

namespace OilWatch.Results;

/// <summary>The columns of <c>laps.csv</c>, and the fields of a lap in the summary.</summary>
internal static class LapColumns
{
    public static ImmutableArray<Column<LapSummary>> All { get; } =
    [
        new("lap", lap => Of(lap.Lap)),
        new("kind", lap => Of(ResultWords.Of(lap.Kind))),
        new("start_s", lap => Instant(lap.Start)),
        new("end_s", lap => Instant(lap.End)),
        new("duration_s", lap => Between(lap.Start, lap.End)),
        new("engine_revolutions", lap => Revolutions(lap.EngineRevolutions)),
        new("peak_rpm", lap => Rpm(lap.PeakRpm)),
        new("peak_lateral_g", lap => G(lap.PeakLateralG)),
        new("oil_pressure_min_kpa", lap => Kpa(lap.OilPressureMinKpa)),
        new("oil_pressure_min_ratio", lap => Ratio(lap.OilPressureMinRatio)),
        new("starvation_events", lap => Of(lap.StarvationEvents)),
        new("starvation_s", lap => Seconds(lap.StarvationS)),
        new("starvation_revolutions", lap => Revolutions(lap.StarvationRevolutions)),
        new("low_pressure_s", lap => Seconds(lap.LowPressureS)),
        new("oil_temperature_max_c", lap => Celsius(lap.OilTemperatureMaxC)),
        new("crankcase_pressure_mean_kpa", lap => Kpa(lap.CrankcasePressureMeanKpa)),
        new("crankcase_pressure_max_kpa", lap => Kpa(lap.CrankcasePressureMaxKpa)),
        new("vibration_max", lap => Significant(lap.VibrationMax)),
        new("band_dwell_s", lap => Seconds(lap.BandDwellS)),
    ];
}
