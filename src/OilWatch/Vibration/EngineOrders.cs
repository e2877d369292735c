using System.Collections.Immutable;
using OilWatch.Cars;

namespace OilWatch.Vibration;

/// <summary>The orders at which an engine shakes, named for its layout.</summary>
/// <remarks>
/// Four-stroke: one cycle is two revolutions, so that what differs from cylinder to cylinder shows at half orders, and an evenly firing engine of N cylinders
/// fires at order N/2. The residual forces of <see cref="Balances"/> are phasor sums of the reciprocating masses with crank radius over rod length 0.28
/// (method: C. F. Taylor, The Internal-Combustion Engine, vol. 2, on engine balance); a test sums them anew.
/// </remarks>
public static class EngineOrders
{
    /// <summary>Lowest order that is measured.</summary>
    public const double Lowest = 0.5;

    /// <summary>Highest order that is measured.</summary>
    public const double Highest = 8;

    /// <summary>Distance between orders that are measured.</summary>
    public const double Step = 0.5;

    /// <summary>How many orders are measured: 0.5 to 8 by halves.</summary>
    public const int Count = 16;

    /// <summary>Residual forces and couples of the common layouts.</summary>
    public static ImmutableArray<InertiaBalance> Balances { get; } =
    [
        new("single", 1, null, 1, 0, 0.2857, 0, 0.0058),
        new("inline-2, 180°", 2, null, 0, 1, 0.5714, 0, 0.0116),
        new("inline-3, 120°", 3, null, 0, 1.7321, 0, 0.4948, 0),
        new("inline-4, flat-plane", 4, CrankLayout.FlatPlane, 0, 0, 1.1428, 0, 0.0232),
        new("inline-4, cross-plane", 4, CrankLayout.CrossPlane, 0, 3.1623, 0, 0, 0.0232),
        new("inline-5", 5, null, 0, 0.4490, 0, 1.4227, 0),
        new("inline-6", 6, null, 0, 0, 0, 0, 0),
        new("V8 90°, cross-plane", 8, CrankLayout.CrossPlane, 0, 3.1623, 0, 0, 0.0329),
        new("V8 90°, flat-plane", 8, CrankLayout.FlatPlane, 0, 0, 1.6161, 0, 0.0329),
        new("V12 60°", 12, null, 0, 0, 0, 0, 0),
    ];

    /// <summary>An order measured, counted from 0.</summary>
    public static double OrderOf(int index) => Lowest + (index * Step);

    /// <summary>Firing order of a four-stroke engine that fires evenly: half the number of cylinders.</summary>
    /// <param name="cylinders">1 to 16.</param>
    public static double FiringOrder(int cylinders) => cylinders / 2.0;

    /// <summary>Frequency of an order at an engine speed, Hz.</summary>
    public static double FrequencyHz(double order, double speedRpm) => order * speedRpm / 60;

    /// <summary>Engine speed at which an order meets a natural frequency, rpm.</summary>
    public static double CriticalRpm(double frequencyHz, double order) => 60 * frequencyHz / order;

    /// <summary>The orders that matter, lowest first.</summary>
    /// <param name="cylinders">1 to 16, or null when not known.</param>
    /// <param name="crank">Crank layout, or null when not known.</param>
    public static ImmutableArray<NamedOrder> Named(int? cylinders, CrankLayout? crank)
    {
        InertiaBalance? balance = BalanceOf(cylinders, crank);
        double? firing = cylinders is >= 1 and <= 16 ? FiringOrder(cylinders.Value) : null;
        var named = new SortedDictionary<double, NamedOrder>
        {
            [0.5] = new(0.5, "half order", "once a cycle: one cylinder burns or seals unlike the others, or the camshaft drive"),
            [1] = new(1, "first order", First(balance)),
            [1.5] = new(1.5, "half order 1½", "cylinders that differ from each other"),
            [2] = new(2, "second order", Second(balance)),
        };
        if (crank == CrankLayout.CrossPlane && cylinders == 8)
        {
            named[1.5] = new(1.5, "bank order 1½", "each bank fires unevenly; strong in the exhaust and the manifolds of this layout by nature");
            named[2.5] = new(2.5, "bank order 2½", "each bank fires unevenly; strong by nature, a rise is uneven cylinders");
        }
        if (firing is { } order)
        {
            string both = named.TryGetValue(order, out NamedOrder? other) ? other.Name + " and firing order" : "firing order";
            named[order] = new(order, both, "the gas torque of all cylinders: load; a rise at the same load is a mount, a damper or a resonance");
            if (2 * order <= Highest) named[2 * order] = new(2 * order, "twice firing order", "harmonic of the gas torque; excites torsion of the crankshaft and of light brackets");
        }
        return [.. named.Values];
    }

    /// <summary>The name of an order, or <c>order 3.5</c> where it has none.</summary>
    public static string NameOf(double order, ImmutableArray<NamedOrder> named)
    {
        foreach (NamedOrder known in named)
            if (Math.Abs(known.Order - order) < 1e-9) return known.Name;
        return FormattableString.Invariant($"order {order}");
    }

    /// <summary>The residual forces of a layout, or null when it is not told well enough.</summary>
    public static InertiaBalance? BalanceOf(int? cylinders, CrankLayout? crank)
    {
        InertiaBalance? found = null;
        foreach (InertiaBalance balance in Balances)
        {
            if (balance.Cylinders != cylinders || (balance.Crank is { } plane && plane != crank)) continue;
            found = balance;
        }
        return found;
    }

    private static string First(InertiaBalance? balance) => balance switch
    {
        null => "once a revolution: imbalance of what turns with the crank (damper, flywheel, clutch)",
        { FirstForce: 0, FirstCouple: 0 } => "this layout has none by nature: imbalance of what turns with the crank (damper, flywheel, clutch)",
        _ => "this layout leaves some by nature; a rise is imbalance of what turns with the crank (damper, flywheel, clutch)",
    };

    private static string Second(InertiaBalance? balance) => balance switch
    {
        null => "twice a revolution: the pistons' second-order force, or misaligned driveline",
        { SecondForce: > 0 } => "the pistons' second-order force, strong in this layout by nature; it loads brackets, pickup tube and mounts",
        { SecondCouple: > 0 } => "the pistons' second-order couple; or misaligned driveline",
        _ => "this layout has none by nature: misaligned driveline, or cylinders that differ",
    };
}
