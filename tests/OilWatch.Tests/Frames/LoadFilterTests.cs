using OilWatch.Channels;
using OilWatch.Frames;

namespace OilWatch.Tests.Frames;

public sealed class LoadFilterTests
{
    /// <summary>The load at each frame for a lateral g given by time.</summary>
    private static List<(double AtS, double LoadG)> Run(double hz, double seconds, Func<double, double> g)
    {
        var filter = new LoadFilter();
        var loads = new List<(double, double)>();
        for (int i = 0; i <= seconds * hz; i++)
        {
            var frame = new EngineFrame(LogTime.FromSeconds(i / hz));
            frame[Role.LateralG] = g(i / hz);
            frame[Role.LongitudinalG] = -g(i / hz);
            filter.Apply(ref frame);
            Assert.Equal(-frame.LoadLateralG, frame.LoadLongitudinalG);
            loads.Add((i / hz, frame.LoadLateralG));
        }

        return loads;
    }

    [Theory]
    [InlineData(10)]
    [InlineData(20)]
    [InlineData(100)]
    public void A_constant_load_is_reached_without_overshoot(double hz)
    {
        List<(double AtS, double LoadG)> loads = Run(hz, 3, t => t <= 1 ? 0 : 1.2);
        // Two stages of 0.1 s: 1 - (1 + t/0.1) exp(-t/0.1), COMPUTED; 0.9596 after 0.5 s, 0.9995 after 1 s.
        Assert.Equal(1.2 * 0.9596, loads.First(load => load.AtS >= 1.5 - 1e-9).LoadG, 0.0001);
        Assert.Equal(1.2 * 0.9995, loads.First(load => load.AtS >= 2 - 1e-9).LoadG, 0.0001);
        Assert.All(loads, load => Assert.InRange(load.LoadG, 0, 1.2));
        Assert.All(loads.Skip(1).Zip(loads), pair => Assert.True(pair.First.LoadG >= pair.Second.LoadG));
    }

    [Fact]
    public void The_first_reading_is_taken_as_it_is()
    {
        Assert.Equal(0.8, Run(20, 0.1, _ => 0.8)[0].LoadG);
    }

    [Theory]
    [InlineData(200, 0.3)]
    [InlineData(100, 0.3)]
    [InlineData(50, 0.3)]
    [InlineData(20, 0.45)]             // one reading a strike: its peak stands for 50 ms; still below load_g
    public void A_kerb_strike_is_not_load(double hz, double below)
    {
        // Half a sine of 2 g and 60 ms, wherever it falls between two readings.
        for (int phase = 0; phase < 20; phase++)
        {
            double from = 0.5 + (phase / (20 * hz));
            double peak = Run(hz, 2, t => t >= from && t <= from + 0.06 ? 2 * Math.Sin(Math.PI * (t - from) / 0.06) : 0).Max(load => Math.Abs(load.LoadG));
            Assert.InRange(peak, 0, below);
        }
    }

    [Theory]
    [InlineData(0.2, 0.984)]           // 1 / (1 + (2 pi f 0.1)^2), COMPUTED
    [InlineData(1.0243, 0.7071)]       // -3 dB
    [InlineData(5, 0.092)]
    public void The_load_is_half_its_power_near_one_hertz(double hz, double gain)
    {
        List<(double AtS, double LoadG)> loads = Run(200, 25, t => Math.Sin(2 * Math.PI * hz * t));
        Assert.Equal(gain, loads.Where(load => load.AtS > 10).Max(load => load.LoadG), 0.01);
    }

    [Fact]
    public void The_frame_rate_does_not_change_the_load()
    {
        // A staircase of 50 ms: the filter is exact for an input that is constant between frames.
        static double staircase(double t) => Math.Sin(7.3 * Math.Ceiling((t * 20) - 1e-6));
        Dictionary<double, double> slow = Run(20, 4, staircase).ToDictionary(load => Math.Round(load.AtS, 6), load => load.LoadG);
        Assert.Equal(0, staircase(0));
        foreach ((double at, double load) in Run(100, 4, staircase))
            if (slow.TryGetValue(Math.Round(at, 6), out double same)) Assert.Equal(same, load, 9);
    }

    [Fact]
    public void An_absent_reading_holds_the_load_for_a_second_and_no_longer()
    {
        List<(double AtS, double LoadG)> loads = Run(20, 5, t => t is > 2 and < 4 ? double.NaN : 0.9);
        Assert.All(loads.Where(load => load.AtS is > 2 and < 2.95), load => Assert.Equal(0.9, load.LoadG, 9));
        Assert.All(loads.Where(load => load.AtS is > 3.1 and < 4), load => Assert.True(double.IsNaN(load.LoadG)));
        Assert.Equal(0.9, loads[^1].LoadG, 9);
    }

    [Fact]
    public void After_a_gap_in_the_log_the_load_begins_anew()
    {
        var filter = new LoadFilter();
        double load = Apply(0, 1.5);
        Assert.Equal(1.5, load);
        Assert.Equal(-0.4, Apply(1.5, -0.4));
        Assert.InRange(Apply(1.55, 0.4), -0.4, 0.4);

        double Apply(double atS, double g)
        {
            var frame = new EngineFrame(LogTime.FromSeconds(atS));
            frame[Role.LateralG] = g;
            filter.Apply(ref frame);
            return frame.LoadLateralG;
        }
    }

    [Fact]
    public void A_log_that_begins_without_acceleration_has_no_load_until_there_is_one()
    {
        List<(double AtS, double LoadG)> loads = Run(20, 2, t => t < 1 ? double.NaN : 0.7);
        Assert.All(loads.Where(load => load.AtS < 1), load => Assert.True(double.IsNaN(load.LoadG)));
        Assert.All(loads.Where(load => load.AtS >= 1), load => Assert.Equal(0.7, load.LoadG, 9));
    }
}
