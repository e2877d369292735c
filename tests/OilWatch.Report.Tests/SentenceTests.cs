namespace OilWatch.Report.Tests;

public sealed class SentenceTests
{
    [Theory]
    // 100 kPa = 14.504 psi, 410 kPa = 59.465 psi, 20 kPa = 2.9008 psi, 100 °C = 212 °F: check-values 12.
    [InlineData("Worst 100 kPa where 410 kPa is healthy.", "Worst 15 psi where 59 psi is healthy.")]
    [InlineData("fell to 100 of 410 kPa in C3L", "fell to 15 of 59 psi in C3L")]
    [InlineData("Oil pressure low in C3L: 100 kPa, healthy is 410. Ease off now.", "Oil pressure low in C3L: 15 psi, healthy is 59. Ease off now.")]
    [InlineData("give or take 20 kPa, healthy is what it is", "give or take 2.9 psi, healthy is what it is")]
    [InlineData("from -40 to 100 °C", "from -40 to 212 °F")]
    [InlineData("deficit 171.25 kPa·s, 1.5 s", "deficit 171.25 kPa·s, 1.5 s")]
    [InlineData("lap 4 of 10, 2 kPas", "lap 4 of 10, 2 kPas")]
    [InlineData("v1.100 kPa", "v1.100 kPa")]
    [InlineData("", "")]
    public void A_sentence_is_shown_in_the_units_asked_for(string sentence, string us)
    {
        Assert.Equal(us, new Quantities(ReportUnits.Us).Sentence(sentence));
        Assert.Equal(sentence, new Quantities(ReportUnits.Si).Sentence(sentence));
    }

    [Fact]
    public void A_sentence_of_digits_alone_is_done_at_once() =>
        Assert.Equal(2_000_000, new Quantities(ReportUnits.Us).Sentence(new string('1', 2_000_000)).Length);
}
