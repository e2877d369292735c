namespace OilWatch.Synthesiser.Circuits;

/// <summary>One bend of a circuit: a clothoid in, an arc, a clothoid out.</summary>
/// <param name="FromM">Where it begins, m after the line.</param>
/// <param name="ToM">Where it ends, m after the line.</param>
/// <param name="TurnRad">Angle turned, rad, positive to the left.</param>
/// <param name="RadiusM">Radius of its arc, m.</param>
/// <param name="GripShare">Share of the car's grip that is used in it: camber, surface and courage; 0.8 to 1.</param>
public sealed record Bend(double FromM, double ToM, double TurnRad, double RadiusM, double GripShare);
