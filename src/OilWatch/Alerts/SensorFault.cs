using OilWatch.Channels;

namespace OilWatch.Alerts;

/// <summary>A step in the life of one sensor fault.</summary>
/// <param name="Role">Whose sensor it is.</param>
/// <param name="Kind">What is wrong with it.</param>
/// <param name="Start">When it began.</param>
/// <param name="Raised">When it was known.</param>
/// <param name="End">When it was over; the last instant known while it lasts.</param>
/// <param name="Ending">How it ended; <see cref="EventEnd.Open"/> when it is raised.</param>
/// <param name="Level">The value it showed, in the role's unit, or NaN.</param>
/// <param name="Count">How many wild readings, for spikes; otherwise 0.</param>
public readonly record struct SensorFault(
    Role Role, SensorFaultKind Kind, LogTime Start, LogTime Raised, LogTime End, EventEnd Ending, double Level, int Count);
