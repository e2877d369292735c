namespace OilWatch.Live.Sources;

/// <summary>How a serial CAN adapter is spoken to.</summary>
public sealed record SerialOptions
{
    /// <summary>The defaults.</summary>
    public static SerialOptions Default { get; } = new();

    /// <summary>Speed of the serial line, baud; adapters on USB do not care. Default 115200.</summary>
    public int Baud { get; init; } = 115_200;

    /// <summary>
    /// Sent when the port is open: close, bus speed S6 (500 kbit/s), time stamps on (Z1), listen only (L). Each ends with CR. Empty to send nothing.
    /// </summary>
    /// <remarks>Source of the commands: the SLCAN text protocol as linux/drivers/net/can/slcan speaks it (check-values 4.4); S0 to S8 are 10, 20, 50, 100, 125, 250, 500, 800, 1000 kbit/s.</remarks>
    public string OpenCommands { get; init; } = "\rC\rS6\rZ1\rL\r";

    /// <summary>Sent before the port is closed. Default: close.</summary>
    public string CloseCommands { get; init; } = "C\r";

    /// <summary>Silence that is said aloud. Default 3 s.</summary>
    public TimeSpan SilenceNotice { get; init; } = TimeSpan.FromSeconds(3);

    /// <summary>The commands for a bus speed.</summary>
    /// <param name="kilobits">10, 20, 50, 100, 125, 250, 500, 800 or 1000 kbit/s.</param>
    /// <returns>Null for another speed.</returns>
    public static string? OpenCommandsFor(int kilobits)
    {
        int digit = Array.IndexOf([10, 20, 50, 100, 125, 250, 500, 800, 1000], kilobits);
        return digit < 0 ? null : FormattableString.Invariant($"\rC\rS{digit}\rZ1\rL\r");
    }
}
