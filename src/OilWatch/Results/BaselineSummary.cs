using System.Collections.Immutable;
using OilWatch.Causes;

namespace OilWatch.Results;

/// <summary>Which healthy-pressure model the run was judged against and how good it is.</summary>
public sealed record BaselineSummary
{
    /// <summary>Where it comes from: <c>this-run</c>, <c>learned</c>, <c>learned-as-it-ran</c> or <c>rule-of-thumb</c>.</summary>
    public required string Origin { get; init; }

    /// <summary>How far it can be trusted: <c>good</c>, <c>fair</c> or <c>low</c>.</summary>
    public required string Confidence { get; init; }

    /// <summary>Parameters: name, value and unit, in a fixed order.</summary>
    public ImmutableArray<(string Name, double Value, string Unit)> Parameters { get; init; } = [];

    /// <summary>One standard deviation of healthy frames about the model, kPa, or null for the rule of thumb.</summary>
    public double? FitErrorKpa { get; init; }

    /// <summary>The same as a ratio of expected pressure.</summary>
    public double? FitErrorRatio { get; init; }

    /// <summary>Seconds of calm running behind the fit.</summary>
    public double? CalmS { get; init; }

    /// <summary>Sentences for people: what was missing, what was assumed.</summary>
    public ImmutableArray<string> Notes { get; init; } = [];

    /// <summary>The healthy curve at the run's median oil temperature: engine speed rpm, pressure kPa.</summary>
    public ImmutableArray<(double SpeedRpm, double PressureKpa)> Curve { get; init; } = [];

    /// <summary>What calm running showed; null where it is not from a run.</summary>
    internal PressureMap? Map { get; init; }
}
