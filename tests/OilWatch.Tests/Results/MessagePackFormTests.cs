using System.Buffers;
using OilWatch.Results;

namespace OilWatch.Tests.Results;

public sealed class MessagePackFormTests
{
    // check-values 16: FOUND msgpack-test-suite e04f6ed and COMPUTED msgpack-python 1.0.3.
    public static TheoryData<string, string> Vectors => new()
    {
        { "nil", "c0" }, { "false", "c2" }, { "true", "c3" },
        { "127", "7f" }, { "128", "cc80" }, { "256", "cd0100" }, { "65536", "ce00010000" }, { "4294967296", "cf0000000100000000" },
        { "-32", "e0" }, { "-33", "d0df" }, { "-129", "d1ff7f" }, { "-32769", "d2ffff7fff" }, { "-2147483649", "d3ffffffff7fffffff" },
        { "", "a0" }, { "a", "a161" },
        { new string('b', 31), "bf" + string.Concat(Enumerable.Repeat("62", 31)) },
        { new string('b', 32), "d920" + string.Concat(Enumerable.Repeat("62", 32)) },
    };

    [Theory]
    [MemberData(nameof(Vectors))]
    public void Single_values_are_the_bytes_of_the_specification(string value, string hex) => Assert.Equal(hex, Hex(value switch
    {
        "nil" => ResultValue.Absent,
        "false" => ResultValue.Of(false),
        "true" => ResultValue.Of(true),
        _ when long.TryParse(value, out long number) => ResultValue.Of(number),
        _ => ResultValue.Of(value),
    }));

    [Fact]
    public void A_measurement_is_a_64_bit_float_even_when_it_is_whole()
    {
        Assert.Equal("cb3ff8000000000000", Hex(ResultValue.Rounded(1.5, 2)));     // check-values 16
        Assert.Equal("cb4000000000000000", Hex(ResultValue.Rounded(2, 2)));
    }

    [Fact]
    public void Lists_and_maps_are_the_bytes_of_the_specification()
    {
        Assert.Equal("93010203", Hex(ResultValue.List<long>([1, 2, 3], number => ResultValue.Of(number))));
        Assert.Equal(
            "82a7636f6d70616374c3a6736368656d6100",
            Hex(ResultValue.Map(("compact", ResultValue.Of(true)), ("schema", ResultValue.Of(0)))));
    }

    private static string Hex(ResultValue value)
    {
        var buffer = new ArrayBufferWriter<byte>();
        MessagePackForm.Write(value, buffer);
        return Convert.ToHexStringLower(buffer.WrittenSpan);
    }
}
