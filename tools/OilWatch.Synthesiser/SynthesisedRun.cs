using OilWatch.Synthesiser.Circuits;
using OilWatch.Synthesiser.Driving;
using OilWatch.Synthesiser.Oil;
using OilWatch.Synthesiser.Scenarios;
using OilWatch.Synthesiser.Sensing;
using OilWatch.Synthesiser.Truths;

namespace OilWatch.Synthesiser;

/// <summary>One synthesised run: what happened, what was logged, and the truth to judge by.</summary>
public sealed record SynthesisedRun
{
    /// <summary>What was asked for.</summary>
    public required SessionPlan Plan { get; init; }

    /// <summary>The scenario.</summary>
    public required Scenario Scenario { get; init; }

    /// <summary>The circuit.</summary>
    public required Circuit Circuit { get; init; }

    /// <summary>The car.</summary>
    public required Car Car { get; init; }

    /// <summary>The oil system.</summary>
    public required OilSetup Oil { get; init; }

    /// <summary>The pan.</summary>
    public required Pan Pan { get; init; }

    /// <summary>What truly happened.</summary>
    public required TrueSeries True { get; init; }

    /// <summary>What was logged, faults included.</summary>
    public required IReadOnlyList<SampledChannel> Channels { get; init; }

    /// <summary>What a detector should have said.</summary>
    public required Truth Truth { get; init; }

    /// <summary>The logged channel of a role, or null.</summary>
    public SampledChannel? Channel(string role) => Channels.FirstOrDefault(channel => string.Equals(channel.Role, role, StringComparison.Ordinal));
}
