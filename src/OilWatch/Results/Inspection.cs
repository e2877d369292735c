namespace OilWatch.Results;

/// <summary>Something to look at, and how many alerts ask for it.</summary>
/// <param name="What">What to look at, in the trade's words.</param>
/// <param name="Alerts">Alerts that name it.</param>
public sealed record Inspection(string What, int Alerts);
