namespace OilWatch.Synthesiser.Truths;

/// <summary>One lap.</summary>
/// <param name="Number">Number as the log counts it; 0 is the out lap.</param>
/// <param name="Kind"><c>out</c>, <c>timed</c> or <c>in</c>.</param>
/// <param name="StartS">When it began, s.</param>
/// <param name="EndS">When it ended, s.</param>
public sealed record TrueLap(int Number, string Kind, double StartS, double EndS);
