using OilWatch.Causes;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Pressure;

namespace OilWatch.Tests.Causes;

/// <summary>How a change came, against changes that were made in a known time and at known speeds.</summary>
public sealed class ChangeCourseTests
{
    private const double LengthS = 400;
    private const double ChangesAtS = 200;

    [Theory]
    [InlineData(0)]
    [InlineData(5)]
    public void What_comes_within_seconds_came_suddenly(double tookS)
    {
        ChangeCourse course = CourseOf((t, _) => 0.3 * Came(t, tookS));
        Assert.True(course.SuddenEvidence > 20, $"{course.SuddenEvidence}");
        Assert.InRange(course.TookS, 0, 10);
        Assert.InRange(course.FromS, ChangesAtS - 8, ChangesAtS + 8);
    }

    [Theory]
    [InlineData(60)]
    [InlineData(120)]
    public void What_builds_up_over_minutes_did_not(double tookS)
    {
        ChangeCourse course = CourseOf((t, _) => 0.3 * Came(t, tookS));
        Assert.True(course.SuddenEvidence < -20, $"{course.SuddenEvidence}");
        Assert.InRange(course.TookS, 0.5 * tookS, 1.5 * tookS);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Without_a_change_neither_is_shown(int seed) => Assert.InRange(CourseOf((_, _) => 0, seed).SuddenEvidence, -8, 8);

    [Fact]
    public void It_is_told_at_which_speeds_pressure_fell()
    {
        ChangeCourse course = CourseOf((t, rpm) => Came(t, 0) * Math.Max(0, (rpm - 4000) / 5000));
        Assert.InRange(course.LowFall, -0.01, 0.03);
        // From eight tenths of 6000 rpm on: 0.16 to 0.4.
        Assert.InRange(course.TopFall, 0.24, 0.36);
    }

    [Fact]
    public void A_run_without_a_change_has_no_course() => Assert.Equal(ChangeCourse.Unknown, ChangeCourse.Of(Run((_, _) => 0), -1));

    [Fact]
    public void Froth_that_leaves_slowly_shows_in_what_the_engine_did_before()
    {
        double froth = 0;
        SignaturePart part = PartOf(rpm => froth += (0.05 / 6) * (Math.Max(0, rpm - 4000) / 5000 - froth));
        Assert.True(part.LatelyCorrelation < -0.5, $"{part.LatelyCorrelation}");
        Assert.True(part.LostByLately > 0.08, $"{part.LostByLately}");
    }

    [Fact]
    public void Air_that_goes_with_the_speed_does_not()
    {
        SignaturePart part = PartOf(rpm => Math.Max(0, rpm - 4000) / 5000);
        Assert.InRange(part.LatelyCorrelation, -0.3, 0.3);
    }

    private static double Came(double t, double tookS) => tookS > 0 ? Math.Clamp((t - ChangesAtS) / tookS, 0, 1) : t < ChangesAtS ? 0 : 1;

    private static SignaturePart PartOf(Func<double, double> lost)
    {
        SignatureTally tally = Run((_, rpm) => lost(rpm));
        return SignaturePart.Of(tally, 0, tally.Stretches.Count);
    }

    private static ChangeCourse CourseOf(Func<double, double, double> lost, int seed = 1)
    {
        SignatureTally tally = Run(lost, seed);
        return ChangeCourse.Of(tally, tally.StretchOf(LogTime.FromSeconds(ChangesAtS + 20)));
    }

    private static SignatureTally Run(Func<double, double, double> lost, int seed = 1)
    {
        var random = new Random(seed);
        var tally = new SignatureTally(PressureModelOptions.Default);
        for (double t = 0; t < LengthS; t += 0.05)
        {
            // Up and down in 17 s, and now and then in 7: the same speed comes after high ones and after low ones.
            double rpm = 4500 + (900 * Math.Sin(2 * Math.PI * t / 17)) + (600 * Math.Sin(2 * Math.PI * t / 7));
            double noise = 4 * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
            var frame = new EngineFrame(LogTime.FromSeconds(t))
            {
                ExpectedKpa = 400,
                SpreadKpa = 8,
                Fresh = 1u << (int)Role.OilPressure,
                LoadLateralG = 0,
                LoadLongitudinalG = 0,
            };
            frame[Role.OilPressure] = (400 * (1 - lost(t, rpm))) + noise;
            frame[Role.EngineSpeed] = rpm;
            tally.Step(in frame);
        }
        return tally;
    }
}
