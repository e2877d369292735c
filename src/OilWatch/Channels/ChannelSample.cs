namespace OilWatch.Channels;

/// <summary>What the values of one channel look like, in the channel's own unit. NaN where the channel has no values.</summary>
/// <param name="Count">Finite values seen.</param>
/// <param name="Min">Smallest value.</param>
/// <param name="Max">Largest value.</param>
/// <param name="Median">Middle value, of a sample of the values where there are many.</param>
/// <param name="Quantile05">The value that 5 % lie below.</param>
/// <param name="Quantile95">The value that 95 % lie below.</param>
/// <param name="Distinct">How many different values there are; a lower bound where there are many.</param>
public sealed record ChannelSample(
    long Count, double Min, double Max, double Median, double Quantile05, double Quantile95, int Distinct);
