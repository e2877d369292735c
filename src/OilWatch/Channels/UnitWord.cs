namespace OilWatch.Channels;

/// <summary>A unit as it is known here, whatever its spelling.</summary>
/// <param name="Name">Its one name, such as <c>psi</c> or <c>kPa absolute</c>.</param>
/// <param name="Quantity">What it measures.</param>
/// <param name="Scale">Multiply by this ...</param>
/// <param name="Offset">... and add this, to have the quantity's base unit.</param>
/// <param name="Reference">What a pressure is measured from.</param>
internal sealed record UnitWord(
    string Name, Quantity Quantity, double Scale, double Offset = 0, PressureReference Reference = PressureReference.Unsaid);
