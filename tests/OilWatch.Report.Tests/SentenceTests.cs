namespace OilWatch.Report.Tests;

public sealed class SentenceTests
{
    [Theory]
    // 100 kPa = 14.5 psi, 410 kPa = 59.5 psi, 100 °C = 212 °F: check-values 12.
    [InlineData("Worst 100 kPa where 410 kPa is healthy.", "Worst 14.5 psi where 59.5 psi is healthy.")]
    [InlineData("fell to 100 of 410 kPa in C3L", "fell to 14.5 of 59.5 psi in C3L")]
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
