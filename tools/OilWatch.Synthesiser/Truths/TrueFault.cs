namespace OilWatch.Synthesiser.Truths;

/// <summary>One sensor or logger fault that was put into the log.</summary>
/// <param name="Channel">The role's key, or <c>log</c> for the whole log.</param>
/// <param name="Kind">Such as <c>dropout-zero</c>; see the list in the documentation.</param>
/// <param name="StartS">When it began, s.</param>
/// <param name="EndS">When it was over, s.</param>
public sealed record TrueFault(string Channel, string Kind, double StartS, double EndS);
