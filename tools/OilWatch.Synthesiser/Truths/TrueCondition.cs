namespace OilWatch.Synthesiser.Truths;

/// <summary>A lasting problem.</summary>
/// <param name="Kind">Such as <c>pump-failing</c> or <c>vacuum-loss-belt</c>.</param>
/// <param name="StartS">When it began, s.</param>
/// <param name="FullS">When it had grown to its full size, s.</param>
/// <param name="EndS">End of the log, s.</param>
public sealed record TrueCondition(string Kind, double StartS, double FullS, double EndS);
