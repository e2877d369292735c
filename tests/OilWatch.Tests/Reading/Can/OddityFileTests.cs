using System.Text;
using OilWatch.Reading;
using OilWatch.Reading.Can;
using static OilWatch.Tests.Reading.Can.CanBench;

namespace OilWatch.Tests.Reading.Can;

/// <summary>Files in <c>tests/Oddities</c>: what real recorders and database editors do, and what once broke a reader.</summary>
public class OddityFileTests
{
    private const string Engine = "BO_ 256 Engine: 8 ECU\n SG_ OilPressure : 0|16@1+ (0.5,0) [0|0] \"kPa\" ECU\n";

    [Theory]
    [InlineData("windows-1252-degree-sign.dbc", "Engine: Öltemperatur °C", "")]
    [InlineData("overlapping-signals.dbc", "Engine: OilPressure kPa, OilPressureLow kPa, OilPressureFlag ", "")]
    [InlineData("comment-never-closed.dbc", "Engine: OilPressure kPa; Wheels: ",
        "comment-never-closed.dbc:3:25: a string is opened here and never closed; expected '\"' before the ';': CM_ SG_ 256 OilPressure ▸\"where the sender")]
    [InlineData("semicolons-missing.dbc", "Engine: OilPressure kPa; Wheels: Speed km/h", "")]
    [InlineData("symbol-list-not-indented.dbc", "Engine: OilPressure kPa", "")]
    [InlineData("loose-signals-and-odd-ids.dbc", "Eec1: EngineSpeed rpm; Empty: ",
        "loose-signals-and-odd-ids.dbc:3:5: the id is more than a standard one can be (2047) and lacks bit 31 of an extended one (plus 2147483648); " +
        "taken as extended: BO_ ▸217056256 Eec1: 8 ECU")]
    public void A_database_gives_what_is_in_it(string file, string messages, string problems)
    {
        CanDatabase database = CanDatabase.Parse(file, Load(file));

        Assert.Equal(messages, string.Join("; ", database.Messages.Select(
            message => $"{message.Name}: {string.Join(", ", message.Signals.Select(signal => $"{signal.Name} {signal.Unit}"))}")));
        Assert.Equal(problems, string.Join('\n', database.Problems));
    }

    [Theory]
    [InlineData("lost-frames-and-bus-faults.log", "6 lines: 2 frames, 1 remote frames, 2 error frames, 1 notices; back 0", "0 500, 1000000 lost, 2000000 lost, 3000000 500.5")]
    [InlineData("screen-form.log", "5 lines: 2 frames, 1 remote frames, 1 error frames, 1 comments; back 0", "0 500, 3000000 500.5")]
    [InlineData("power-cut-in-mid-line.log", "2 lines: 1 frames, 1 damaged; back 0", "0 500")]
    [InlineData("two-interfaces-out-of-step.log", "4 lines: 4 frames; back 0", "0 500, 1000000 500.5")]
    [InlineData("every-way-to-write-a-frame.log", "8 lines: 6 frames, 2 comments; back 0", "0 500, 1000000 500, 3000000 500, 4000000 500")]
    [InlineData("clock-set-during-recording.log", "5 lines: 5 frames; back 1",
        "0 500, 500000000 500.5, 1436509040249713000 501, 1436509040749713000 501.5, 1436505440749713000 502")]
    public void A_log_gives_what_is_in_it(string file, string summary, string readings)
    {
        byte[] bytes = Load(file);
        Assert.True(CanTextFormat.Recognise(bytes));

        Heard heard = Read(Open(Encoding.UTF8.GetString(bytes), Engine));

        Assert.Equal(summary, heard.Summary);
        Assert.Equal(readings, string.Join(", ", heard.Lines
            .Where(line => !line.EndsWith("end", StringComparison.Ordinal))
            .Select(line => line.Replace(" OilPressure", "", StringComparison.Ordinal))));
    }

    private static byte[] Load(string file)
    {
        string? folder = AppContext.BaseDirectory;
        while (folder is not null && !Directory.Exists(Path.Combine(folder, "tests", "Oddities"))) folder = Path.GetDirectoryName(folder);
        return File.ReadAllBytes(Path.Combine(folder!, "tests", "Oddities", file));
    }
}
