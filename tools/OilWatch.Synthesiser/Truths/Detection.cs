namespace OilWatch.Synthesiser.Truths;

/// <summary>What a detector said, for scoring.</summary>
/// <param name="StartS">When the drop began, s.</param>
/// <param name="EndS">When it was over, s.</param>
/// <param name="RaisedS">When the alert was raised, s.</param>
/// <param name="Severity"><c>advisory</c>, <c>caution</c> or <c>warning</c>.</param>
/// <param name="Kind"><c>oil-starvation</c> or <c>low-oil-pressure</c>; other kinds are not scored.</param>
/// <param name="Direction">Direction of the load, or null.</param>
public sealed record Detection(double StartS, double EndS, double RaisedS, string Severity, string Kind, string? Direction = null);
