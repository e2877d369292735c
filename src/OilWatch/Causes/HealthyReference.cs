using System.Collections.Immutable;
using OilWatch.Pressure;
using OilWatch.Results;

namespace OilWatch.Causes;

/// <summary>What the same engine showed in another run, to hold a run's level of pressure against.</summary>
public sealed record HealthyReference
{
    /// <summary>What it is called in sentences: the log's name.</summary>
    public required string Name { get; init; }

    /// <summary>Its healthy curve.</summary>
    public required PressureCurve Curve { get; init; }

    /// <summary>Highest engine speed that it covers, rpm.</summary>
    public required double TopRpm { get; init; }

    /// <summary>What its calm running showed; null where it is not from a run.</summary>
    internal PressureMap? Map { get; init; }

    /// <summary>True when oil temperature was known: only then do two runs compare at equal temperature.</summary>
    public required bool KnowsTemperature { get; init; }

    /// <summary>The reference that a run makes; null when its healthy pressure was not learned or not well enough.</summary>
    /// <param name="result">The results of that run.</param>
    public static HealthyReference? From(SessionResult result)
    {
        ArgumentNullException.ThrowIfNull(result);
        return result.Baseline is { } baseline ? From(result.LogName, baseline) : null;
    }

    /// <inheritdoc cref="From(SessionResult)"/>
    internal static HealthyReference? From(string name, BaselineSummary baseline)
    {
        if (baseline.Confidence is "low" || baseline.Curve.IsDefaultOrEmpty) return null;
        double gain = Value("gain"), power = Value("viscosity_power"), offset = Value("offset");
        double relief = Value("relief"), slope = Value("relief_slope"), knee = Value("knee");
        if (!double.IsFinite(gain + power + offset + relief + slope + knee)) return null;
        return new HealthyReference
        {
            Name = name,
            Curve = new PressureCurve(gain, power, offset, relief, slope, knee) { SlopeFromOpening = Value("slope_from_opening") > 0 },
            TopRpm = baseline.Curve[^1].SpeedRpm,
            KnowsTemperature = power != 0,
            Map = baseline.Map,
        };

        double Value(string key)
        {
            foreach ((string parameter, double value, _) in baseline.Parameters)
                if (string.Equals(parameter, key, StringComparison.Ordinal)) return value;
            return double.NaN;
        }
    }
}
