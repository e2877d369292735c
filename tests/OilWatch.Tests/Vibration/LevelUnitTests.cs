using System.Globalization;
using System.Text;
using OilWatch.Alerts;
using OilWatch.Analysis;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Results;
using OilWatch.Tests.Analysis;

namespace OilWatch.Tests.Vibration;

public sealed class LevelUnitTests
{
    /// <summary>1 in = 25.4 mm exactly (NIST SP 811, B.8).</summary>
    [Theory]
    [InlineData("mm/s", 10, "mm/s", 10)]
    [InlineData("in/s", 10 / 25.4, "mm/s", 10)]
    [InlineData("m/s2", 9.80665, "g", 1)]
    public async Task A_level_in_any_unit_rises_alike_and_is_told_in_its_own_quantity(string unit, double scale, string shown, double shownScale)
    {
        DrivenLevel made = DrivenLevel.Make(7, grows: true, atPeak: false);
        SessionResult inG = await LabelledRun.AnalyseAsync(Csv(made, "g", 1));
        SessionResult other = await LabelledRun.AnalyseAsync(Csv(made, unit, scale));
        Alert known = Assert.Single(inG.Alerts, alert => alert.Kind == AlertKind.VibrationBand);
        Alert found = Assert.Single(other.Alerts, alert => alert.Kind == AlertKind.VibrationBand);
        Assert.Equal((known.Start, known.Raised, known.Severity), (found.Start, found.Raised, found.Severity));
        Assert.EndsWith(" rpm", found.Evidence[1], StringComparison.Ordinal);
        string[] words = found.Evidence[1].Split(' '), knownWords = known.Evidence[1].Split(' ');
        Assert.Equal(shown, words[1]);
        double level = double.Parse(words[0], CultureInfo.InvariantCulture), levelG = double.Parse(knownWords[0], CultureInfo.InvariantCulture);
        Assert.Equal(levelG * shownScale, level, 0.01 * level);
        Assert.Equal(shown, other.Plan.UnitOf(Role.Vibration));
    }

    private static string Csv(DrivenLevel made, string unit, double scale)
    {
        var text = new StringBuilder($"Time [s],Engine Speed [rpm],Throttle [%],Vibration [{unit}]\n");
        foreach (EngineFrame frame in made.Frames)
            text.Append(CultureInfo.InvariantCulture, $"{frame.At.Seconds:F3},{frame.SpeedRpm:F0},{frame.ThrottlePercent:F1},{frame.VibrationLevel * scale:F5}\n");
        return text.ToString();
    }
}
