namespace OilWatch.Channels;

/// <summary>A channel chosen for a role, with how to turn its values into the role's unit.</summary>
/// <param name="Role">The role it fills.</param>
/// <param name="Channel">The channel chosen.</param>
/// <param name="Scale">Multiply the logged value by this (sign included) ...</param>
/// <param name="Offset">... and add this, to have the role's unit.</param>
/// <param name="UnitUsed">The unit that the logged values were taken to be in.</param>
/// <param name="Why">One sentence: why this channel, unit and sign.</param>
public sealed record ChannelChoice(
    Role Role, LogChannel Channel, double Scale, double Offset, string UnitUsed, string Why)
{
    /// <summary>The unit that values are in once they are turned: the role's own; mm/s for a vibration level that is a velocity.</summary>
    public string Unit => Units.Find(UnitUsed) is { Quantity: Quantity.VibrationVelocity } ? "mm/s" : Role.Unit();

    /// <summary>The logged value in the role's unit.</summary>
    public double ToRoleUnit(double logged) => (logged * Scale) + Offset;
}
