using OilWatch.Frames;

namespace OilWatch.Causes;

/// <summary>Whether a fall for good is that of a relief valve that opens at less or of a pump that delivers less: at all speeds and oil temperatures together.</summary>
/// <param name="ValveEvidence">Natural logarithm of how much likelier the readings are with the valve than with the pump; NaN where it is not known.</param>
/// <param name="Relief">Opening pressure of the valve after against before, were it the valve.</param>
/// <param name="Delivery">Delivery of the pump after against before, were it the pump.</param>
internal readonly record struct FallKind(double ValveEvidence, double Relief, double Delivery)
{
    private const double ApartS = 15;                  // a change is dated to a stretch of the run, and may take ten seconds

    /// <summary>Not known.</summary>
    public static FallKind Unknown { get; } = new(double.NaN, double.NaN, double.NaN);

    /// <summary>Compares the parts of a run before and after an instant.</summary>
    public static FallKind At(PressureMap map, double fellAtS)
    {
        PressureMap.Cell[] before = map.Cells(double.NegativeInfinity, fellAtS - ApartS), after = map.Cells(fellAtS + ApartS, double.PositiveInfinity);
        return ChangeFit.Find(before, after, ChangeFreedom.ValveFails) is { } valve && ChangeFit.Find(before, after, ChangeFreedom.PumpFails) is { } pump
            ? new FallKind(pump.Loss - valve.Loss, valve.Change(ChangeFit.Relief).Ratio, pump.Change(ChangeFit.Delivery).Ratio)
            : Unknown;
    }
}
