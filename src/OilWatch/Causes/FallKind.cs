using OilWatch.Frames;

namespace OilWatch.Causes;

/// <summary>Whether a fall for good is that of a relief valve that opens at less, of a pump that delivers less, of froth or of thinner oil: at all speeds and oil temperatures together.</summary>
/// <param name="ValveEvidence">Natural logarithm of how much likelier the readings are with the valve than with the pump; NaN where it is not known.</param>
/// <param name="HoleEvidence">The same with a valve that sticks partly open, a hole that no pressure closes.</param>
/// <param name="FrothEvidence">Natural logarithm of how much likelier they are with froth that grows with engine speed than with the likelier of valve and pump.</param>
/// <param name="ThinEvidence">Natural logarithm of how much likelier they are with thinner oil or larger clearances than with the likeliest of valve, pump and froth.</param>
/// <param name="Relief">Opening pressure of the valve after against before, were it the valve.</param>
/// <param name="Delivery">Delivery of the pump after against before, were it the pump.</param>
internal readonly record struct FallKind(double ValveEvidence, double HoleEvidence, double FrothEvidence, double ThinEvidence, double Relief, double Delivery)
{
    private const double ApartS = 15;                  // a change is dated to a stretch of the run, and may take ten seconds

    /// <summary>How pressure with the relief valve shut went, by engine speed and thickness of the oil.</summary>
    public RampShift Shift { get; init; } = RampShift.Unknown;

    /// <summary>Not known.</summary>
    public static FallKind Unknown { get; } = new(double.NaN, double.NaN, double.NaN, double.NaN, double.NaN, double.NaN);

    /// <summary>Compares the parts of a run before and after an instant.</summary>
    public static FallKind At(PressureMap map, double fellAtS)
    {
        double untilS = fellAtS - ApartS, fromS = fellAtS + ApartS;
        PressureMap.Cell[] before = map.Cells(toS: untilS), after = map.Cells(fromS);
        RampShift shift = RampShift.Between(map.CellsOfAnyLoad(toS: untilS), map.CellsOfAnyLoad(fromS));
        if (ChangeFit.Find(before, after, ChangeFreedom.ValveFails) is not { } valve || ChangeFit.Find(before, after, ChangeFreedom.PumpFails) is not { } pump
            || ChangeFit.Find(before, after, ChangeFreedom.ValveSticks) is not { } hole || ChangeFit.Find(before, after, ChangeFreedom.OilFroths) is not { } froth || ChangeFit.Find(before, after, ChangeFreedom.OilThins) is not { } thin)
        {
            return Unknown with { Shift = shift };
        }
        double either = Math.Min(Math.Min(valve.Loss, hole.Loss), pump.Loss);
        return new FallKind(
            pump.Loss - valve.Loss, pump.Loss - hole.Loss, either - froth.Loss, Math.Min(either, froth.Loss) - thin.Loss, valve.Change(ChangeFit.Relief).Ratio, pump.Change(ChangeFit.Delivery).Ratio)
        {
            Shift = shift,
        };
    }
}
