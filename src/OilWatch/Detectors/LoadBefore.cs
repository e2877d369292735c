using OilWatch.Alerts;

namespace OilWatch.Detectors;

/// <summary>The sustained load that a drop answers to.</summary>
/// <param name="Direction">Which way it acted.</param>
/// <param name="Since">When it began.</param>
/// <param name="HeldS">How long it had acted when the drop began, s.</param>
/// <param name="Other">The load along the other axis that acted beside it or just before; none where there was none.</param>
/// <param name="OtherHeldS">How long that one had acted, s.</param>
internal readonly record struct LoadBefore(LoadDirection Direction, LogTime Since, double HeldS, LoadDirection Other = LoadDirection.None, double OtherHeldS = double.NaN);
