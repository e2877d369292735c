using OilWatch.Causes;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Pressure;

namespace OilWatch.Tests.Causes;

/// <summary>What changed between two runs, and within one, against engines that changed by a known share.</summary>
public sealed class EngineChangeTests
{
    private const double NoiseKpa = 5;

    private static readonly FlowBalance Healthy = new()
    {
        GainKpa = 110,
        Power = 0.8,
        ReliefKpa = 480,
        ValveFlow = 0.03,
        SoftnessKpa = 15,
        Jet = 0,
        FallOff = 0,
        FallsOffFromRpm = 7000,
    };

    [Theory]
    [InlineData(0.50, 1.00)]
    [InlineData(0.65, 1.00)]
    [InlineData(0.50, 0.85)]
    [InlineData(0.45, 0.90)]
    [InlineData(1.00, 1.00)]
    public void Ramp_and_valve_are_told_apart_across_runs(double ramp, double relief)
    {
        EngineChange change = EngineChange.Between(Run(Healthy, 1), Run(Healthy with { GainKpa = ramp * Healthy.GainKpa, ReliefKpa = relief * Healthy.ReliefKpa }, 2));
        Assert.InRange(change.Ramp, 0.95 * ramp, 1.05 * ramp);
        Assert.InRange(change.Relief, relief - 0.02, relief + 0.02);
        Assert.InRange(change.ReliefSigma, 0, 0.03);
        Assert.Equal(relief < 1, change.Evidence > 5);
    }

    [Fact]
    public void Oil_too_thin_to_open_the_valve_says_nothing_of_it()
    {
        EngineChange change = EngineChange.Between(Run(Healthy, 1), Run(Healthy with { GainKpa = 0.35 * Healthy.GainKpa, ReliefKpa = 0.85 * Healthy.ReliefKpa }, 2, hot: true));
        Assert.InRange(change.Ramp, 0.33, 0.37);
        Assert.True(change.ReliefSigma > 0.03, $"{change.ReliefSigma}");
    }

    [Theory]
    [InlineData(1.0, 0.1)]
    [InlineData(1.0, 0.2)]
    [InlineData(0.9, 0.2)]
    public void A_valve_that_stands_open_is_told_from_thin_oil_and_from_one_that_opens_at_less(double ramp, double jet)
    {
        EngineChange change = EngineChange.Between(Run(Healthy, 1), Run(Healthy with { GainKpa = ramp * Healthy.GainKpa, Jet = jet }, 2));
        Assert.True(change.HoleEvidence > 20, $"{change.HoleEvidence}");
        Assert.InRange(change.HoleRamp, 0.9 * ramp, 1.1 * ramp);
    }

    [Theory]
    [InlineData(1.0, 0.5)]
    [InlineData(0.5, 1.0)]
    [InlineData(0.5, 0.85)]
    public void A_valve_that_opens_at_less_and_thin_oil_are_no_hole(double ramp, double relief)
    {
        EngineChange change = EngineChange.Between(Run(Healthy, 1), Run(Healthy with { GainKpa = ramp * Healthy.GainKpa, ReliefKpa = relief * Healthy.ReliefKpa }, 2));
        Assert.True(change.HoleEvidence < 3, $"{change.HoleEvidence}");
    }

    [Theory]
    [InlineData(0.5)]
    [InlineData(0.8)]
    [InlineData(1.0)]
    public void Idle_is_compared_at_like_speed_and_temperature(double ramp)
    {
        PressureMap healthy = Run(Healthy, 1), later = Run(Healthy with { GainKpa = ramp * Healthy.GainKpa }, 2);
        Idle(healthy, Healthy, seed: 3, thickness: 1);
        Idle(healthy, Healthy, seed: 4, thickness: 3);          // cold once, which the later run was not
        Idle(later, Healthy with { GainKpa = ramp * Healthy.GainKpa }, seed: 5, thickness: 1.05);
        Assert.InRange(EngineChange.Between(healthy, later).IdleRatio, 0.97 * ramp, 1.03 * ramp);
    }

    [Fact]
    public void Idle_at_other_oil_temperatures_says_nothing_of_idle()
    {
        PressureMap cold = Run(Healthy, 1), hot = Run(Healthy, 2);
        Idle(cold, Healthy, seed: 3, thickness: 3);
        Idle(hot, Healthy, seed: 4, thickness: 1);
        Assert.Equal(double.NaN, EngineChange.Between(cold, hot).IdleRatio);
    }

