using OilWatch.Cars;

namespace OilWatch.Tests.Detectors;

public sealed class DetectorsDocsTests
{
    [Theory]
    [InlineData("crankcase")]
    [InlineData("over_speed")]
    [InlineData("oil_temperature")]
    [InlineData("sensor")]
    public void Every_threshold_is_in_the_documentation(string section)
    {
        string page = Page();
        Assert.Contains($"[limits.{section}]", page, StringComparison.Ordinal);
        string[] keys = [.. LimitTable.All.Where(row => string.Equals(row.Section, section, StringComparison.Ordinal)).Select(row => row.Key)];
        Assert.NotEmpty(keys);
        Assert.All(keys, key => Assert.Contains($"`{key}`", page, StringComparison.Ordinal));
    }

    [Fact]
    public void Every_threshold_says_its_unit_and_where_it_comes_from() =>
        Assert.All(LimitTable.All, row =>
        {
            Assert.True(row.Unit.Length > 0 && row.Source.Length > 0 && row.Meaning.Length > 0, row.Key);
            Assert.InRange(row.Default, row.Min, row.Max);
        });

    private static string Page()
    {
        DirectoryInfo? folder = new(AppContext.BaseDirectory);
        while (folder is not null && !File.Exists(Path.Combine(folder.FullName, "OilWatch.sln"))) folder = folder.Parent;
        Assert.NotNull(folder);
        return File.ReadAllText(Path.Combine(folder.FullName, "docs", "detectors.md"));
    }
}
