using OilWatch.Causes;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Pressure;

namespace OilWatch.Tests.Causes;

public sealed class FlutterGrowthTests
{
    private const double LengthS = 400;
    private const double ChangesAtS = 220;

    [Fact]
    public void Noise_that_doubles_is_found_where_it_doubled_with_four_times_the_variance()
    {
        SignatureTally tally = Run((t, random) => 4 * (t < ChangesAtS ? 1 : 2) * Normal(random));
        FlutterGrowth flutter = FlutterGrowth.Of(tally);
        Assert.InRange(tally.MiddleOf(flutter.AfterStretch).Seconds, ChangesAtS - 10, ChangesAtS + 10);
        Assert.InRange(flutter.Growth, Math.Log(4) - 0.15, Math.Log(4) + 0.15);
        Assert.InRange(flutter.NearGrowth, Math.Log(4) - 0.3, Math.Log(4) + 0.3);
        Assert.True(flutter.Sigma > 30, $"{flutter.Sigma}");
        // Of the noise, what is slower than 0.3 s is taken off: 4 kPa times the root of 3, less a tenth, of 400 kPa.
        Assert.InRange(flutter.Share, 0.013, 0.019);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    public void Noise_that_stays_is_no_growth(int seed) =>
        Assert.InRange(FlutterGrowth.Of(Run((_, random) => 4 * Normal(random), seed)).Sigma, 0, 5);

    [Fact]
    public void What_the_curve_has_wrong_at_a_speed_is_no_flutter()
    {
        // From the middle on the engine stands 60 kPa below the curve at 3000 rpm and at it at 6000 rpm, as a curve learned cold may have it.
        SignatureTally tally = Run((t, random) => (2 * Normal(random)) - (t < ChangesAtS ? 0 : 60 * (6000 - Speed(t)) / 3000));
        Assert.InRange(FlutterGrowth.Of(tally).Growth, 0, 0.4);
    }

    [Fact]
    public void A_run_too_short_for_two_sides_shows_nothing()
    {
        var tally = new SignatureTally(PressureModelOptions.Default);
        for (double t = 0; t < 50; t += 0.05) tally.Step(Frame(t, 0));
        Assert.Equal(FlutterGrowth.None, FlutterGrowth.Of(tally));
    }

    [Fact]
    public void Pressure_fell_by_what_it_fell_at_equal_speed_whatever_was_expected()
    {
        var tally = new SignatureTally(PressureModelOptions.Default);
        for (double t = 0; t < LengthS; t += 0.05)
        {
            EngineFrame frame = Frame(t, t < ChangesAtS ? 0 : -120);
            if (t >= ChangesAtS) frame.ExpectedKpa = 280;      // learned from what came after
            tally.Step(in frame);
        }
        Assert.Equal(0.3, PressureFall.Of(tally, tally.StretchOf(LogTime.FromSeconds(ChangesAtS)), 12), 2);
    }

    [Fact]
    public void Without_a_speed_in_common_it_is_not_known_whether_pressure_fell()
    {
        var tally = new SignatureTally(PressureModelOptions.Default);
        for (double t = 0; t < LengthS; t += 0.05)
        {
            EngineFrame frame = Frame(t, 0);
            frame[Role.EngineSpeed] = t < ChangesAtS ? 4000 : 6000;
            tally.Step(in frame);
        }
        Assert.Equal(double.NaN, PressureFall.Of(tally, tally.StretchOf(LogTime.FromSeconds(ChangesAtS)), 12));
    }

    private static double Speed(double t) => 4500 + (1500 * Math.Sin(2 * Math.PI * t / 40));

    private static double Normal(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    private static SignatureTally Run(Func<double, Random, double> offKpa, int seed = 1)
    {
        var random = new Random(seed);
        var tally = new SignatureTally(PressureModelOptions.Default);
        for (double t = 0; t < LengthS; t += 0.05) tally.Step(Frame(t, offKpa(t, random)));
        return tally;
    }

    private static EngineFrame Frame(double t, double offKpa)
    {
        var frame = new EngineFrame(LogTime.FromSeconds(t))
        {
            ExpectedKpa = 400,
            SpreadKpa = 8,
            Fresh = 1u << (int)Role.OilPressure,
            LoadLateralG = 0,
            LoadLongitudinalG = 0,
        };
        frame[Role.OilPressure] = 400 + offKpa;
        frame[Role.EngineSpeed] = Speed(t);
        return frame;
    }
}
