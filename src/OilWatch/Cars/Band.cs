namespace OilWatch.Cars;

/// <summary>A band of engine speed, frequency or order.</summary>
/// <param name="Name">What the owner calls it.</param>
/// <param name="Kind">What <paramref name="From"/> and <paramref name="To"/> measure.</param>
/// <param name="From">Lower limit: rpm, Hz or order.</param>
/// <param name="To">Upper limit, above <paramref name="From"/>.</param>
public sealed record Band(string Name, BandKind Kind, double From, double To);
