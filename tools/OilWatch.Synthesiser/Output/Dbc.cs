using System.Globalization;
using System.Text;

namespace OilWatch.Synthesiser.Output;

/// <summary>Writes a layout as a CAN database (DBC).</summary>
public static class Dbc
{
    // A 29-bit identifier is marked by bit 31 in the database's number.
    private const uint ExtendedFlag = 0x8000_0000;

    /// <summary>The database's text, UTF-8.</summary>
    public static string Text(CanLayout layout)
    {
        var text = new StringBuilder("VERSION \"\"\n\nNS_ :\n\nBS_:\n\nBU_: ECU\n\n");
        foreach (CanMessage message in layout.Messages)
        {
            uint id = message.IsExtended ? message.Id | ExtendedFlag : message.Id;
            Append($"BO_ {id} {message.Name}: 8 ECU\n");
            if (message.MuxValues.Count > 0) text.Append(" SG_ Mux M : 0|8@1+ (1,0) [0|255] \"\" Vector__XXX\n");
            foreach (CanSignal s in message.Signals)
            {
                string mux = s.Mux is { } value ? " m" + value.ToString(CultureInfo.InvariantCulture) : "";
                double low = (s.RawMin * s.Factor) + s.Offset, high = (s.RawMax * s.Factor) + s.Offset;
                Append($" SG_ {s.Name}{mux} : {s.StartBit}|{s.Length}@{(s.IsMotorola ? 0 : 1)}{(s.IsSigned ? '-' : '+')} ({s.Factor},{s.Offset}) [{low}|{high}] \"{s.Unit}\" Vector__XXX\n");
            }

            text.Append('\n');
        }

        return text.ToString();

        void Append(FormattableString line) => text.Append(line.ToString(CultureInfo.InvariantCulture));
    }
}
