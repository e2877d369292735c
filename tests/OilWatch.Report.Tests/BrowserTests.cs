using System.Diagnostics;
using System.Text.Json;
using Microsoft.Playwright;
using OilWatch.Alerts;
using OilWatch.Proof;
using OilWatch.Proof.Page;
using OilWatch.Results;

#pragma warning disable MA0002 // Assert compares texts ordinally by itself.

namespace OilWatch.Report.Tests;

/// <summary>The page in a real browser. Needs <c>/usr/bin/chromium</c> and <c>npm ci --prefix tests/OilWatch.Report.Tests/browser</c>; skipped without.</summary>
public sealed class BrowserTests : IAsyncLifetime
{
    private const string Chromium = "/usr/bin/chromium";
    private readonly string _folder = Directory.CreateTempSubdirectory("oilwatch-page-").FullName;
    private readonly List<string> _said = [];
    private IPlaywright? _playwright;
    private IBrowser? _browser;

    private static string? Tools { get; } = FindTools();

    public async ValueTask InitializeAsync()
    {
        if (!File.Exists(Chromium) || Tools is null) return;
        _playwright = await Playwright.CreateAsync();
        _browser = await _playwright.Chromium.LaunchAsync(new()
        {
            ExecutablePath = Chromium,
            Args =
            [
                "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update",
                "--disable-sync",
            ],
        });
    }

    public async ValueTask DisposeAsync()
    {
        if (_browser is not null) await _browser.DisposeAsync();
        _playwright?.Dispose();
        Directory.Delete(_folder, recursive: true);
    }

    [Theory]
    [InlineData(360)]
    [InlineData(768)]
    [InlineData(1400)]
    public async Task Nothing_is_cut_off_and_nothing_overlaps(int width)
    {
        IPage page = await OpenAsync(Sample.Long(12), width, ColorScheme.Light);
        await AssertFitsAsync(page);
        Assert.Empty(_said);
    }

    [Fact]
    public async Task Long_names_do_not_push_the_page_wide()
    {
        string name = new('W', 400);
        IPage page = await OpenAsync(Sample.Long(2) with { CarName = name, LogName = Sample.Hostile + name, Headline = name, NotJudged = [name] }, 360, ColorScheme.Light);
        await AssertFitsAsync(page);
        Assert.Empty(_said);
    }

    [Fact]
    public async Task Printed_on_A4_everything_fits()
    {
        IPage page = await OpenAsync(Sample.Long(12), 703, ColorScheme.Dark);           // 210 mm less two margins of 12 mm, at 96 px an inch
        await page.EmulateMediaAsync(new() { Media = Media.Print });
        await AssertFitsAsync(page);
        Assert.Equal("[]", await page.EvaluateAsync<string>(
            "JSON.stringify([...document.querySelectorAll('.scroll')].filter(box => box.scrollWidth > box.clientWidth + 1).map(box => box.getAttribute('aria-label')))"));
        byte[] pdf = await page.PdfAsync(new() { PreferCSSPageSize = true });
        Assert.StartsWith("%PDF-", System.Text.Encoding.Latin1.GetString(pdf, 0, 8), StringComparison.Ordinal);
        Assert.Empty(_said);
    }

    [Theory]
    [InlineData(360, ColorScheme.Dark)]
    [InlineData(1400, ColorScheme.Light)]
    public async Task The_accessibility_check_finds_nothing(int width, ColorScheme colours)
    {
        IPage page = await OpenAsync(Sample.Long(6), width, colours);
        Assert.Equal("[]", await ViolationsAsync(page));
    }

    private static async Task<string> ViolationsAsync(IPage page)
    {
        await page.EvaluateAsync(await File.ReadAllTextAsync(Path.Combine(Tools!, "node_modules", "axe-core", "axe.min.js")));
        JsonElement found = await page.EvaluateAsync<JsonElement>(
            "async () => (await axe.run()).violations.map(found => `${found.impact} ${found.id}: ${found.nodes.length} x ${found.nodes[0].html}`)");
        return found.GetRawText();
    }

    [Fact]
    public async Task The_page_is_valid_HTML()
    {
        Assert.SkipWhen(Tools is null, "html-validate is not installed: npm ci --prefix tests/OilWatch.Report.Tests/browser");
        Assert.Equal(("", 0), await ValidatedAsync(Write(Sample.Long(6) with { CarName = Sample.Hostile })));
    }

