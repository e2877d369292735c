using System.Diagnostics;
using System.Net;
using System.Text.Json;
using Microsoft.Playwright;
using OilWatch.Alerts;
using OilWatch.Laps;
using OilWatch.Results;
using OilWatch.Tests.Results;

#pragma warning disable MA0002 // Assert compares texts ordinally by itself.

namespace OilWatch.Board.Tests;

/// <summary>The board in a real browser. Needs <c>/usr/bin/chromium</c> and <c>npm ci --prefix tests/OilWatch.Board.Tests/browser</c>; skipped without.</summary>
public sealed class BrowserTests(BrowserTests.Browser browser) : IClassFixture<BrowserTests.Browser>
{
    private const string Hostile = "<img src=x onerror=alert(1)>\"'&</script><b>\u202Eeht\u0000 מחר 🏁";

    private readonly List<string> _said = [];
    private readonly IBrowser? _browser = browser.Started;

    private static string? Tools { get; } = FindTools();

    [Fact]
    public async Task An_alert_appears_is_called_out_and_is_acknowledged_with_the_keyboard_alone()
    {
        await using BoardBench bench = await BoardBench.OpenAsync();
        Drive(bench);
        IPage page = await OpenAsync(bench);
        await Expect(page, "#word", "CLEAR");
        bench.Step(AlertPhase.Raised, 7, 300);
        await Expect(page, "#word", "STOP");
        await Expect(page, "#sentence", "Ease off now.");
        await Expect(page, ".card .severity", "warning");
        await Expect(page, "#call", "warning: oil starvation, lap 4, C3L. Ease off now.");
        Assert.Equal("STOP – Number 27", await page.TitleAsync());
        Assert.Equal("#sign-warning", await page.GetAttributeAsync(".card .sign use", "href"));
        Assert.Equal("#shape-stop", await page.GetAttributeAsync("#shape", "href"));

        bench.Step(AlertPhase.Ended, 7, 301);
        await Expect(page, ".card .status", "over: back to what it should be");
        for (int i = 0; i < 10 && !string.Equals(await Focused(page), "Acknowledge warning, oil starvation, lap 4, C3L", StringComparison.Ordinal); i++) await page.Keyboard.PressAsync("Tab");
        Assert.Equal("Acknowledge warning, oil starvation, lap 4, C3L", await Focused(page));
        await page.Keyboard.PressAsync("Enter");
        await Expect(page, "#none", "No alert stands.");
        await Expect(page, "#word", "CLEAR");
        await Expect(page, "#answer", "Acknowledged.");
        Assert.Equal("Alerts that stand", await Focused(page));                      // the focus is not lost with the button
        Assert.Empty(bench.Desk.Alerts.Standing);
        Assert.Empty(_said);
    }

    [Fact]
    public async Task All_are_acknowledged_at_once_and_the_focus_goes_on_to_what_is_left()
    {
        await using BoardBench bench = await BoardBench.OpenAsync();
        Drive(bench);
        bench.Step(AlertPhase.Raised, 1, 10);
        bench.Step(AlertPhase.Raised, 2, 11, alert => alert with { Kind = AlertKind.OverSpeed, Severity = Severity.Caution });
        IPage page = await OpenAsync(bench);
        await Expect(page, "#all", "Acknowledge all 2");
        await page.FocusAsync("#all");
        await page.Keyboard.PressAsync("Enter");
        await page.WaitForFunctionAsync("document.querySelectorAll('.card[data-acknowledged=true]').length === 2");
        Assert.Equal("Alerts that stand", await Focused(page));
        await Expect(page, "#word", "STOP");                                         // they last
        Assert.Equal(2, bench.Desk.Alerts.Standing.Count(alert => alert.IsAcknowledged));
        Assert.Empty(_said);
    }

