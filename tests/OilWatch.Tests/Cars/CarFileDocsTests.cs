using OilWatch.Cars;
using OilWatch.Channels;

namespace OilWatch.Tests.Cars;

public sealed class CarFileDocsTests
{
    [Fact]
    public void The_example_in_the_documentation_is_a_good_car_file()
    {
        string page = Page("car-file.md");
        int start = page.IndexOf("```toml", StringComparison.Ordinal) + "```toml".Length;
        CarFileResult result = CarFile.Parse(page[start..page.IndexOf("```", start, StringComparison.Ordinal)], "car.toml");
        Assert.Equal("", string.Join("\n", result.Problems));
        Assert.Equal("Number 8", result.Options.Car.Name);
        Assert.Equal(2, result.Options.Car.Bands.Length);
        Assert.Equal(0.78, result.Options.PressureDrop.CautionRatio);
    }

    [Fact]
    public void Every_role_and_every_unit_is_in_the_documentation()
    {
        string page = Page("channels.md");
        foreach (Role role in Roles.All) Assert.Contains($"| `{role.Key()}` |", page, StringComparison.Ordinal);
        foreach (string unit in Roles.All.SelectMany(role => Units.For(role)).Where(unit => !unit.EndsWith(" absolute", StringComparison.Ordinal) && !unit.EndsWith(" vacuum", StringComparison.Ordinal)))
        {
            if (unit is "rev/s") continue;      // written rps and Hz
            Assert.Contains($"`{unit}`", page, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void The_spellings_in_the_documentation_are_recognised()
    {
        foreach (string line in Page("channels.md").Split('\n'))
        {
            string[] cells = line.Split('|');
            if (cells.Length != 6 || !Roles.TryParse(cells[1].Trim(' ', '`'), out Role role)) continue;
            string[] examples = cells[4].Split('`');
            for (int i = 1; i < examples.Length; i += 2)
            {
                bool inDegrees = i + 1 < examples.Length && examples[i + 1].Contains("in degrees", StringComparison.Ordinal);
                ChannelPlan plan = RoleFinder.Find([new LogChannel(0, examples[i], inDegrees ? "deg" : role.Unit())], CarSettings.None);
                Assert.Equal($"{examples[i]}: {role}", $"{examples[i]}: {plan.Choices.FirstOrDefault()?.Role}");
            }
        }
    }

    private static string Page(string name)
    {
        DirectoryInfo? folder = new(AppContext.BaseDirectory);
        while (folder is not null && !File.Exists(Path.Combine(folder.FullName, "OilWatch.sln"))) folder = folder.Parent;
        Assert.NotNull(folder);
        return File.ReadAllText(Path.Combine(folder.FullName, "docs", name));
    }
}
