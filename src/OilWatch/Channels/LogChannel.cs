namespace OilWatch.Channels;

/// <summary>A channel that a log offers, before anyone has given it a role.</summary>
/// <param name="Index">Its place among the channels of its reader, counted from 0.</param>
/// <param name="Name">Its name as the log or the CAN database writes it, without the unit.</param>
/// <param name="Unit">Its unit as written, or null where none is given.</param>
/// <param name="Group">Where it comes from, such as the CAN message's name; null for a plain column.</param>
public sealed record LogChannel(int Index, string Name, string? Unit, string? Group = null);
