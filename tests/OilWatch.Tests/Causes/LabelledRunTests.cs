using OilWatch.Alerts;
using OilWatch.Causes;
using OilWatch.Results;

#pragma warning disable MA0002 // Assert.Equal compares texts ordinally by itself.

namespace OilWatch.Tests.Causes;

/// <summary>Causes against the truth of synthesised runs. <see cref="ConfusionTable"/> is the same over many seeds.</summary>
public sealed class LabelledRunTests
{
    [Theory]
    [InlineData("wet-left", 3, "pickup-uncovered left")]
    [InlineData("wet-right", 3, "pickup-uncovered right")]
    [InlineData("wet-braking", 4, "pickup-uncovered braking")]
    [InlineData("aeration", 6, "air-in-oil")]
    [InlineData("aeration", 14, "air-in-oil")]
    [InlineData("relief-open", 3, "relief-valve")]
    [InlineData("relief-open", 6, "relief-valve")]
    [InlineData("pickup-broken", 2, "pickup-broken")]
    [InlineData("pickup-broken", 3, "pickup-broken")]
    [InlineData("relief-open", 203, "relief-valve")]     // a soft valve: pressure still rises with speed
    [InlineData("relief-open", 404, "relief-valve")]     // a second stage, open in cold oil before
    [InlineData("relief-open", 618, "relief-valve")]
    [InlineData("aeration", 412, "air-in-oil")]          // a fall that lasts
    [InlineData("aeration", 423, "air-in-oil")]
    [InlineData("aeration", 616, "air-in-oil")]          // no fall at all
    [InlineData("cold-start", 401, "nothing-found")]     // strays as much, and does not flutter
    [InlineData("pump-failing", 2, "pump-damage")]
    [InlineData("pump-failing", 620, "pump-damage")]
    [InlineData("faults-pressure", 1, "sensor")]
    [InlineData("faults-on-wet", 1, "pickup-uncovered left")]
    [InlineData("dry-sump", 3, "nothing-found")]
    public async Task The_cause_of_a_labelled_run_is_named(string scenario, ulong seed, string cause)
    {
        SessionResult result = await CauseBench.AnalyseAsync(scenario, seed);
        Assert.Equal(cause, CauseBench.Word(result.Cause!));
    }

    [Fact]
    public async Task Where_a_third_is_left_at_once_and_steadily_pump_and_pickup_remain()
    {
        SessionResult result = await CauseBench.AnalyseAsync("pump-failing", 1);
        Assert.Equal(CauseOutcome.CannotTell, result.Cause!.Outcome);
        Assert.Equal([Cause.PickupBroken, Cause.PumpDamage], result.Cause.Candidates);
    }

    [Fact]
    public async Task Wear_is_never_taken_for_thin_oil()
    {
        SessionResult result = await CauseBench.AnalyseAsync("worn", 3, reference: "clean-wet");
        Assert.Contains(CauseBench.Word(result.Cause!), new[] { "wear", "cannot-tell" });
    }

    [Theory]
    [InlineData("thin-oil", 14, "thin-oil")]
    [InlineData("thin-oil", 1, "thin-oil")]
    [InlineData("worn", 5, "wear")]
    [InlineData("worn", 9, "wear")]
    [InlineData("worn", 12, "wear")]             // no plateau is reached in the worn engine
    [InlineData("thin-oil", 9, "thin-oil")]
    public async Task Against_an_earlier_run_thin_oil_is_told_from_wear(string scenario, ulong seed, string cause)
    {
        SessionResult result = await CauseBench.AnalyseAsync(scenario, seed, reference: "clean-wet");
        Assert.Equal(cause, CauseBench.Word(result.Cause!));
        Assert.NotEqual(Verdict.Clear, result.Verdict);
    }

    [Theory]
    [InlineData("worn", 221)]
    public async Task Where_the_valve_hardly_opens_wear_and_thin_oil_remain(string scenario, ulong seed)
    {
        SessionResult result = await CauseBench.AnalyseAsync(scenario, seed, reference: "clean-wet");
        Assert.Equal(CauseOutcome.CannotTell, result.Cause!.Outcome);
        Assert.Equal([Cause.ThinOil, Cause.Wear], result.Cause.Candidates);
    }

    [Fact]
    public async Task Every_alert_has_a_reading_evidence_and_what_to_inspect()
    {
        SessionResult result = await CauseBench.AnalyseAsync("faults-on-wet", 1);
        Assert.All(result.Alerts, alert => Assert.True(alert.Reading is { Length: > 0 } && alert.Evidence.Length > 0 && alert.Inspect.Length > 0, alert.ToString()));
        Assert.Contains(result.Alerts, alert => alert.Kind == AlertKind.SensorFault);
        Assert.Contains(result.Alerts, alert => alert.Reading is "oil pickup uncovered in a left-hand corner");
    }

    [Fact]
    public async Task A_drop_under_load_in_a_run_with_air_in_the_oil_is_read_as_that()
    {
        SessionResult result = await CauseBench.AnalyseAsync("aeration", 14);
        Alert underLoad = result.Alerts.First(alert => alert.Direction != LoadDirection.None && alert.Start.Seconds > 300);
        Assert.StartsWith("air in the oil", underLoad.Reading, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("aeration", 2, 0.8)]
    [InlineData("wet-left", 3, 0.5)]
    public async Task As_the_pit_saw_it_a_reading_knows_nothing_of_what_comes_later(string scenario, ulong seed, double share)
    {
        SessionResult whole = await CauseBench.AnalyseAsync(scenario, seed, asLive: true);
        SessionResult part = await CauseBench.AnalyseAsync(scenario, seed, asLive: true, share: share);
        LogTime cut = part.Last!.Value.AddSeconds(-5);
        List<string> early = [.. part.Alerts.Where(alert => alert.End < cut).Select(Text)];
        Assert.NotEmpty(early);
        Assert.Equal(early, whole.Alerts.Where(alert => alert.End < cut).Select(Text));
    }

    private static string Text(Alert alert) =>
        FormattableString.Invariant($"{alert.Start.Seconds} {alert.Reading} {string.Join("; ", alert.Evidence)} {string.Join("; ", alert.Inspect)}");
}