    private static async Task<(string Found, int Code)> ValidatedAsync(string file)
    {
        using var validate = Process.Start(new ProcessStartInfo("node", [
            Path.Combine(Tools!, "node_modules", "html-validate", "bin", "html-validate.mjs"), "--config", Path.Combine(Tools!, ".htmlvalidate.json"), "--formatter", "text", file,
        ])
        { UseShellExecute = false, RedirectStandardOutput = true, RedirectStandardError = true })!;
        Task<string> errors = validate.StandardError.ReadToEndAsync();
        string found = await validate.StandardOutput.ReadToEndAsync();
        await validate.WaitForExitAsync();
        return ((found + await errors).Trim(), validate.ExitCode);
    }

    [Fact]
    public async Task Light_and_dark_have_colours_of_their_own()
    {
        IPage light = await OpenAsync(Sample.Long(1), 768, ColorScheme.Light);
        IPage dark = await OpenAsync(Sample.Long(1), 768, ColorScheme.Dark);
        foreach (string part in (string[])["body", ".closeup", ".line.pressure", ".tick"])
        {
            string script = $"getComputedStyle(document.querySelector('{part}')).{(part[0] == '.' && part is not ".closeup" ? part is ".tick" ? "fill" : "stroke" : "backgroundColor")}";
            Assert.NotEqual(await light.EvaluateAsync<string>(script), await dark.EvaluateAsync<string>(script));
        }
    }

    /// <summary>Nothing reaches beyond the page but inside tables that scroll, and no two values along an axis touch.</summary>
    private static async Task AssertFitsAsync(IPage page)
    {
        Assert.Equal("[]", await page.EvaluateAsync<string>(
            """
            () => {
              const wide = document.documentElement.clientWidth, found = [];
              if (document.documentElement.scrollWidth > wide) found.push(`page is ${document.documentElement.scrollWidth} of ${wide}`);
              for (const element of document.querySelectorAll('body *')) {
                const box = element.getBoundingClientRect();
                if (box.width === 0 || element.closest('.scroll, .skip, .shapes')) continue;
                if (box.right > wide + 1 || box.left < -1) found.push(`${element.tagName} ${element.getAttribute('class')} from ${box.left} to ${box.right}`);
                if (!element.closest('svg') && element.scrollWidth > element.clientWidth + 1 && getComputedStyle(element).overflowX === 'hidden') found.push(`cut ${element.tagName}`);
              }
              for (const plot of document.querySelectorAll('.plot > svg')) {
                for (const side of ['.tick.end', '.tick.middle']) {
                  const boxes = [...plot.querySelectorAll(side)].map(tick => [tick, tick.getBoundingClientRect()]).filter(([, box]) => box.width > 0);
                  for (const [i, [tick, box]] of boxes.entries()) for (const [other, next] of boxes.slice(i + 1)) {
                    const across = Math.min(box.right, next.right) - Math.max(box.left, next.left), down = Math.min(box.bottom, next.bottom) - Math.max(box.top, next.top);
                    if (across > 0.5 && down > 3) found.push(`${tick.textContent} on ${other.textContent} in ${plot.getAttribute('aria-label').slice(0, 40)}`);
                  }
                }
              }
              return JSON.stringify(found.slice(0, 10));
            }
            """));
    }

    [Theory]
    [InlineData(360, ColorScheme.Dark)]
    [InlineData(768, ColorScheme.Light)]
    [InlineData(1400, ColorScheme.Light)]
    public async Task The_proof_page_fits_and_the_accessibility_check_finds_nothing(int width, ColorScheme colours)
    {
        IPage page = await OpenFileAsync(WriteProof("<b>wet</b> & \"מחר\" 🏁"), width, colours);
        await AssertFitsAsync(page);
        Assert.Equal("[]", await ViolationsAsync(page));
        await page.EmulateMediaAsync(new() { Media = Media.Print });
        await page.SetViewportSizeAsync(703, 900);
        await AssertFitsAsync(page);
        Assert.Empty(_said);
    }

    [Fact]
    public async Task The_proof_page_is_valid_HTML()
    {
        Assert.SkipWhen(Tools is null, "html-validate is not installed: npm ci --prefix tests/OilWatch.Report.Tests/browser");
        Assert.Equal(("", 0), await ValidatedAsync(WriteProof(Sample.Hostile)));
    }

