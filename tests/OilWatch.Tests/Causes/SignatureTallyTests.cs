using OilWatch.Causes;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Pressure;

namespace OilWatch.Tests.Causes;

public sealed class SignatureTallyTests
{
    [Fact]
    public void Memory_does_not_grow_with_the_run_and_nothing_is_lost()
    {
        var tally = new SignatureTally(PressureModelOptions.Default);
        int frames = 0;
        for (double t = 0; t < 12 * 3600; t += 0.5, frames++) tally.Step(Frame(t, rpm: 5000, ratio: 1));
        Assert.InRange(tally.Stretches.Count, 60, 128);
        Assert.Equal(frames, tally.Stretches.Sum(stretch => stretch.Over(0, SignatureTally.Bins, 0, SignatureTally.Loads).Count));
    }

    [Fact]
    public void Load_and_speed_have_cells_of_their_own()
    {
        var tally = new SignatureTally(PressureModelOptions.Default);
        for (double t = 0; t < 20; t += 0.05) tally.Step(Frame(t, rpm: 3100, ratio: 1));
        for (double t = 20; t < 40; t += 0.05) tally.Step(Frame(t, rpm: 6100, ratio: 0.5, loadG: 1.1));
        SignaturePart part = SignaturePart.Of(tally, 0, tally.Stretches.Count);
        Assert.Equal(1, part.CalmRatio, 6);
        Assert.Equal(0.75, part.Ratio, 3);
    }

    [Fact]
    public void Where_load_is_not_known_nothing_is_calm()
    {
        var tally = new SignatureTally(PressureModelOptions.Default);
        for (double t = 0; t < 20; t += 0.05) tally.Step(Frame(t, rpm: 3100, ratio: 1, loadG: double.NaN));
        Assert.Equal(double.NaN, SignaturePart.Of(tally, 0, tally.Stretches.Count).CalmRatio);
    }

    [Fact]
    public void Absent_and_doubted_readings_do_not_count()
    {
        var tally = new SignatureTally(PressureModelOptions.Default);
        for (double t = 0; t < 20; t += 0.05)
        {
            tally.Step(Frame(t, rpm: 5000, ratio: double.NaN));
            tally.Step(Frame(t, rpm: double.NaN, ratio: 1));
            EngineFrame doubted = Frame(t, rpm: 5000, ratio: 1);
            doubted.Suspect = 1u << (int)Role.OilPressure;
            tally.Step(in doubted);
        }
        Assert.Empty(tally.Stretches);
    }

    private static EngineFrame Frame(double t, double rpm, double ratio, double loadG = 0)
    {
        var frame = new EngineFrame(LogTime.FromSeconds(t))
        {
            ExpectedKpa = 400,
            SpreadKpa = 8,
            Fresh = 1u << (int)Role.OilPressure,
            LoadLateralG = loadG,
            LoadLongitudinalG = 0,
        };
        frame[Role.OilPressure] = 400 * ratio;
        frame[Role.EngineSpeed] = rpm;
        return frame;
    }
}
