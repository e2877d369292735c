using OilWatch.Analysis;
using OilWatch.Causes;
using OilWatch.Results;

namespace OilWatch.Tests.Analysis;

public sealed class AnswerTests
{
    [Theory]
    [InlineData("ThinOil", true)]
    [InlineData("Sensor", false)]      // has alerts of its own
    public void What_is_wrong_with_pressure_without_an_alert_asks_for_a_look(string scored, bool watch)
    {
        Cause cause = Enum.Parse<Cause>(scored);
        CauseReading reading = new() { Outcome = CauseOutcome.Named, Cause = cause, Reading = "oil thinner than it was", Scores = [new CauseScore(cause, 1)] };
        (Verdict verdict, string headline) = Answer.Of([], [], [], canJudge: true, [], reading);
        Assert.Equal(watch ? Verdict.Watch : Verdict.Clear, verdict);
        Assert.Equal(watch ? "No sudden loss of oil pressure, but it is not as it should be: oil thinner than it was." : "No loss of oil pressure found in what could be judged.", headline);
    }

    [Fact]
    public void Nothing_to_explain_is_clear() =>
        Assert.Equal(Verdict.Clear, Answer.Of([], [], [], canJudge: true, [], new CauseReading { Outcome = CauseOutcome.NothingFound, Reading = "nothing to explain" }).Verdict);
}
