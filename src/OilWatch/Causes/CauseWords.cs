namespace OilWatch.Causes;

/// <summary>The words that files and screens use for causes.</summary>
public static class CauseWords
{
    /// <summary>Such as <c>pickup-uncovered</c>.</summary>
    public static string Word(this Cause cause) => cause switch
    {
        Cause.PickupUncovered => "pickup-uncovered",
        Cause.AirInOil => "air-in-oil",
        Cause.ThinOil => "thin-oil",
        Cause.Wear => "wear",
        Cause.ReliefValve => "relief-valve",
        Cause.PumpDamage => "pump-damage",
        Cause.PickupBroken => "pickup-broken",
        Cause.RestrictedPickup => "restricted-pickup",
        Cause.Sensor => "sensor",
        _ => throw new ArgumentOutOfRangeException(nameof(cause)),
    };

    /// <summary><c>nothing-found</c>, <c>named</c>, <c>cannot-tell</c> or <c>not-judged</c>.</summary>
    public static string Word(this CauseOutcome outcome) => outcome switch
    {
        CauseOutcome.NothingFound => "nothing-found",
        CauseOutcome.Named => "named",
        CauseOutcome.CannotTell => "cannot-tell",
        CauseOutcome.NotJudged => "not-judged",
        _ => throw new ArgumentOutOfRangeException(nameof(outcome)),
    };

    /// <summary>The cause in the trade's words, fit to follow a colon.</summary>
    internal static string Phrase(this Cause cause) => cause switch
    {
        Cause.PickupUncovered => "oil pickup uncovered by the load",
        Cause.AirInOil => "air in the oil (aeration)",
        Cause.ThinOil => "oil thinner than it was (fuel in it, wrong grade or heat)",
        Cause.Wear => "larger bearing clearances (wear)",
        Cause.ReliefValve => "relief valve stuck open or its spring weak",
        Cause.PumpDamage => "oil pump or its drive failing",
        Cause.PickupBroken => "oil pickup broken, cracked or come loose",
        Cause.RestrictedPickup => "pump starved at high speed (cavitation or a restricted pickup)",
        Cause.Sensor => "sensor, connector or wiring",
        _ => throw new ArgumentOutOfRangeException(nameof(cause)),
    };
}
