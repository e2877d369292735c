using System.Collections.Immutable;
using OilWatch.Vibration;
using static OilWatch.Results.ResultValue;

namespace OilWatch.Results;

/// <summary>What the summary says of a raw vibration waveform, and of the time in engine-speed bands.</summary>
internal static class WaveContent
{
    public static ResultValue Of(WaveSummary waveform) => Map(
        ("source", ResultValue.Of(waveform.Source)),
        ("format", ResultValue.Of(waveform.FormatName)),
        ("rate_hz", Rounded(waveform.RateHz, 3)),
        ("start_s", Instant(waveform.Start)),
        ("end_s", Instant(waveform.End)),
        ("axes", List(waveform.Axes, Axis)),
        ("problems", List(waveform.Problems, problem => ResultValue.Of(problem.ToString()))));

    public static ResultValue Of(BandTotal band) => Map(
        ("name", ResultValue.Of(band.Name)),
        ("inside_s", Seconds(band.InsideS)),
        ("passes", ResultValue.Of(band.Passes)),
        ("below_s", Seconds(band.BelowS)),
        ("above_s", Seconds(band.AboveS)),
        ("revolutions", Revolutions(band.Revolutions)));

    private static ResultValue Axis(WaveAnalysis axis) => Map(
        ("axis", ResultValue.Of(axis.Axis)),
        ("samples", ResultValue.Of(axis.Samples)),
        ("not_numbers", ResultValue.Of(axis.NotNumbers)),
        ("rms_g", Significant(axis.RmsG)),
        ("velocity_rms_mm_s", Significant(axis.VelocityRmsMmS)),
        ("velocity_to_hz", Rounded(axis.VelocityToHz, 3)),
        ("orders", List(axis.Orders, order => Map(
            ("order", Rounded(order.Order, 1)),
            ("name", ResultValue.Of(order.Name)),
            ("rms_g", Significant(order.RmsG)),
            ("peak_rms_g", Significant(order.PeakRmsG)),
            ("peak_at_rpm", Rpm(order.PeakAtRpm))))),
        ("lines", List(axis.OrderPeaks, line => Map(
            ("order", Rounded(line.Order, 4)),
            ("rms_g", Significant(line.RmsG))))),
        ("resonances", List(axis.Resonances, Resonance)),
        ("bands", List(axis.Bands, band => Map(
            ("name", ResultValue.Of(band.Name)),
            ("rms_g", Significant(band.RmsG))))),
        ("map", LevelMapOf(axis)));

    private static ResultValue Resonance(Resonance resonance) => Map(
        ("frequency_hz", Rounded(resonance.FrequencyHz, 1)),
        ("width_hz", Rounded(resonance.WidthHz, 1)),
        ("excited_by", List(resonance.Crossings, crossing => Map(
            ("order", Rounded(crossing.Order, 1)),
            ("name", ResultValue.Of(crossing.Name)),
            ("at_rpm", Rpm(crossing.AtRpm)),
            ("rms_g", Significant(crossing.RmsG)),
            ("rise", Ratio(crossing.Rise))))));

    /// <summary>For each step of engine speed the level by frequency, as the report draws it.</summary>
    private static ResultValue LevelMapOf(WaveAnalysis axis) => axis.Map.Trace([]) is { } map
        ? Map(
            ("from_rpm", Rpm(map.FromRpm)),
            ("step_rpm", Rpm(map.StepRpm)),
            ("step_hz", Rounded(map.StepHz, 3)),
            ("rms_g", List([.. map.LevelsG.Chunk(map.Rows)], speed => List([.. speed], level => G(level)))))
        : Absent;
}
