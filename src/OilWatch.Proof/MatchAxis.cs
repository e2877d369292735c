namespace OilWatch.Proof;

/// <summary>A condition that groups are matched on.</summary>
/// <param name="Name">For people, such as <c>oil temperature</c>.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="Digits">Decimals worth printing.</param>
/// <param name="Value">Its value of an exposure, or null.</param>
/// <param name="Of">Its number among <see cref="AxisValues"/>.</param>
internal sealed record MatchAxis(string Name, string Unit, int Digits, Func<Exposure, double?> Value, Func<AxisValues, double> Of)
{
    public static IReadOnlyList<MatchAxis> All { get; } =
    [
        new("load", "g", 2, e => e.LoadG, v => v.LoadG),
        new("hold time", "s", 1, e => e.HoldS, v => v.HoldS),
        new("engine speed", "rpm", 0, e => e.SpeedRpm, v => v.SpeedRpm),
        new("oil temperature", "°C", 0, e => e.OilTemperatureC, v => v.OilTemperatureC),
    ];
}