    [Fact]
    public async Task A_page_that_hears_nothing_says_so_and_looks_healthy_no_more()
    {
        BoardBench bench = await BoardBench.OpenAsync();
        Drive(bench);
        IPage page = await OpenAsync(bench);
        await Expect(page, "#word", "CLEAR");
        await page.Context.SetOfflineAsync(true);
        await page.EvaluateAsync("() => { for (const source of window.sources) source.close(); }");
        await Expect(page, "#word", "NO LINK");
        await Expect(page, "#sentence", "This page hears nothing from the watch. Last known: CLEAR.");
        Assert.Equal("lost", await page.EvaluateAsync<string>("document.documentElement.dataset.state"));
        Assert.Equal("no link", await page.InnerTextAsync("#link-word"));
        Assert.StartsWith("Nothing heard from the watch for ", await page.InnerTextAsync("#stale"), StringComparison.Ordinal);
        Assert.StartsWith("Last known, at ", await page.InnerTextAsync("#known"), StringComparison.Ordinal);
        Assert.Equal("No alert stood when this was last known.", await page.InnerTextAsync("#none"));
        bench.Step(AlertPhase.Raised, 7, 300);
        await page.Context.SetOfflineAsync(false);
        await Expect(page, "#word", "STOP");                                          // back, and nothing was lost
        await Expect(page, ".card .message", "Ease off now.");
        await bench.DisposeAsync();
    }

    [Fact]
    public async Task A_silent_engine_is_shown_as_no_data_on_a_page_that_is_linked()
    {
        await using BoardBench bench = await BoardBench.OpenAsync();
        Drive(bench);
        IPage page = await OpenAsync(bench);
        await Expect(page, "#word", "CLEAR");
        bench.Tick(14.5);                                                            // other things go on, nothing of the engine for 12.5 s
        bench.Notice("only the dash talks");
        await Expect(page, "#word", "NO DATA");
        await Expect(page, "#stale", "Nothing heard of the engine for 12\u00a0s");
        await Expect(page, "#link-word", "no data");
        Assert.Equal("silent", await page.EvaluateAsync<string>("document.documentElement.dataset.state"));
        Assert.Equal("[]", await ViolationsAsync(page));
        Assert.Empty(_said);
    }

    [Fact]
    public async Task The_end_of_the_watch_stays_in_sight()
    {
        BoardBench bench = await BoardBench.OpenAsync();
        Drive(bench);
        IPage page = await OpenAsync(bench);
        await Expect(page, "#word", "CLEAR");
        bench.Desk.Over(Sessions.Rich with { Verdict = Verdict.Watch, Headline = "Look before going out again." });
        await bench.DisposeAsync();
        await Expect(page, "#word", "OVER");
        await Expect(page, "#sentence", "The watch is over. Verdict: WATCH. Look before going out again.");
        await Expect(page, "#known", "As it was when the watch ended");
        await page.WaitForTimeoutAsync(4500);                                         // longer than a link may be silent
        Assert.Equal("OVER", await page.InnerTextAsync("#word"));
        Assert.Empty(_said);
    }

    [Theory]
    [InlineData(360, ColorScheme.Light)]
    [InlineData(360, ColorScheme.Dark)]
    [InlineData(768, ColorScheme.Dark)]
    [InlineData(1400, ColorScheme.Light)]
    public async Task Nothing_is_cut_off_and_the_accessibility_check_finds_nothing(int width, ColorScheme colours)
    {
        await using BoardBench bench = await BoardBench.OpenAsync(options => options with { CarName = "Number 27 with a long name" });
        Drive(bench);
        IPage page = await OpenAsync(bench, width, colours);
        await Expect(page, "#word", "CLEAR");
        await AssertSoundAsync(page);
        bench.Step(AlertPhase.Raised, 1, 300);
        bench.Step(AlertPhase.Raised, 2, 301, alert => alert with { Kind = AlertKind.OverSpeed, Severity = Severity.Caution, Inspect = [], Reading = null });
        bench.Step(AlertPhase.Raised, 3, 302, alert => alert with { Kind = AlertKind.SensorFault, Severity = Severity.Advisory, Channel = Channels.Role.OilTemperature, Detail = "stuck" });
        bench.Step(AlertPhase.Ended, 3, 303, alert => alert with { Kind = AlertKind.SensorFault, Severity = Severity.Advisory, Channel = Channels.Role.OilTemperature, Detail = "stuck" });
        await page.WaitForFunctionAsync("document.querySelectorAll('.card[data-over=true]').length === 1");
        await AssertSoundAsync(page);
        Assert.Empty(_said);
    }

