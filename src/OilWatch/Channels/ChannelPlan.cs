using System.Collections.Immutable;

namespace OilWatch.Channels;

/// <summary>Which channel of a log fills which role, and what could not be filled.</summary>
/// <param name="Choices">The choices, one a role at most, in the order of the roles.</param>
/// <param name="Notes">What was assumed or could not be decided, a sentence each, for people.</param>
public sealed record ChannelPlan(ImmutableArray<ChannelChoice> Choices, ImmutableArray<string> Notes)
{
    /// <summary>The choice for a role, or null.</summary>
    public ChannelChoice? For(Role role) => Choices.FirstOrDefault(choice => choice.Role == role);

    /// <summary>The unit that a role's values are in: the role's own, or mm/s for a vibration level that is a velocity.</summary>
    public string UnitOf(Role role) => For(role)?.Unit ?? role.Unit();

    /// <summary>True when a role's channel measures a pressure from vacuum, not from ambient.</summary>
    internal bool IsAbsolute(Role role) => Units.Find(For(role)?.UnitUsed)?.Reference == PressureReference.Absolute;

    /// <summary>True when a channel fills the role.</summary>
    public bool Has(Role role) => For(role) is not null;
}
