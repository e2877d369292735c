namespace OilWatch.Synthesiser.Truths;

/// <summary>The truth beside a run: what a detector should have said.</summary>
public sealed record Truth
{
    /// <summary>Scenario.</summary>
    public required string Scenario { get; init; }

    /// <summary>Seed.</summary>
    public required ulong Seed { get; init; }

    /// <summary>Length of the log, s.</summary>
    public required double LengthS { get; init; }

    /// <summary>True losses of oil pressure, in order.</summary>
    public required IReadOnlyList<TrueEvent> Events { get; init; }

    /// <summary>Sensor and logger faults, in order.</summary>
    public required IReadOnlyList<TrueFault> Faults { get; init; }

    /// <summary>Lasting problems.</summary>
    public required IReadOnlyList<TrueCondition> Conditions { get; init; }

    /// <summary>Corners of the circuit.</summary>
    public required IReadOnlyList<TrueCorner> Corners { get; init; }

    /// <summary>Laps.</summary>
    public required IReadOnlyList<TrueLap> Laps { get; init; }

    /// <summary>The start line as a gate.</summary>
    public required TrueGate Gate { get; init; }

    /// <summary>What was drawn for circuit, car, engine and pan, by name; the unit is in the name.</summary>
    public required IReadOnlyDictionary<string, double> Parameters { get; init; }
}
