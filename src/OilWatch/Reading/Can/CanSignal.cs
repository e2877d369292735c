namespace OilWatch.Reading.Can;

/// <summary>One signal of a CAN message, as a CAN database defines it.</summary>
/// <param name="name">Its name.</param>
/// <param name="layout">Where its bits are.</param>
internal sealed class CanSignal(string name, SignalLayout layout)
{
    /// <summary>Its name.</summary>
    public string Name { get; } = name;

    /// <summary>Where its bits are and how they make a number.</summary>
    public SignalLayout Layout { get; internal set; } = layout;

    /// <summary>Multiply the raw number by this ...</summary>
    public double Scale { get; init; } = 1;

    /// <summary>... and add this, to have the value in <see cref="Unit"/>.</summary>
    public double Offset { get; init; }

    /// <summary>The smallest value the database states; equal to <see cref="Maximum"/> where it states no range.</summary>
    public double Minimum { get; init; }

    /// <summary>The largest value the database states.</summary>
    public double Maximum { get; init; }

    /// <summary>Its unit as written, or null.</summary>
    public string? Unit { get; init; }

    /// <summary>True when its value says which other signals a frame carries.</summary>
    public bool IsSwitch { get; init; }

    /// <summary>The signal whose value decides whether a frame carries this one; null when every frame does.</summary>
    public CanSignal? Switch { get; internal set; }

    /// <summary>The values of <see cref="Switch"/> at which a frame carries this signal, both ends included.</summary>
    public (ulong From, ulong To)[] SwitchValues { get; internal set; } = [];

    /// <summary>Its definition contradicts itself: it is left out.</summary>
    public bool IsUnusable { get; internal set; }

    /// <summary>A larger raw number is an error or not-available code of SAE J1939-71, not a value.</summary>
    public ulong LargestRaw { get; internal set; } = ulong.MaxValue;
}
