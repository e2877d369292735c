using System.Globalization;
using System.Text;

namespace OilWatch.Reading.Can;

/// <summary>Counts what error frames report.</summary>
/// <remarks>Source of classes and bits: linux/can/error.h (check-values 4.3).</remarks>
internal sealed class BusFaults
{
    private const uint Controller = 0x4;
    private const byte ReceiveOverflow = 0x01;                                   // data[1] of the controller class

    private static readonly string[] Names =
    [
        "transmit timeout", "arbitration lost", "controller", "protocol violation", "transceiver", "no acknowledgement",
        "bus off", "bus error", "controller restarted", "error counters",
    ];

    private readonly long[] _counts = new long[Names.Length];

    /// <summary>Error frames in all.</summary>
    public long Count { get; private set; }

    /// <summary>The line of the first one.</summary>
    public long FirstRecord { get; private set; }

    /// <summary>Takes note of an error frame.</summary>
    /// <returns>True when it says that received frames were lost.</returns>
    public bool Add(in CanFrame frame, long record)
    {
        if (Count++ == 0) FirstRecord = record;
        for (int i = 0; i < _counts.Length; i++) _counts[i] += (frame.Id.Number >> i) & 1;
        return (frame.Id.Number & Controller) != 0 && frame.Data.Length > 1 && (frame.Data[1] & ReceiveOverflow) != 0;
    }

    /// <summary>In words: <c>3 error frames of the bus (bus off 1, bus error 2)</c>.</summary>
    public string Describe()
    {
        var text = new StringBuilder();
        text.Append(CultureInfo.InvariantCulture, $"{Count} error frame{(Count == 1 ? "" : "s")} from the bus");
        string separator = " (";
        for (int i = 0; i < Names.Length; i++)
        {
            if (_counts[i] == 0) continue;
            text.Append(separator).Append(CultureInfo.InvariantCulture, $"{Names[i]} {_counts[i]}");
            separator = ", ";
        }
        if (separator is ", ") text.Append(')');
        return text.Append("; check wiring, termination and connectors").ToString();
    }
}
