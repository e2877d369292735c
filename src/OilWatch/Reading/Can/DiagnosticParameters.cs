using System.Collections.Immutable;

namespace OilWatch.Reading.Can;

/// <summary>A parameter of SAE J1979 mode 01 that is known without any database.</summary>
/// <param name="Pid">Its number.</param>
/// <param name="Name">Its name with its source.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="Bytes">How many bytes it has, 1 or 2, most significant first.</param>
/// <param name="Scale">Multiply the raw number by this ...</param>
/// <param name="Offset">... and add this.</param>
internal sealed record DiagnosticParameter(byte Pid, string Name, string Unit, int Bytes, double Scale, double Offset);

/// <summary>What is known of SAE J1979 mode 01 (ISO 15031-5) and of the CAN ids of ISO 15765-4 that answer it.</summary>
/// <remarks>There is no not-available code: FF is a legal value (check-values 3.2).</remarks>
internal static class DiagnosticParameters
{
    /// <summary>The name of the frames that carry them.</summary>
    public const string Group = "SAE J1979 answers";

    private const byte Answer = 0x41; // mode 01 plus 40

    /// <summary>The known parameters. 0C, 0D, 11 and 5C: check-values 3.2 (FOUND); the others: SAE J1979, from memory.</summary>
    public static ImmutableArray<DiagnosticParameter> Known { get; } =
    [
        Parameter(0x0C, "Engine speed", "rpm", 2, 0.25, 0),
        Parameter(0x0D, "Vehicle speed", "km/h", 1, 1, 0),
        Parameter(0x11, "Throttle position", "%", 1, 100.0 / 255, 0),
        Parameter(0x5C, "Engine oil temperature", "°C", 1, 1, -40),
        Parameter(0x05, "Engine coolant temperature", "°C", 1, 1, -40),
        Parameter(0x0A, "Fuel pressure", "kPa", 1, 3, 0),
        Parameter(0x42, "Control module voltage", "V", 2, 0.001, 0),
    ];

    /// <summary>The parameter of a number, or null.</summary>
    public static DiagnosticParameter? Find(byte pid)
    {
        foreach (DiagnosticParameter parameter in Known) if (parameter.Pid == pid) return parameter;
        return null;
    }

    /// <summary>True for an id that an answer comes on: 7E8 to 7EF, or 18DAF1xx.</summary>
    public static bool IsAnswerId(CanId id) => id.IsExtended
        ? (id.Number & 0x1FFF_FF00) == 0x18DA_F100
        : id.Number is >= 0x7E8 and <= 0x7EF;

    /// <summary>The parameters of an answer in one frame, such as <c>04 41 0C 1A F8</c>, without its length and mode; empty for any other frame.</summary>
    public static ReadOnlySpan<byte> Body(ReadOnlySpan<byte> data)
    {
        if (data.Length < 2 || data[0] is < 3 or > 7 || data[0] >= data.Length || data[1] != Answer) return [];
        return data[2..(data[0] + 1)];
    }

    private static DiagnosticParameter Parameter(byte pid, string name, string unit, int bytes, double scale, double offset) =>
        new(pid, FormattableString.Invariant($"{name} (SAE J1979 PID {pid:X2})"), unit, bytes, scale, offset);
}
