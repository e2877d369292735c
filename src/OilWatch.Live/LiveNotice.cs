using OilWatch.Alerts;

namespace OilWatch.Live;

/// <summary>Something about the source, the recording or the buffers that whoever watches should know; not about the engine.</summary>
/// <param name="Severity">How much it matters; null for news that need nothing done, such as a connection made.</param>
/// <param name="Text">A sentence: where, what, and what would be right.</param>
public readonly record struct LiveNotice(Severity? Severity, string Text);
