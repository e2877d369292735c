namespace OilWatch.Reading.Can;

/// <summary>One message of a CAN database.</summary>
/// <param name="id">Its identifier.</param>
/// <param name="name">Its name.</param>
/// <param name="length">Its length as the database states it, bytes.</param>
internal sealed class CanMessage(CanId id, string name, int length)
{
    /// <summary>Its identifier.</summary>
    public CanId Id { get; } = id;

    /// <summary>Its name.</summary>
    public string Name { get; } = name;

    /// <summary>Its length as the database states it, bytes; frames may be shorter or longer.</summary>
    public int Length { get; } = length;

    /// <summary>A parameter group of SAE J1939: matched by its number, whatever priority, source or destination.</summary>
    public bool IsParameterGroup { get; internal set; }

    /// <summary>Its signals in the order of the database.</summary>
    public List<CanSignal> Signals { get; } = [];
}
