using System.Globalization;
using OilWatch.Alerts;
using OilWatch.Frames;
using OilWatch.Results;
using OilWatch.Vibration;

namespace OilWatch.Tests.Vibration;

/// <summary>Prints how soon growth is called over many seeds, and how often a clean twin is. Asked for by name only: it takes minutes.</summary>
/// <remarks><c>dotnet run --project tests/OilWatch.Tests -- -explicit only -class "*GrowthTable" -showLiveOutput</c></remarks>
public sealed class GrowthTable(ITestOutputHelper output)
{
    // The thresholds were set with seeds below 200, those of the narrow bands with 301 to 340; the resonance in a waveform is therefore tried on others.
    private const int FirstSeed = 301;
    private const int LastSeed = 340;
    private const int FirstSeedOfABand = 401;
    private const int LastSeedOfABand = 480;
    private const double WithinS = 10;

    [Theory(Explicit = true)]
    [InlineData("level, all speeds", false, 20, true)]
    [InlineData("level, all speeds, 10 Hz", false, 10, true)]
    [InlineData("level, all speeds, no throttle", false, 20, false)]
    [InlineData("level, a resonance", true, 20, true)]
    [InlineData("level, a resonance, 10 Hz", true, 10, true)]
    [InlineData("level, a resonance, no throttle", true, 20, false)]
    public void Of_a_level_channel(string what, bool atPeak, double rateHz, bool throttle)
    {
        var tally = new Tally();
        for (int seed = FirstSeed; seed <= LastSeed; seed++)
        {
            DrivenLevel grown = DrivenLevel.Make(seed, grows: true, atPeak, rateHz, throttle);
            double? raised = Run(grown).FirstOrDefault() is { Phase: AlertPhase.Raised } change && change.At != default ? change.At.Seconds : null;
            tally.Add(seed, raised, grown.GrowsFromS, grown.PassedS, grown.RisenS, Run(DrivenLevel.Make(seed, grows: false, atPeak, rateHz, throttle)).Count(step => step.Phase == AlertPhase.Raised));
        }
        Say(what, tally);
    }

    [Theory(Explicit = true)]
    [InlineData("waveform, all speeds", false, false)]
    [InlineData("waveform, all speeds, as it ran", false, true)]
    [InlineData("waveform, a resonance", true, false)]
    public async Task Of_a_waveform(string what, bool atPeak, bool asLive)
    {
        var tally = new Tally();
        for (int seed = atPeak ? FirstSeedOfABand : FirstSeed; seed <= (atPeak ? LastSeedOfABand : LastSeed); seed++)
        {
            DrivenWave grown = DrivenWave.Make(seed, grows: true, atPeak);
            double? raised = Rises(await grown.AnalyseAsync(asLive)).FirstOrDefault()?.Raised.Seconds;
            tally.Add(seed, raised, grown.GrowsFromS, grown.PassedS, grown.RisenS, Rises(await DrivenWave.Make(seed, grows: false, atPeak).AnalyseAsync(asLive)).Count());
        }
        Say(what, tally);
    }

    private static IEnumerable<Alert> Rises(SessionResult result) => result.Alerts.Where(alert => alert.Kind == AlertKind.VibrationBand);

    private static List<VibrationChange> Run(DrivenLevel made)
    {
        var state = new VibrationGrowthState(VibrationOptions.Default);
        var changes = new List<VibrationChange>();
        foreach (EngineFrame frame in made.Frames)
            if (state.Step(in frame, out VibrationChange change)) changes.Add(change);
        return changes;
    }

    private void Say(string what, Tally tally)
    {
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| {what} | {tally.Passed} | {tally.InTime} | {tally.Early} | {tally.InTimeRisen} | {tally.FalseTwins} of {tally.Runs} | {string.Join(", ", tally.Late)} |"));
        Assert.True(tally.InTimeRisen == tally.Passed && tally.FalseTwins == 0, $"{tally.Passed - tally.InTimeRisen} late or missed, {tally.FalseTwins} clean twins called");
    }

    /// <summary>Counts runs.</summary>
    private sealed class Tally
    {
        public int Runs { get; private set; }

        /// <summary>Runs whose level truly passes 1.5 times healthy early enough to be called before the end.</summary>
        public int Passed { get; private set; }

        /// <summary>Of those, called within 10 s of passing.</summary>
        public int InTime { get; private set; }

        /// <summary>Of those, called within 10 s of running at speeds where the level is 1.5 times healthy.</summary>
        public int InTimeRisen { get; private set; }

        /// <summary>Called before anything grew.</summary>
        public int Early { get; private set; }

        public int FalseTwins { get; private set; }

        public List<string> Late { get; } = [];

        public void Add(int seed, double? raisedS, double growsFromS, double passedS, Func<double, double> risenS, int twinCalls)
        {
            Runs++;
            if (twinCalls > 0) FalseTwins++;
            if (raisedS < growsFromS) Early++;
            if (double.IsNaN(passedS) || risenS(double.PositiveInfinity) < WithinS) return;
            Passed++;
            if (raisedS <= passedS + WithinS) InTime++;
            if (raisedS is { } raised && risenS(raised) <= WithinS) InTimeRisen++;
            else Late.Add(string.Create(CultureInfo.InvariantCulture, $"{seed}: {(raisedS is { } at ? $"{at - passedS:F0} s, {risenS(at):F0} s risen" : "never")}"));
        }
    }
}
