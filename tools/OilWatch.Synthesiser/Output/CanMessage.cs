namespace OilWatch.Synthesiser.Output;

/// <summary>One CAN message.</summary>
/// <param name="Name">Its name in the database.</param>
/// <param name="Id">Identifier.</param>
/// <param name="IsExtended">True for 29 bits.</param>
/// <param name="RateHz">Frames a second; of each multiplexer value where it has one.</param>
/// <param name="PhaseS">Time of its first frame, s.</param>
/// <param name="Signals">Its signals.</param>
public sealed record CanMessage(string Name, uint Id, bool IsExtended, double RateHz, double PhaseS, IReadOnlyList<CanSignal> Signals)
{
    /// <summary>The multiplexer's values, in turn; empty without one. The multiplexer is byte 0.</summary>
    public IReadOnlyList<int> MuxValues { get; } = [.. Signals.Where(s => s.Mux is not null).Select(s => s.Mux ?? 0).Distinct().Order()];

    /// <summary>True for a parameter group of SAE J1939, whose high raw values are codes.</summary>
    public bool IsJ1939 { get; init; }
}
