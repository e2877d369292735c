namespace OilWatch.Reading.Can;

/// <summary>Where a channel's values are: a signal of a message, or a parameter of SAE J1979 answers.</summary>
/// <param name="Rule">Which frames; null for a diagnostic parameter.</param>
/// <param name="Signal">Which bits of them; null for a diagnostic parameter.</param>
/// <param name="Parameter">The diagnostic parameter, or null.</param>
/// <param name="Responder">The only id whose answers are taken, with its extended flag, or 0 for any.</param>
internal readonly record struct CanChannelSource(MatchRule? Rule, CanSignal? Signal, DiagnosticParameter? Parameter, uint Responder);
