namespace OilWatch.Proof.Statistics;

/// <summary>One step of a Kaplan-Meier curve.</summary>
/// <param name="TimeS">When, s.</param>
/// <param name="AtRisk">Trials still watched just before.</param>
/// <param name="Events">Events at this time.</param>
/// <param name="Share">Share without an event from here on, 0 to 1.</param>
/// <param name="StandardError">Greenwood's standard error of the share.</param>
/// <param name="Limits">Limits of the share, log(−log) scale.</param>
public sealed record KaplanMeierStep(double TimeS, int AtRisk, int Events, double Share, double StandardError, Limits Limits);
