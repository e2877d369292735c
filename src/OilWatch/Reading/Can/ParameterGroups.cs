using System.Collections.Immutable;

namespace OilWatch.Reading.Can;

/// <summary>The parameter groups of SAE J1939-71 that are known without any database, and what it says of any signal.</summary>
internal static class ParameterGroups
{
    /// <summary>The known groups. Source: check-values 3.1 (FOUND; ranges COMPUTED). Bytes there count from 1.</summary>
    public static ImmutableArray<CanMessage> Known { get; } =
    [
        Group(61444, "EEC1", Parameter("Engine speed", 190, firstByte: 4, bits: 16, 0.125, 0, "rpm")),
        Group(65263, "EFL/P1",
            Parameter("Engine oil pressure", 100, firstByte: 4, bits: 8, 4, 0, "kPa"),
            Parameter("Engine crankcase pressure", 101, firstByte: 5, bits: 16, 1 / 128.0, -250, "kPa")),
        Group(65262, "ET1",
            Parameter("Engine coolant temperature", 110, firstByte: 1, bits: 8, 1, -40, "°C"),
            Parameter("Engine oil temperature", 175, firstByte: 3, bits: 16, 1 / 32.0, -273, "°C")),
    ];

    /// <summary>The largest raw number of a signal of a database that is no error or not-available code.</summary>
    /// <remarks>
    /// Unsigned 8, 16 and 32 bits: FE.. error, FF.. not available, by the top byte alone (check-values 0e and 3.1).
    /// Where the database's own range admits such a number, as for counters and checksums, it is a value.
    /// </remarks>
    public static ulong LargestRaw(CanSignal signal)
    {
        SignalLayout layout = signal.Layout;
        if (layout.IsSigned || layout.Form != CanNumberForm.Integer || layout.Bits is not (8 or 16 or 32)) return ulong.MaxValue;
        ulong firstCode = 0xFEUL << (layout.Bits - 8);
        double asValue = (firstCode * signal.Scale) + signal.Offset;
        bool admitted = signal.Maximum > signal.Minimum && signal.Scale > 0 && asValue <= signal.Maximum;
        return admitted ? ulong.MaxValue : firstCode - 1;
    }

    private static CanMessage Group(uint number, string name, params ReadOnlySpan<CanSignal> signals)
    {
        var message = new CanMessage(
            CanId.Extended(number << 8), FormattableString.Invariant($"{name} (SAE J1939 PGN {number})"), CanFrame.ClassicBytes)
        {
            IsParameterGroup = true,
        };
        message.Signals.AddRange(signals);
        return message;
    }

    private static CanSignal Parameter(string name, int number, int firstByte, int bits, double scale, double offset, string unit) =>
        new(FormattableString.Invariant($"{name} (SAE J1939 SPN {number})"), new SignalLayout(8 * (firstByte - 1), bits, motorola: false, signed: false))
        {
            Scale = scale,
            Offset = offset,
            Unit = unit,
            // Transmitted range: 00 to FA by the top byte; FB specific, FC and FD reserved, FE error, FF not available (check-values 3.1).
            LargestRaw = (0xFBUL << (bits - 8)) - 1,
        };
}
