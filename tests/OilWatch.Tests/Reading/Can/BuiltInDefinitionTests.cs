using OilWatch.Reading;
using static OilWatch.Tests.Reading.Can.CanBench;

namespace OilWatch.Tests.Reading.Can;

public class BuiltInDefinitionTests
{
    private const string Rpm = "Engine speed (SAE J1939 SPN 190)";
    private const string Oil = "Engine oil pressure (SAE J1939 SPN 100)";
    private const string Crankcase = "Engine crankcase pressure (SAE J1939 SPN 101)";
    private const string OilTemperature = "Engine oil temperature (SAE J1939 SPN 175)";
    private const string Coolant = "Engine coolant temperature (SAE J1939 SPN 110)";

    // check-values 3.1: definitions FOUND, values COMPUTED cantools. Every scale is a power of two, so values are exact.
    [Theory]
    [InlineData("0CF00400#FFFFFF6813FFFFFF", Rpm, 621.0)]
    [InlineData("0CF00400#FFFFFFFFFAFFFFFF", Rpm, 8031.875)]
    [InlineData("0CF00400#000000000000", Rpm, 0)]
    [InlineData("18FEEF00#FFFFFF4B0078FFFF", Oil, 300)]
    [InlineData("18FEEF00#FFFFFF4B0078FFFF", Crankcase, -10)]
    [InlineData("18FEEF00#FFFFFF00006AFFFF", Oil, 0)]
    [InlineData("18FEEF00#FFFFFF00006AFFFF", Crankcase, -38)]
    [InlineData("18FEEE00#82FF402FFFFFFFFF", Coolant, 90)]
    [InlineData("18FEEE00#82FF402FFFFFFFFF", OilTemperature, 105)]
    // check-values 3.1, row "encode" (COMPUTED): 7250 rpm is E290, -12 kPa is 7700, 120 °C is 3120.
    [InlineData("0CF00400#FFFFFF90E2FFFFFF", Rpm, 7250)]
    [InlineData("18FEEF00#FFFFFFFF0077FFFF", Crankcase, -12)]
    [InlineData("18FEEE00#FFFF2031FFFFFFFF", OilTemperature, 120)]
    // SPN 190 at 0.125 rpm a bit. Frame and value: cantools issue #551 (another decoder).
    [InlineData("0CF00400#F07D859B0FFFFF85", Rpm, 499.375)]
    public void A_parameter_has_its_published_value(string frame, string channel, double expected) =>
        Assert.Equal([expected], Read($"(1.0) can0 {frame}\n").Values[channel]);

    // check-values 0e and 3.1: error is any FE.., not available any FF..; FB specific and FC, FD reserved (MEMORY) are no values either.
    [Theory]
    [InlineData("18FEEF00#FFFFFFFFFFFFFFFF", Oil)]
    [InlineData("18FEEF00#FFFFFFFFFFFFFFFF", Crankcase)]
    [InlineData("18FEEF00#FFFFFFFE00FEFFFF", Oil)]
    [InlineData("18FEEF00#FFFFFFFE00FEFFFF", Crankcase)]
    [InlineData("18FEEF00#FFFFFFFB34FFFFFF", Crankcase)]
    [InlineData("0CF00400#FFFFFF12FEFFFFFF", Rpm)]
    [InlineData("0CF00400#FFFFFF00FBFFFFFF", Rpm)]
    [InlineData("18FEEE00#FBFF00FDFFFFFFFF", Coolant)]
    [InlineData("18FEEE00#FBFF00FDFFFFFFFF", OilTemperature)]
    public void An_error_or_not_available_code_is_no_value(string frame, string channel) =>
        Assert.Equal([double.NaN], Read($"(1.0) can0 {frame}\n").Values[channel]);

    [Fact]
    public void A_parameter_group_is_known_whatever_its_priority_and_source()
    {
        Assert.Equal([621.0], Read("(1.0) can0 18F00427#FFFFFF6813FFFFFF\n").Values[Rpm]);
        Assert.Equal([621.0], Read("(1.0) can0 00F004FE#FFFFFF6813FFFFFF\n").Values[Rpm]);
    }

    [Fact]
    public void Of_several_senders_of_a_group_the_most_frequent_is_used_and_said()
    {
        ILogReader reader = Open("(1.0) can0 0CF00400#FFFFFF6813FFFFFF\n(1.1) can0 0CF00403#FFFFFF0010FFFFFF\n(1.2) can0 0CF00400#FFFFFF6813FFFFFF\n");

        Assert.Equal([621.0, 621.0], Read(reader).Values[Rpm]);
        Assert.Equal("EEC1 (SAE J1939 PGN 61444) comes from 2 source addresses; 00 is used, which sends the most of them.", reader.Assumptions[^1]);
    }

