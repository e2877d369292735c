using System.Globalization;
using CsCheck;
using OilWatch.Reading.Can;
using static OilWatch.Tests.Reading.Can.CanBench;

namespace OilWatch.Tests.Reading.Can;

public class SignalExtractionTests
{
    private const string Seed = "0000KanbUS01";

    // check-values 5 (COMPUTED cantools 39.4.5, exact). Values: raw · scale + offset in double, so the last digit is not the reference's.
    [Theory]
    [InlineData("100#401F2C81FE5F0100", "Rpm 1000, OilP 150, GLat -0.24, OilT 55, Flag 1")]
    [InlineData("100#FFFF00F07FC8AA55", "Rpm 8191.875, OilP 0, GLat 20.47, OilT 160, Flag 0")]
    [InlineData("100#0000FF0F80000000", "Rpm 0, OilP 2047.5, GLat -20.48, OilT -40, Flag 0")]
    [InlineData("101#1F402C8FFE5FA5C3", "Rpm 2000, OilP 356, GLat -0.02, OilT 55, Odd 604")]
    [InlineData("101#80017FF8005A3FC0", "Rpm 8192.25, OilP 1023.5, GLat -20.48, OilT 50, Odd 1020")]
    [InlineData("102#DB0F49C0C0490FDB", "F -3.1415927410125732, Fb -3.1415927410125732")]
    [InlineData("102#0000C03F3FC00000", "F 1.5, Fb 1.5")]
    [InlineData("103#182D4454FB210940", "D 3.141592653589793")]
    [InlineData("104#00881396FF000042", "M 0, OilP 500, OilT -10.6, Always 66")]
    [InlineData("104#0178EC40E2010007", "M 1, CrankP -50, Hours 6172.8, Always 7")]
    public void A_frame_gives_the_published_values(string frame, string expected)
    {
        Heard heard = Read($"(1.000000) can0 {frame}\n", CheckDatabase);

        string[] pairs = expected.Split(", ");
        Assert.Equal(pairs.Length + 1, heard.Lines.Count);
        for (int i = 0; i < pairs.Length; i++)
        {
            string[] said = heard.Lines[i].Split(' '), wanted = pairs[i].Split(' ');
            Assert.Equal(wanted[0], said[1]);
            Assert.Equal(double.Parse(wanted[1], CultureInfo.InvariantCulture), double.Parse(said[2], CultureInfo.InvariantCulture), 1e-12);
        }
        Assert.Equal("0 end", heard.Lines[^1]);
    }

    // check-values 5, rows "encode" (COMPUTED cantools): the bits of these values, and the values of these bits.
    [Theory]
    [InlineData("LE", "Rpm 7250, OilP 421.5, GLat -12.34, OilT 104, Flag 1", "90E24BE3B2900100")]
    [InlineData("BE", "Rpm 7250, OilP 421.5, GLat -12.34, OilT 104, Odd 677", "714834BB2E902A50")]
    [InlineData("MX", "M 1, CrankP -45.12, Hours 123.45, Always 7", "0160EEA509000007")]
    [InlineData("MX", "M 0, OilP 512.3, OilT -12.5, Always 255", "00031483FF0000FF")]
    public void Published_values_and_bytes_belong_together(string message, string values, string hex)
    {
        CanMessage definition = Database(CheckDatabase).Messages.Single(one => string.Equals(one.Name, message, StringComparison.Ordinal));
        byte[] data = new byte[8];
        foreach (string pair in values.Split(", "))
        {
            string[] parts = pair.Split(' ');
            double value = double.Parse(parts[1], CultureInfo.InvariantCulture);
            CanSignal signal = definition.Signals.Single(one => string.Equals(one.Name, parts[0], StringComparison.Ordinal));

            SlowSignal.Encode(signal.Layout, data, SlowSignal.Raw(signal, value));

            double back = (signal.Layout.Number(signal.Layout.Raw(Bytes(hex))) * signal.Scale) + signal.Offset;
            Assert.Equal(value, back, 1e-9);
        }
        Assert.Equal(hex, Convert.ToHexString(data));
    }

    [Fact]
    public void Any_layout_gives_the_bits_that_walking_them_one_by_one_gives()
    {
        Gen.Select(Gen.Int[0, 511], Gen.Int[1, 64], Gen.Bool, Gen.Bool, Gen.Byte.Array[64], Gen.Int[0, 63]).Sample(
            (start, bits, motorola, signed, data, stretch) =>
            {
                var layout = new SignalLayout(start, bits, motorola, signed);
                if (layout.RequiredBytes > 64) return true;
                ReadOnlySpan<byte> frame = data.AsSpan(0, Math.Min(64, layout.RequiredBytes + stretch));
                ulong slow = SlowSignal.Decode(layout, frame);
                bool same = layout.Raw(frame) == slow;
                if (!layout.IsWide) same &= layout.Raw(SignalLayout.FirstEight(frame)) == slow;
                Int128 value = signed && (slow >> (bits - 1)) == 1 ? (Int128)slow - (Int128.One << bits) : slow;
                return same && layout.Number(slow) == (double)value;
            },
            seed: Seed, iter: 20_000);
    }

    [Fact]
    public void What_lies_behind_a_short_frame_does_not_matter()
    {
        var layout = new SignalLayout(7, 16, motorola: true, signed: false);

        Assert.Equal(0x1234u, layout.Raw(0xDEAD_BEEF_0000_3412));
        Assert.Equal(0x1234u, layout.Raw([0x12, 0x34]));
    }

    [Theory]
    [InlineData(0, 0)]
    [InlineData(0, 65)]
    [InlineData(-1, 8)]
    [InlineData(1785 * 8, 8)]
    public void A_layout_outside_any_frame_is_refused(int start, int bits) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => new SignalLayout(start, bits, motorola: false, signed: false));
}