    [Fact]
    public void Idle_stays_out_of_what_tells_ramp_and_valve()
    {
        PressureMap map = Run(Healthy, 1);
        PressureMap.Cell[] cells = map.Cells();
        Idle(map, Healthy, seed: 3, thickness: 1);
        Assert.NotEmpty(map.IdleCells());
        PressureMap.Cell[] with = map.Cells();
        Assert.Equal(cells.Length, with.Length);
        for (int i = 0; i < cells.Length; i++) Assert.Equal(cells[i].PressureKpa, with[i].PressureKpa, 6);      // the stretches are longer by then: sums round elsewhere
    }

    [Fact]
    public void Too_little_running_says_nothing() =>
        Assert.Equal(EngineChange.Unknown, EngineChange.Between(Run(Healthy, 1), new PressureMap(PressureModelOptions.Default)));

    [Fact]
    public void A_valve_that_opens_at_less_is_told_from_a_pump_that_delivers_less()
    {
        FallKind valve = FallKind.At(Run(Healthy, 1, after: Healthy with { ReliefKpa = 0.5 * Healthy.ReliefKpa }), 300);
        Assert.True(valve.ValveEvidence > 5, $"{valve.ValveEvidence}");
        Assert.InRange(valve.Relief, 0.47, 0.53);
        FallKind pump = FallKind.At(Run(Healthy, 1, delivery: 0.6), 300);
        Assert.True(pump.ValveEvidence < -5, $"{pump.ValveEvidence}");
        Assert.InRange(pump.Delivery, 0.57, 0.63);
    }

    [Fact]
    public void What_load_takes_does_not_count()
    {
        PressureMap map = new(PressureModelOptions.Default);
        for (int i = 0; i < 1000; i++) map.Take(Frame(0.05 * i, 300, loadG: 1), 5000, 1);
        Assert.Empty(map.Cells());
    }

    [Fact]
    public void Memory_does_not_grow_with_the_run_and_its_parts_keep_their_readings()
    {
        PressureMap map = new(PressureModelOptions.Default);
        for (int i = 0; i < 20_000; i++) map.Take(Frame(i, i < 10_000 ? 400 : 300, loadG: 0), 5000, 1);
        Assert.Equal(350, Assert.Single(map.Cells()).PressureKpa, 6);
        Assert.Equal(400, Assert.Single(map.Cells(0, 9_000)).PressureKpa, 6);
        Assert.Equal(300, Assert.Single(map.Cells(11_000)).PressureKpa, 6);
    }

    /// <summary>Ten minutes of warm-up and running at all speeds; something may change in the middle.</summary>
    private static PressureMap Run(FlowBalance engine, int seed, FlowBalance? after = null, double delivery = 1, bool hot = false)
    {
        var random = new Random(seed);
        var map = new PressureMap(PressureModelOptions.Default);
        for (double t = 0; t < 600; t += 0.05)
        {
            double rpm = 4750 + (2750 * Math.Sin(t * 0.31)), thickness = hot ? 1 : 0.8 + (4 * Math.Exp(-t / 120));
            double noise = NoiseKpa * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
            bool changed = t >= 300;
            double kpa = (changed ? after ?? engine : engine).PressureKpa(rpm, thickness, changed ? delivery : 1);
            map.Take(Frame(t, kpa + noise, loadG: 0), rpm, thickness);
        }
        return map;
    }

    /// <summary>Two minutes at 900 rpm after the run; nothing is expected of pressure there.</summary>
    private static void Idle(PressureMap map, FlowBalance engine, int seed, double thickness)
    {
        var random = new Random(seed);
        for (double t = 600; t < 720; t += 0.05)
        {
            double rpm = 900 + (20 * Math.Sin(t)), noise = NoiseKpa * ((2 * random.NextDouble()) - 1);
            EngineFrame frame = Frame(t, engine.PressureKpa(rpm, thickness) + noise, loadG: 0) with { SpreadKpa = double.NaN };
            frame[Role.EngineSpeed] = rpm;
            map.Take(in frame, rpm, thickness);
        }
    }

    private static EngineFrame Frame(double t, double kpa, double loadG)
    {
        var frame = new EngineFrame(LogTime.FromSeconds(t))
        {
            ExpectedKpa = 400,
            SpreadKpa = 8,
            Fresh = 1u << (int)Role.OilPressure,
            LoadLateralG = loadG,
            LoadLongitudinalG = 0,
        };
        frame[Role.OilPressure] = kpa;
        frame[Role.EngineSpeed] = 5000;
        return frame;
    }
}
