using OilWatch.Alerts;
using OilWatch.Causes;
using OilWatch.Channels;
using OilWatch.Detectors;
using OilWatch.Frames;

#pragma warning disable MA0002 // Assert compares texts ordinally by itself.

namespace OilWatch.Tests.Causes;

public sealed class PanSenseTests
{
    [Fact]
    public void Straights_braked_on_without_a_loss_say_that_it_was_the_corner()
    {
        PanSense pan = Seen(lowBraking: false, lowLeft: true);
        Assert.True(pan.Minds(LoadDirection.Left, LoadDirection.Braking));
        Assert.False(pan.Minds(LoadDirection.Braking, LoadDirection.Left));
        Assert.False(pan.Minds(LoadDirection.None, LoadDirection.Braking));
        Assert.False(pan.Minds(LoadDirection.Right, LoadDirection.Braking));        // never seen alone
    }

    [Fact]
    public void Corners_without_a_loss_say_that_it_was_the_braking()
    {
        PanSense pan = Seen(lowBraking: true, lowLeft: false);
        Assert.True(pan.Minds(LoadDirection.Braking, LoadDirection.Left));
        Assert.False(pan.Minds(LoadDirection.Left, LoadDirection.Braking));
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Where_both_are_minded_or_neither_nothing_is_said(bool low)
    {
        PanSense pan = Seen(low, low);
        Assert.False(pan.Minds(LoadDirection.Left, LoadDirection.Braking));
        Assert.False(pan.Minds(LoadDirection.Braking, LoadDirection.Left));
    }

    [Fact]
    public void The_one_load_under_which_pressure_is_deep_below_is_minded_alone()
    {
        Assert.Equal(LoadDirection.Braking, Seen(lowBraking: true, lowLeft: false, lowKpa: 80).Alone);
        Assert.Equal(LoadDirection.Left, Seen(lowBraking: false, lowLeft: true, lowKpa: 80).Alone);
        Assert.Equal(LoadDirection.None, Seen(lowBraking: true, lowLeft: true, lowKpa: 80).Alone);
        Assert.Equal(LoadDirection.None, Seen(lowBraking: true, lowLeft: false, lowKpa: 250).Alone);
        Assert.Equal(LoadDirection.None, Seen(lowBraking: true, lowLeft: false, lowKpa: 80, lowCoasting: true).Alone);
    }

    [Fact]
    public void A_drop_that_answers_to_the_other_load_is_told_so_throughout()
    {
        var drop = new PressureDrop
        {
            Start = LogTime.FromSeconds(10),
            Raised = LogTime.FromSeconds(10.1),
            End = LogTime.FromSeconds(11),
            Severity = Severity.Caution,
            Direction = LoadDirection.Braking,
            LoadBeforeS = 0.6,
            OtherDirection = LoadDirection.Left,
            OtherLoadS = 0.2,
            PeakLateralG = 1.3,
            MinKpa = 200,
            ExpectedKpa = 400,
            MinRatio = 0.5,
            RpmAtMin = 5000,
            DurationS = 1,
            Revolutions = 80,
        };
        Alert alert = OilAlertText.Turned(OilAlertText.Alert(in drop, new Place(3, "C2R"), loadKnown: true), new Place(3, "C1L"));
        Assert.Equal((LoadDirection.Left, 0.2, "C1L"), (alert.Direction, alert.LoadBeforeS, alert.Corner));
        Assert.Equal("Oil pressure low in C1L: 200 kPa, healthy is 400. Ease off there.", alert.Message);
        Assert.Contains("0.2 s of sustained load came before, 1.30 g at most", alert.Evidence);
        Assert.DoesNotContain("0.6 s of sustained load came before", alert.Evidence);
    }

    /// <summary>Ten laps at 20 Hz of three seconds of braking on a straight, three seconds of coasting and three of a left-hand corner.</summary>
    private static PanSense Seen(bool lowBraking, bool lowLeft, double lowKpa = 250, bool lowCoasting = false)
    {
        var pan = new PanSense();
        for (int i = 0; i < 10 * 9 * 20; i++)
        {
            double t = i / 20.0 % 9;
            bool braking = t < 3, left = t >= 6;
            var frame = new EngineFrame(LogTime.FromSeconds(i / 20.0))
            {
                Fresh = uint.MaxValue,
                ExpectedKpa = 400,
                SurelyExpectedKpa = 400,
                SpreadKpa = 8,
                LoadLongitudinalG = braking ? -1 : 0,
                LoadLateralG = left ? 1.1 : 0,
            };
            bool low = (braking && lowBraking && t > 1.5) || (left && lowLeft && t > 7.5) || (lowCoasting && t is > 4 and < 5.5);
            frame[Role.OilPressure] = low ? lowKpa : 400;
            frame[Role.EngineSpeed] = 5000;
            pan.Step(in frame);
        }
        return pan;
    }
}
