using System.Runtime.CompilerServices;
using OilWatch.Alerts;

namespace OilWatch.Detectors;

/// <summary>The few fault changes that one frame can bring, without allocating.</summary>
internal struct FaultChanges
{
    private const int Capacity = 96;
    private Slots _slots;

    /// <summary>How many.</summary>
    public int Count { get; private set; }

    public readonly SensorFault this[int index] => _slots[index];

    public void Add(SensorFault fault)
    {
        if (Count < Capacity) _slots[Count++] = fault;     // seventeen roles, five changes each at most: cannot fill up
    }

    public void Clear() => Count = 0;

    [InlineArray(Capacity)]
    private struct Slots
    {
        private SensorFault _first;
    }
}
