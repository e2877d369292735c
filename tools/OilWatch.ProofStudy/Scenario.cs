namespace OilWatch.ProofStudy;

/// <summary>What a simulated pair is made of. Scatter is in standard deviations of the log odds.</summary>
/// <param name="Name">For the table.</param>
/// <param name="Problem">Where pressure is lost before.</param>
/// <param name="Effect">What the change did: added to the log odds; minus infinity is a cure.</param>
/// <param name="Before">Sessions before.</param>
/// <param name="After">Sessions after.</param>
/// <param name="Laps">Laps a session.</param>
/// <param name="Corners">Corners a lap.</param>
/// <param name="SessionScatter">Between sessions, all corners alike.</param>
/// <param name="CornerScatter">Between sessions, each corner on its own: lines, wind, kerbs used.</param>
/// <param name="LapScatter">Between laps.</param>
internal sealed record Scenario(
    string Name, Problem Problem, double Effect, int Before = 2, int After = 2, int Laps = 12, int Corners = 8,
    double SessionScatter = 0.3, double CornerScatter = 0.2, double LapScatter = 0.4)
{
    public bool IsCure => double.IsNegativeInfinity(Effect);
}