    // check-values 3.2 (FOUND, two tables). No not-available code: FF is a value.
    [Theory]
    [InlineData("7E8#04410C1AF8", "Engine speed (SAE J1979 PID 0C)", 1726.0)]
    [InlineData("7E8#04410C7148", "Engine speed (SAE J1979 PID 0C)", 7250.0)]
    [InlineData("7E8#04410CFFFF", "Engine speed (SAE J1979 PID 0C)", 16383.75)]
    [InlineData("7E9#03410D64", "Vehicle speed (SAE J1979 PID 0D)", 100)]
    [InlineData("7EF#03411133AAAAAAAA", "Throttle position (SAE J1979 PID 11)", 20.0)]
    [InlineData("7E8#034111FF", "Throttle position (SAE J1979 PID 11)", 100)]
    [InlineData("18DAF110#03415C8C55555555", "Engine oil temperature (SAE J1979 PID 5C)", 100)]
    [InlineData("18DAF100#03415C00", "Engine oil temperature (SAE J1979 PID 5C)", -40)]
    // SAE J1979, MEMORY.
    [InlineData("7E8#0341057B", "Engine coolant temperature (SAE J1979 PID 05)", 83)]
    [InlineData("7E8#03410A64", "Fuel pressure (SAE J1979 PID 0A)", 300)]
    [InlineData("7E8#0441423A98", "Control module voltage (SAE J1979 PID 42)", 15)]
    public void An_answer_has_its_published_value(string frame, string channel, double expected)
    {
        Heard heard = Read($"(1.0) can0 {frame}\n");

        Assert.Equal(expected, Assert.Single(heard.Values[channel]), 1e-12);
        Assert.Equal("0 end", heard.Lines[^1]);
    }

    [Fact]
    public void One_answer_may_carry_several_parameters()
    {
        Heard heard = Read("(1.0) can0 7E8#06410C1AF80D64\n");

        Assert.Equal([1726.0], heard.Values["Engine speed (SAE J1979 PID 0C)"]);
        Assert.Equal([100.0], heard.Values["Vehicle speed (SAE J1979 PID 0D)"]);
    }

    [Theory]
    [InlineData("7E8#04410C1A")]          // shorter than its own length
    [InlineData("7E8#10410C1AF8")]        // the first of several frames
    [InlineData("7E8#037F0112")]          // a refusal
    [InlineData("7E0#02010C")]            // a request
    [InlineData("7E8#04420C1AF8")]        // another mode
    [InlineData("7E8#034199FF")]          // an unknown parameter
    public void What_is_no_complete_answer_gives_nothing(string frame)
    {
        Heard heard = Read($"(1.0) can0 7E8#03410D64\n(1.1) can0 {frame}\n");

        Same(["0 Vehicle speed (SAE J1979 PID 0D) 100", "0 end"], heard.Lines);
    }

    [Fact]
    public void Of_several_control_units_that_answer_the_lowest_id_is_used_and_said()
    {
        ILogReader reader = Open("(1.0) can0 7E9#03410D63\n(1.1) can0 7E8#03410D64\n");

        Assert.Equal([100.0], Read(reader).Values["Vehicle speed (SAE J1979 PID 0D)"]);
        Assert.Equal("Vehicle speed (SAE J1979 PID 0D) is answered by several control units; that of 7E8 is used, the lowest id.", reader.Assumptions[^1]);
    }

    [Fact]
    public void Only_what_the_log_holds_is_offered_with_unit_and_group()
    {
        ILogReader reader = Open("(1.0) can0 18FEEF00#FFFFFF4B0078FFFF\n(1.1) can0 7E8#03410D64\n");

        Same(
            [$"0 {Oil} kPa EFL/P1 (SAE J1939 PGN 65263)", $"1 {Crankcase} kPa EFL/P1 (SAE J1939 PGN 65263)", "2 Vehicle speed (SAE J1979 PID 0D) km/h SAE J1979 answers"],
            reader.Channels.Select(channel => FormattableString.Invariant($"{channel.Index} {channel.Name} {channel.Unit} {channel.Group}")));
    }

    [Fact]
    public void A_database_that_knows_a_group_by_another_sender_only_leaves_it_to_what_is_built_in()
    {
        const string Own = "BO_ 2364539904 Mine: 8 X\n SG_ Raw : 24|16@1+ (1,0) [0|0] \"\" X\nBO_ 2566844160 There: 8 X\n SG_ B : 0|8@1+ (1,0) [0|0] \"\" X\n";
        Heard heard = Read("(1.0) can0 0CF00427#FFFFFF6813FFFFFF\n(1.1) can0 18FEEF00#07\n", Own);

        Same([$"0 {Rpm} 621", "0 end", "100000000 B 7", "100000000 end"], heard.Lines);
    }

    [Fact]
    public void A_database_comes_before_what_is_built_in()
    {
        const string Own = "BO_ 2566844160 Mine: 8 X\n SG_ Raw : 24|8@1+ (1,0) [0|255] \"\" X\nBO_ 2024 Answer: 8 X\n SG_ Byte : 24|8@1+ (1,0) [0|0] \"\" X\n";
        Heard heard = Read("(1.0) can0 18FEEF00#FFFFFFFF0078FFFF\n(1.1) can0 7E8#03410D64\n", Own);

        Same(["0 Raw 255", "0 end", "100000000 Byte 100", "100000000 end"], heard.Lines);
    }
}
