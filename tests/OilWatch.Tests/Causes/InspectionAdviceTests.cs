using System.Text;
using OilWatch.Alerts;
using OilWatch.Cars;
using OilWatch.Causes;

#pragma warning disable MA0002 // Assert.Equal compares texts ordinally by itself.

namespace OilWatch.Tests.Causes;

public sealed class InspectionAdviceTests
{
    [Fact]
    public void The_built_in_advice_has_a_list_for_every_cause_and_a_source_for_every_item()
    {
        foreach (Cause cause in Enum.GetValues<Cause>()) Assert.NotEmpty(InspectionAdvice.BuiltIn.For(cause));
        foreach (AlertKind kind in (AlertKind[])[AlertKind.CrankcaseVacuumLoss, AlertKind.VibrationBand, AlertKind.EngineSpeedBand, AlertKind.OverSpeed, AlertKind.OilTemperature])
            Assert.NotEmpty(InspectionAdvice.BuiltIn.For(kind));
        foreach (Cause cause in Enum.GetValues<Cause>())
            Assert.All(InspectionAdvice.BuiltIn.For(cause), item => Assert.Equal("common practice", item.Source));
    }

    [Fact]
    public void A_builders_list_replaces_the_built_in_one_and_leaves_the_others()
    {
        (InspectionAdvice advice, var problems) = InspectionAdvice.Parse("[[sensor]]\nlook = \"the plug behind the filter\"\nsource = \"our builder\"\n"u8, "ours.toml");
        Assert.Empty(problems);
        Assert.Equal([new InspectionItem("the plug behind the filter", "our builder", null)], advice.For(Cause.Sensor));
        Assert.Equal(InspectionAdvice.BuiltIn.For(Cause.Wear), advice.For(Cause.Wear));
    }

    [Fact]
    public void Items_of_the_other_kind_of_sump_are_left_out()
    {
        string wet = string.Join("; ", InspectionAdvice.BuiltIn.Looks([Cause.PickupUncovered], Lubrication.WetSump));
        string dry = string.Join("; ", InspectionAdvice.BuiltIn.Looks([Cause.PickupUncovered], Lubrication.DrySump));
        Assert.Contains("dipstick", wet, StringComparison.Ordinal);
        Assert.DoesNotContain("scavenge", wet, StringComparison.Ordinal);
        Assert.Contains("scavenge", dry, StringComparison.Ordinal);
        Assert.DoesNotContain("dipstick", dry, StringComparison.Ordinal);
    }

    [Fact]
    public void Of_several_causes_the_most_telling_of_each_comes_first()
    {
        (InspectionAdvice advice, _) = InspectionAdvice.Parse(
            """
            wear = [ { look = "a", source = "x" }, { look = "b", source = "x" } ]
            thin-oil = [ { look = "c", source = "x" }, { look = "a", source = "x" } ]
            """u8,
            "ours.toml");
        Assert.Equal(["a", "c", "b"], advice.Looks([Cause.Wear, Cause.ThinOil], null));
    }

    [Fact]
    public void Every_mistake_is_told_with_its_place()
    {
        (InspectionAdvice advice, var problems) = InspectionAdvice.Parse(
            """
            [[sensr]]
            look = "a"
            [sensor]
            look = "b"
            [[wear]]
            lok = "c"
            source = 3
            only = "damp-sump"
            """u8,
            "ours.toml");
        Assert.Equal(
            [
                "ours.toml:1:3: unknown list 'sensr'; did you mean [[sensor]]?",
                "ours.toml:3:2: items are written under [[sensor]], in two pairs of brackets, one for each item",
                "ours.toml:5:3: an item of [[wear]] needs look",
                "ours.toml:6:1: unknown key 'lok' in [[wear]]; did you mean 'look'?",
                "ours.toml:7:10: source must be a text in quotes; found a number",
                "ours.toml:8:8: only must be \"wet-sump\" or \"dry-sump\"",
            ],
            problems.Select(problem => problem.ToString()));
        Assert.Equal(InspectionAdvice.BuiltIn.For(Cause.Sensor), advice.For(Cause.Sensor));
    }

    [Fact]
    public void Whatever_the_bytes_reading_them_does_not_throw()
    {
        byte[] good = Encoding.UTF8.GetBytes(InspectionAdvice.BuiltInText);
        var random = new Random(7);
        for (int i = 0; i < 400; i++)
        {
            byte[] bytes = good[..random.Next(1, 2000)];
            for (int j = 0; j < 5; j++) bytes[random.Next(bytes.Length)] = (byte)random.Next(256);
            (InspectionAdvice advice, _) = InspectionAdvice.Parse(bytes, "x.toml");
            Assert.All(Enum.GetValues<Cause>(), cause => Assert.False(advice.For(cause).IsDefault));
        }
    }
}
