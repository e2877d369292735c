using OilWatch.Console.Text;

namespace OilWatch.Console;

/// <summary>How the answer is given.</summary>
/// <param name="Json">As JSON, a line a log.</param>
/// <param name="Quiet">No progress, and no answer for people.</param>
/// <param name="Units">Units for people.</param>
internal sealed record AnswerSettings(bool Json = false, bool Quiet = false, Units Units = Units.Si);
