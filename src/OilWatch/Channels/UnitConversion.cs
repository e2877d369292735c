namespace OilWatch.Channels;

/// <summary>How values in some unit become values in a role's unit: value · <paramref name="Scale"/> + <paramref name="Offset"/>.</summary>
/// <param name="Unit">The unit's one name here, such as <c>psi</c>, <c>kPa absolute</c> or <c>inHg vacuum</c>.</param>
/// <param name="Scale">Role units per unit; negative for a vacuum.</param>
/// <param name="Offset">Role units to add after scaling.</param>
public readonly record struct UnitConversion(string Unit, double Scale, double Offset)
{
    /// <summary>A value in the role's unit.</summary>
    public double ToRoleUnit(double value) => (value * Scale) + Offset;

    /// <summary>A value in this unit.</summary>
    public double FromRoleUnit(double value) => (value - Offset) / Scale;
}