    [Theory]
    [InlineData("stop")]
    [InlineData("watch")]
    [InlineData("clear")]
    [InlineData("waiting")]
    [InlineData("unknown")]
    [InlineData("silent")]
    [InlineData("lost")]
    [InlineData("over")]
    public async Task Every_state_can_be_read_in_light_and_dark_and_has_a_shape_of_its_own(string state)
    {
        await using BoardBench bench = await BoardBench.OpenAsync();
        IPage page = await OpenAsync(bench);
        await Expect(page, "#word", "WAITING");
        foreach (string look in (string[])["light", "dark"])
        {
            double[] ratios = await page.EvaluateAsync<double[]>(Contrast, new { state, look });
            Assert.All(ratios, ratio => Assert.True(ratio >= 4.5, $"{state} in {look}: {ratio:0.0}"));
        }
        Assert.True(await page.EvaluateAsync<bool>($"document.getElementById('shape-{state}') !== null"));
    }

    /// <summary>Contrast of the plate's words against each colour of its ground. Source: WCAG 2.2, relative luminance.</summary>
    private const string Contrast =
        """
        ({ state, look }) => {
          const root = document.documentElement, plate = document.querySelector('.plate');
          root.dataset.look = look;
          root.dataset.state = state;
          const style = getComputedStyle(plate), colours = text => [...text.matchAll(/rgb\((\d+), (\d+), (\d+)\)/g)].map(found => found.slice(1).map(Number));
          const luminance = rgb => rgb.map(part => part / 255).map(part => part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4).reduce((sum, part, i) => sum + part * [0.2126, 0.7152, 0.0722][i], 0);
          const ink = luminance(colours(style.color)[0]);
          return [style.backgroundColor, ...(style.backgroundImage === 'none' ? [] : [style.backgroundImage])].flatMap(colours).map(luminance)
            .map(ground => (Math.max(ink, ground) + 0.05) / (Math.min(ink, ground) + 0.05)).filter((_, i) => style.backgroundImage === 'none' || i > 0);
        }
        """;

    [Fact]
    public async Task Names_out_of_a_log_are_shown_and_not_obeyed()
    {
        await using BoardBench bench = await BoardBench.OpenAsync(options => options with { CarName = Hostile + new string('W', 300) });
        Drive(bench);
        bench.Notice(Hostile, Severity.Advisory);
        bench.Step(AlertPhase.Raised, 1, 300, alert => alert with { Kind = AlertKind.VibrationBand, Message = Hostile, Corner = Hostile, Detail = Hostile, Reading = Hostile, Inspect = [Hostile] });
        IPage page = await OpenAsync(bench, 360);
        await Expect(page, "#word", "STOP");
        Assert.Equal(Report.Markup.PageText.Clean(Hostile), await page.EvaluateAsync<string>("document.querySelector('.card .message').textContent"));
        Assert.Equal(0, await page.EvaluateAsync<int>("document.querySelectorAll('img, .card b').length"));
        await AssertSoundAsync(page);
        Assert.Empty(_said);
    }

    [Fact]
    public async Task Only_what_is_in_the_page_may_run()
    {
        await using BoardBench bench = await BoardBench.OpenAsync();
        IPage page = await OpenAsync(bench, bypass: false);
        await page.EvaluateAsync(
            """
            () => {
              const script = document.createElement('script');
              try { script.textContent = 'window.ran = true'; document.body.append(script); } catch (refused) { window.refused = refused.name; }
              try { document.getElementById('word').innerHTML = '<b>x</b>'; } catch (refused) { window.markup = refused.name; }
            }
            """);
        Assert.True(await page.EvaluateAsync<bool>("window.ran === undefined"));
        Assert.Equal("TypeError", await page.EvaluateAsync<string>("window.markup"));
    }

    [Fact]
    public async Task The_token_is_asked_for_and_the_link_with_it_opens_the_board()
    {
        await using BoardBench bench = await BoardBench.OpenAsync(options => options with { Listen = IPAddress.Loopback, Token = DoorTests.Token });
        Drive(bench);
        IPage page = await NewPageAsync(360, ColorScheme.Light, bypass: true);
        await page.GotoAsync(bench.Origin + "/");
        Assert.Equal("[]", await ViolationsAsync(page));
        await page.FillAsync("#token", "not-the-token-at-all");
        await page.Keyboard.PressAsync("Enter");
        await Expect(page, "#answer", "That is not the token.");
        await page.FillAsync("#token", "kq7fm-x2b9d-hand-typed");
        await page.Keyboard.PressAsync("Enter");
        await Expect(page, "#word", "CLEAR");

        IPage phone = await NewPageAsync(360, ColorScheme.Light, bypass: true);
        await phone.GotoAsync(bench.Origin + "/#kq7fm-x2b9d-hand-typed");
        await Expect(phone, "#word", "CLEAR");
        Assert.Equal(bench.Origin + "/", phone.Url);
        Assert.Equal("", await phone.EvaluateAsync<string>("document.cookie"));
    }

