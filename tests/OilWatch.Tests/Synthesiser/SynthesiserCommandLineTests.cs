using OilWatch.Synthesiser;
using OilWatch.Synthesiser.Scenarios;

namespace OilWatch.Tests.Synthesiser;

public class SynthesiserCommandLineTests
{
    [Theory]
    [InlineData("--scenario wet-left", "name a folder with --out")]
    [InlineData("--out x", "name a scenario with --scenario, or all with --all")]
    [InlineData("--scenario wet-lefty --out x", "there is no scenario 'wet-lefty'; --list shows them")]
    [InlineData("--scenario wet-left --out x --laps 0", "--laps takes 1 to 200")]
    [InlineData("--scenario wet-left --out x --rate 1,5", "--rate 1,5 is not understood")]
    [InlineData("--scenario wet-left --out x --seed -1", "--seed -1 is not understood")]
    [InlineData("--all x --seeds 9..1", "--seeds 9..1 is not understood")]
    [InlineData("--all x --seeds 0..18446744073709551615", "--seeds 0..18446744073709551615 is not understood")]
    [InlineData("--all", "--all needs a value, or is not an option")]
    public void A_mistake_is_told(string arguments, string expected) =>
        Assert.Equal(expected, CommandLine.Read(arguments.Split(' '), out _));

    [Fact]
    public void All_scenarios_of_a_range_of_seeds_are_asked_for_in_one_line()
    {
        Assert.Null(CommandLine.Read("--all x --seeds 2..5 --laps 3 --rate 12.5 --format can".Split(' '), out CommandLine line));
        Assert.Equal(AllScenarios.List.Count, line.Scenarios.Count);
        Assert.Equal((2UL, 5UL, 3, 12.5, false, true), (line.FirstSeed, line.LastSeed, line.Laps, line.RateHz, line.Csv, line.Can));
    }

    [Fact]
    public void Scenario_names_are_unique() =>
        Assert.Equal(AllScenarios.List.Count, AllScenarios.List.Select(s => s.Name).Distinct(StringComparer.Ordinal).Count());
}
