using System.CommandLine;
using OilWatch.Console.Text;

namespace OilWatch.Console;

/// <summary>The options that every verb has.</summary>
internal sealed class CommonOptions
{
    public Option<bool> Json { get; } = new("--json")
    {
        Description = "Print the answer as JSON, a line a log.",
        Recursive = true,
    };

    public Option<bool> Quiet { get; } = new("--quiet")
    {
        Description = "No progress and no answer for people; errors are still shown.",
        Recursive = true,
    };

    public Option<Units> Units { get; } = WithSi();

    public AnswerSettings In(ParseResult parsed) =>
        new(parsed.GetValue(Json), parsed.GetValue(Quiet), parsed.GetValue(Units));

    private static Option<Units> WithSi()
    {
        Option<Units> units = CommandLine.Word("--units", "si|us",
            "Units of the answer for people; files stay in SI.", ("si", Report.ReportUnits.Si), ("us", Report.ReportUnits.Us));
        units.Recursive = true;
        return units;
    }
}
