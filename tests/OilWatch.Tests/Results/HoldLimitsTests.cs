using OilWatch.Alerts;
using OilWatch.Laps;
using OilWatch.Results;

namespace OilWatch.Tests.Results;

public sealed class HoldLimitsTests
{
    // Freireich et al. 1963, weeks; check-values 9.10: S of 6-MP at 6 is 0.857 and of placebo at 1 0.905, at 2 0.810 (COMPUTED R survival 3.5.3).
    private const string Treated = "6 6 6 6+ 7 9+ 10 10+ 11+ 13 16 17+ 19+ 20+ 22 23 25+ 32+ 32+ 34+ 35+";
    private const string Placebo = "1 1 2 2 3 4 4 5 5 8 8 8 8 11 11 12 12 15 17 22 23";

    [Theory]
    [InlineData(Treated, 21, 9, 6.0)]
    [InlineData(Placebo, 21, 21, 2.0)]
    [InlineData("6+ 6+ 6+", 3, 0, null)]
    [InlineData("1 2+ 2+ 2+ 2+ 2+ 2+ 2+ 2+ 2+", 10, 1, 1.0)]              // 0.9 exactly is one in ten
    [InlineData("1 2+ 2+ 2+ 2+ 2+ 2+ 2+ 2+ 2+ 2+", 11, 1, null)]
    [InlineData("1+ 1+ 2 3+", 4, 1, 2.0)]                                  // those that were over before are not at risk
    public void One_pass_of_ten_has_dropped_when_the_product_limit_estimate_says_so(string trials, int passes, int drops, double? tenthS)
    {
        HoldLimit limit = Assert.Single(HoldLimits.Of(Session([.. trials.Split(' ').Select(trial => Pass(trial, 1.3))])));
        Assert.Equal(new HoldLimit(LoadDirection.Left, 1.2, 1.4, passes, drops, tenthS), limit);
    }

    [Fact]
    public void Sides_and_loads_are_kept_apart()
    {
        CornerPass[] passes = [Pass("2", 1.199), Pass("2", 1.2), Pass("2", 0.6), Pass("3+", 1.3) with { Direction = LoadDirection.Right }];
        Assert.Equal(
            [(LoadDirection.Left, 0.6), (LoadDirection.Left, 1.0), (LoadDirection.Left, 1.2), (LoadDirection.Right, 1.2)],
            HoldLimits.Of(Session(passes)).Select(limit => (limit.Direction, limit.FromG)));
    }

    [Fact]
    public void A_pass_that_could_not_be_judged_is_no_trial()
    {
        CornerPass[] passes =
        [
            Pass("3+", 1.3) with { Starved = null }, Pass("3+", 1.3) with { PeakLateralG = null }, Pass("3+", double.NaN), Pass("0+", 1.3), Pass("3+", 1e9),
            Pass("3+", 1.3) with { Direction = LoadDirection.Braking },
        ];
        Assert.Empty(HoldLimits.Of(Session(passes)));
    }

    [Theory]
    [InlineData(10, 3, true)]
    [InlineData(9, 3, false)]
    [InlineData(10, 2, false)]
    public void Few_passes_or_drops_are_not_said_in_words(int passes, int drops, bool enough)
    {
        CornerPass[] all = [.. Enumerable.Range(0, passes).Select(number => Pass(number < drops ? "1" : "4+", 1.3))];
        Assert.Equal(enough, Assert.Single(HoldLimits.Of(Session(all))).Enough);
    }

    private static SessionResult Session(CornerPass[] passes) => Sessions.Bare with { CornerPasses = [.. passes] };

    private static CornerPass Pass(string trial, double g)
    {
        bool held = trial.EndsWith('+');
        double seconds = double.Parse(trial.TrimEnd('+'), System.Globalization.CultureInfo.InvariantCulture);
        return new CornerPass
        {
            Direction = LoadDirection.Left,
            Entry = new LogTime(0),
            Exit = new LogTime(1),
            SustainedS = held ? seconds : 99,
            TimeToDropS = held ? null : seconds,
            PeakLateralG = g,
            Starved = !held,
        };
    }
}
