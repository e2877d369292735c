namespace OilWatch.Vibration;

/// <summary>What the reciprocating masses of a layout leave unbalanced.</summary>
/// <param name="Layout">The layout, such as <c>inline-4, flat-plane</c>.</param>
/// <param name="Cylinders">Number of cylinders.</param>
/// <param name="Crank">Crank plane where it distinguishes layouts of that number of cylinders, or null.</param>
/// <param name="FirstForce">First-order force, in m·r·ω².</param>
/// <param name="FirstCouple">First-order couple, in m·r·ω² times the cylinder pitch.</param>
/// <param name="SecondForce">Second-order force, in m·r·ω².</param>
/// <param name="SecondCouple">Second-order couple, in m·r·ω² times the cylinder pitch.</param>
/// <param name="FourthForce">Fourth-order force, in m·r·ω².</param>
public sealed record InertiaBalance(
    string Layout, int Cylinders, Cars.CrankLayout? Crank, double FirstForce, double FirstCouple, double SecondForce, double SecondCouple, double FourthForce);