    [Fact]
    public async Task Sound_is_off_until_somebody_turns_it_on_and_the_look_can_be_chosen()
    {
        await using BoardBench bench = await BoardBench.OpenAsync();
        IPage page = await OpenAsync(bench, colours: ColorScheme.Dark);
        Assert.Equal("false", await page.GetAttributeAsync("#sound", "aria-pressed"));
        await page.ClickAsync("#sound");
        Assert.Equal("true", await page.GetAttributeAsync("#sound", "aria-pressed"));
        Assert.Equal("true", await page.GetAttributeAsync("#look", "aria-pressed"));
        await page.ClickAsync("#look");
        Assert.Equal("rgb(255, 255, 255)", await page.EvaluateAsync<string>("getComputedStyle(document.body).backgroundColor"));
        await page.ReloadAsync();
        Assert.Equal("rgb(255, 255, 255)", await page.EvaluateAsync<string>("getComputedStyle(document.body).backgroundColor"));
        Assert.Equal("false", await page.GetAttributeAsync("#sound", "aria-pressed"));
        Assert.Empty(_said);
    }

    [Fact]
    public async Task Without_script_the_page_says_that_it_needs_it()
    {
        await using BoardBench bench = await BoardBench.OpenAsync();
        SkipWithoutBrowser();
        IBrowserContext context = await _browser!.NewContextAsync(new() { JavaScriptEnabled = false });
        IPage page = await context.NewPageAsync();
        await page.GotoAsync(bench.Origin + "/");
        Assert.StartsWith("This page needs JavaScript", await page.InnerTextAsync("noscript"), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("board.html")]
    [InlineData("sign-in.html")]
    public async Task The_pages_are_valid_HTML(string name)
    {
        Assert.SkipWhen(Tools is null, "html-validate is not installed: npm ci --prefix tests/OilWatch.Board.Tests/browser");
        var pages = new Serving.BoardPages();
        string file = Path.Combine(Directory.CreateTempSubdirectory("oilwatch-board-").FullName, name);
        await File.WriteAllBytesAsync(file, (name[0] == 'b' ? pages.Board : pages.SignIn).Html);
        using var validate = Process.Start(new ProcessStartInfo("node", [
            Path.Combine(Tools!, "node_modules", "html-validate", "bin", "html-validate.mjs"), "--config", Path.Combine(Tools!, ".htmlvalidate.json"), "--formatter", "text", file,
        ])
        { UseShellExecute = false, RedirectStandardOutput = true, RedirectStandardError = true })!;
        Task<string> errors = validate.StandardError.ReadToEndAsync();
        string found = await validate.StandardOutput.ReadToEndAsync();
        await validate.WaitForExitAsync();
        Directory.Delete(Path.GetDirectoryName(file)!, recursive: true);
        Assert.Equal(("", 0), ((found + await errors).Trim(), validate.ExitCode));
    }

    /// <summary>An engine that runs as it should.</summary>
    private static void Drive(BoardBench bench)
    {
        bench.Plan();
        for (int second = 0; second < 3; second++) bench.Frame(second);
        bench.Tick(3);
        bench.Lap(Sessions.Rich.Laps[0] with { Kind = LapKind.Out });
        bench.Lap(Sessions.Rich.Laps[0] with { Lap = 112, StarvationEvents = 12, StarvationS = 20.4 });
    }

    private static async Task AssertSoundAsync(IPage page)
    {
        Assert.Equal("[]", await page.EvaluateAsync<string>(
            """
            () => {
              const wide = document.documentElement.clientWidth, found = [];
              if (document.documentElement.scrollWidth > wide) found.push(`page is ${document.documentElement.scrollWidth} of ${wide}`);
              for (const element of document.querySelectorAll('body *')) {
                const box = element.getBoundingClientRect();
                if (box.width === 0 || element.closest('.unseen, .shapes')) continue;
                if (box.right > wide + 1 || box.left < -1) found.push(`${element.tagName} ${element.id} ${element.getAttribute('class')} from ${box.left} to ${box.right}`);
              }
              for (const button of document.querySelectorAll('button')) {
                const box = button.getBoundingClientRect();
                if (box.width > 0 && (box.width < 44 || box.height < 44)) found.push(`${button.textContent} is ${box.width} x ${box.height}`);
              }
              return JSON.stringify(found.slice(0, 10));
            }
            """));
        Assert.Equal("[]", await ViolationsAsync(page));
    }

    private static async Task<string> ViolationsAsync(IPage page)
    {
        await page.EvaluateAsync(await File.ReadAllTextAsync(Path.Combine(Tools!, "node_modules", "axe-core", "axe.min.js")));
        JsonElement found = await page.EvaluateAsync<JsonElement>(
            "async () => (await axe.run()).violations.map(found => `${found.impact} ${found.id}: ${found.nodes.length} x ${found.nodes[0].html}`)");
        return found.GetRawText();
    }

    private static Task<string> Focused(IPage page) =>
        page.EvaluateAsync<string>("document.activeElement.getAttribute('aria-label') ?? document.activeElement.textContent");

    private static async Task Expect(IPage page, string part, string words)
    {
        try
        {
            await page.WaitForFunctionAsync("([part, words]) => document.querySelector(part)?.textContent === words", new[] { part, words });
        }
        catch (TimeoutException)
        {
            Assert.Equal(words, await page.EvaluateAsync<string?>("part => document.querySelector(part)?.textContent", part));
        }
    }

    private async Task<IPage> OpenAsync(BoardBench bench, int width = 768, ColorScheme colours = ColorScheme.Light, bool bypass = true)
    {
        IPage page = await NewPageAsync(width, colours, bypass);
        await page.AddInitScriptAsync("{ window.sources = []; const Real = EventSource; window.EventSource = class extends Real { constructor(address) { super(address); window.sources.push(this); } }; }");
        await page.GotoAsync(bench.Origin + "/");
        return page;
    }

    private async Task<IPage> NewPageAsync(int width, ColorScheme colours, bool bypass)
    {
        SkipWithoutBrowser();
        // The accessibility check is a script that the page's own policy would not let in.
        IBrowserContext context = await _browser!.NewContextAsync(new() { ViewportSize = new() { Width = width, Height = 900 }, ColorScheme = colours, BypassCSP = bypass });
        IPage page = await context.NewPageAsync();
        page.Console += (_, message) => _said.Add($"console {message.Type}: {message.Text}");
        page.PageError += (_, error) => _said.Add($"error: {error}");
        page.Request += (_, request) =>
        {
            if (!request.Url.StartsWith("http://127.0.0.1:", StringComparison.Ordinal) && !request.Url.StartsWith("data:", StringComparison.Ordinal)) _said.Add($"request: {request.Url}");
        };
        return page;
    }

    private void SkipWithoutBrowser() => Assert.SkipWhen(_browser is null, File.Exists(Browser.Path)
        ? "axe-core is not installed: npm ci --prefix tests/OilWatch.Board.Tests/browser"
        : $"{Browser.Path} is not installed");

    /// <summary>One browser for all tests; each opens pages of its own.</summary>
    public sealed class Browser : IAsyncLifetime
    {
        public const string Path = "/usr/bin/chromium";

        private IPlaywright? _playwright;

        /// <summary>The browser, or null where it or the tools are not installed.</summary>
        public IBrowser? Started { get; private set; }

        public async ValueTask InitializeAsync()
        {
            if (!File.Exists(Path) || Tools is null) return;
            _playwright = await Playwright.CreateAsync();
            Started = await _playwright.Chromium.LaunchAsync(new()
            {
                ExecutablePath = Path,
                Args =
                [
                    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update",
                    "--disable-sync",
                ],
            });
        }

        public async ValueTask DisposeAsync()
        {
            if (Started is not null) await Started.DisposeAsync();
            _playwright?.Dispose();
        }
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
