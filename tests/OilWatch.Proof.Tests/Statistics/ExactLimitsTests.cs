using OilWatch.Proof.Statistics;

namespace OilWatch.Proof.Tests.Statistics;

/// <summary>Check values 9.1, 9.2, 9.3 (COMPUTED with R 4.2.2); tolerances are the digits printed there.</summary>
public sealed class ExactLimitsTests
{
    [Theory]
    [InlineData(0, 0, 3.688879, 2.995732)]
    [InlineData(1, 0.025318, 5.571643, 4.743865)]
    [InlineData(2, 0.242209, 7.224688, 6.295794)]
    [InlineData(3, 0.618672, 8.767273, 7.753657)]
    [InlineData(5, 1.623486, 11.668332, 10.513035)]
    [InlineData(10, 4.795389, 18.390356, 16.962219)]
    [InlineData(20, 12.216520, 30.888378, 29.062019)]
    public void Garwood_limits_of_a_Poisson_mean(int events, double low, double high, double oneSided)
    {
        Limits limits = Garwood.Of(events);
        Assert.Equal(low, limits.Low, 1e-6);
        Assert.Equal(high, limits.High, 1e-6);
        Assert.Equal(oneSided, Garwood.Upper(events), 1e-6);
    }

    [Theory]
    [InlineData(0, 10, 0, 0.30849711)]
    [InlineData(0, 20, 0, 0.16843347)]
    [InlineData(1, 10, 0.00252858, 0.44501612)]
    [InlineData(3, 20, 0.03207094, 0.37892683)]
    [InlineData(5, 10, 0.18708603, 0.81291397)]
    [InlineData(8, 20, 0.19119006, 0.63945741)]
    [InlineData(20, 20, 0.83156653, 1)]
    public void Clopper_Pearson_limits_of_a_share(int events, int trials, double low, double high)
    {
        Limits limits = ClopperPearson.Of(events, trials);
        Assert.Equal(low, limits.Low, 1e-8);
        Assert.Equal(high, limits.High, 1e-8);
    }

    [Theory]
    [InlineData(10, 0.25886555)]
    [InlineData(20, 0.13910834)]
    [InlineData(30, 0.09503385)]
    [InlineData(60, 0.04870291)]
    [InlineData(100, 0.02951305)]
    [InlineData(300, 0.00993608)]
    public void No_event_in_n_trials_leaves_about_three_over_n(int trials, double exact)
    {
        Assert.Equal(exact, ClopperPearson.Upper(0, trials), 1e-8);
        Assert.InRange(3.0 / trials, exact, exact * 1.16);
        Assert.Equal(2.99573227, Garwood.Upper(0), 1e-8);
    }

    [Fact]
    public void Counts_that_do_not_fit_are_refused_with_what_would_be_right()
    {
        Assert.StartsWith("Events are 0 to the number of trials.", Assert.Throws<ArgumentOutOfRangeException>(() => ClopperPearson.Of(5, 4)).Message, StringComparison.Ordinal);
        Assert.StartsWith("There is at least one trial.", Assert.Throws<ArgumentOutOfRangeException>(() => ClopperPearson.Of(0, 0)).Message, StringComparison.Ordinal);
        Assert.StartsWith("A count is 0 or more.", Assert.Throws<ArgumentOutOfRangeException>(() => Garwood.Of(-1)).Message, StringComparison.Ordinal);
        Assert.StartsWith(
            "Confidence is a share above 0 and below 1, such as 0.95.",
            Assert.Throws<ArgumentOutOfRangeException>(() => Garwood.Of(1, 95)).Message, StringComparison.Ordinal);
    }
}