    [Theory]
    [InlineData(360)]
    [InlineData(768)]
    [InlineData(1400)]
    public async Task No_table_hides_columns_beyond_its_edge(int width)
    {
        IPage page = await OpenAsync(Sample.Long(12), width, ColorScheme.Light);
        Assert.Equal("[]", await page.EvaluateAsync<string>(
            "JSON.stringify([...document.querySelectorAll('.scroll')].filter(box => box.scrollWidth > box.clientWidth + 1).map(box => box.getAttribute('aria-label')))"));
    }

    [Fact]
    public async Task The_page_over_several_logs_fits_a_phone_and_passes_the_accessibility_check()
    {
        string file = Path.Combine(_folder, "index.html");
        await using (FileStream to = File.Create(file))
            IndexPage.Write([IndexRow.Of(Sample.Long(6), "a"), IndexRow.Unread(Sample.Hostile + new string('W', 200), Sample.Hostile)], ReportOptions.Default, to);
        IPage page = await OpenFileAsync(file, 360, ColorScheme.Dark);
        await AssertFitsAsync(page);
        Assert.Equal("[]", await ViolationsAsync(page));
        Assert.Equal(("", 0), await ValidatedAsync(file));
        Assert.Empty(_said);
    }

    /// <summary>Two groups of two sessions, a problem in one corner and its cure.</summary>
    private string WriteProof(string name)
    {
        ProofGroup before = new(name, [Driven("b1", 0, true), Driven("b2", 1, true)]), after = new("after", [Driven("a1", 2, false), Driven("a2", 3, false)]);
        string file = Path.Combine(_folder, "proof.html");
        using FileStream to = File.Create(file);
        ProofPage.Write(to, ProofAnalysis.Compare(before, after));
        return file;
    }

    private static ProofSession Driven(string name, int day, bool starves) => new(name, [],
        [.. from lap in Enumerable.Range(1, 12)
            from corner in Enumerable.Range(1, 6)
            let drop = starves && corner == 2
            select new Exposure
            {
                Lap = lap, Corner = $"C{corner}L", Direction = LoadDirection.Left, LoadG = 1.05 + (0.002 * ((lap * 7) + corner + day)), HoldS = 2.5 + (0.01 * lap), SpeedRpm = 5500 + (10 * lap),
                OilTemperatureC = 100 + (0.1 * lap), MinRatio = drop ? 0.3 : 0.97, TimeToDropS = drop ? 1.5 : null, Event = drop,
            }]);

    private Task<IPage> OpenAsync(SessionResult result, int width, ColorScheme colours) => OpenFileAsync(Write(result), width, colours);

    private async Task<IPage> OpenFileAsync(string file, int width, ColorScheme colours)
    {
        Assert.SkipWhen(_browser is null, File.Exists(Chromium)
            ? "axe-core is not installed: npm ci --prefix tests/OilWatch.Report.Tests/browser"
            : $"{Chromium} is not installed");
        IPage page = await _browser.NewPageAsync(new() { ViewportSize = new() { Width = width, Height = 900 }, ColorScheme = colours });
        page.Console += (_, message) => _said.Add($"console {message.Type}: {message.Text}");
        page.PageError += (_, error) => _said.Add($"error: {error}");
        page.Request += (_, request) =>
        {
            if (!request.Url.StartsWith("file:", StringComparison.Ordinal) && !request.Url.StartsWith("data:", StringComparison.Ordinal)) _said.Add($"request: {request.Url}");
        };
        await page.GotoAsync(new Uri(file).AbsoluteUri);
        return page;
    }

    private string Write(SessionResult result)
    {
        string file = Path.Combine(_folder, "report.html");
        File.WriteAllText(file, Sample.Page(result));
        return file;
    }

    /// <summary>The folder with the installed tools, looked for upwards from the tests' own.</summary>
    private static string? FindTools()
    {
        for (DirectoryInfo? folder = new(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
        {
            string tools = Path.Combine(folder.FullName, "browser");
            if (File.Exists(Path.Combine(tools, "package.json"))) return Directory.Exists(Path.Combine(tools, "node_modules", "axe-core")) ? tools : null;
        }
        return null;
    }
}
