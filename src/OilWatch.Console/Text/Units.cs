namespace OilWatch.Console.Text;

/// <summary>The units that people are shown.</summary>
internal enum Units
{
    /// <summary>kPa, °C.</summary>
    Si,

    /// <summary>psi, °F.</summary>
    Us,
}
