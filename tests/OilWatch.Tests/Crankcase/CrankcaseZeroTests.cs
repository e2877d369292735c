using CsCheck;
using OilWatch.Channels;
using OilWatch.Crankcase;
using OilWatch.Frames;
using OilWatch.Tests.Cars;

namespace OilWatch.Tests.Crankcase;

public sealed class CrankcaseZeroTests
{
    private const double StandardKpa = 101.325;
    private const double AmbientKpa = 88;

    [Fact]
    public void A_standing_engine_shows_ambient()
    {
        var run = new Run(AmbientKpa, _ => 0);
        run.Drive(3, 0);
        Assert.Equal(AmbientKpa - StandardKpa, run.Zero.Kpa, 0.15);
        Assert.Contains("ambient is taken as 88.", run.Zero.Note!.Replace("87.9", "88.", StringComparison.Ordinal), StringComparison.Ordinal);
        Assert.Contains("which the standing engine showed", run.Zero.Note, StringComparison.Ordinal);
    }

    [Fact]
    public void An_engine_that_stops_shows_ambient_once_its_vacuum_is_gone()
    {
        var run = new Run(AmbientKpa, rpm => rpm / 300);
        run.Drive(20, 1000).Drive(30, 5000);
        Assert.InRange(run.Zero.Kpa, AmbientKpa - StandardKpa - 4, AmbientKpa - StandardKpa + 0.3);
        run.Drive(10, 0);
        Assert.Equal(AmbientKpa - StandardKpa, run.Zero.Kpa, 0.15);
        run.Drive(20, 1000).Drive(30, 5000);
        Assert.Equal(AmbientKpa - StandardKpa, run.Zero.Kpa, 0.15);
    }

    [Fact]
    public void A_crankcase_that_holds_on_to_its_vacuum_does_not_show_ambient()
    {
        var run = new Run(AmbientKpa, rpm => rpm / 300);
        run.Drive(3, 0).Drive(20, 1000);
        run.Vacuum = _ => 9;
        run.Drive(20, 0);
        Assert.Equal(AmbientKpa - StandardKpa, run.Zero.Kpa, 0.15);
    }

    [Fact]
    public void A_vacuum_in_proportion_to_speed_leads_from_idle_to_ambient()
    {
        var run = new Run(AmbientKpa, rpm => rpm / 200);
        run.Drive(15, 1000).Drive(3, 1600).Drive(3, 2100).Drive(30, 5000);
        Assert.Equal(AmbientKpa - StandardKpa, run.Zero.Kpa, 0.6);
        Assert.Contains("which the engine's idling leads to", run.Zero.Note, StringComparison.Ordinal);
    }

    [Fact]
    public void A_pump_that_makes_less_for_each_rpm_the_faster_it_turns_never_puts_ambient_too_high() =>
        Gen.Select(Gen.Double[75, 101], Gen.Double[10, 45], Gen.Double[1500, 9000]).Holds(40, (ambient, deepest, scale) =>
        {
            var run = new Run(ambient, rpm => deepest * (1 - Math.Exp(-rpm / scale)));
            run.Drive(15, 900).Drive(3, 1500).Drive(3, 2000).Drive(3, 2500).Drive(60, 5500);
            double idle = deepest * (1 - Math.Exp(-900 / scale));
            return run.Zero.Kpa < ambient - StandardKpa + 0.7 && run.Zero.Kpa > ambient - StandardKpa - (0.75 * idle) - 0.7;
        });

    [Fact]
    public void A_loss_after_the_first_minute_of_driving_does_not_bend_the_line()
    {
        var run = new Run(AmbientKpa, rpm => rpm / 200);
        run.Drive(15, 1000).Drive(3, 1600).Drive(3, 2100).Drive(70, 5000);
        double before = run.Zero.Kpa;
        run.Vacuum = rpm => rpm / 400;
        run.Drive(60, 2100);
        Assert.Equal(before, run.Zero.Kpa);
    }

    [Fact]
    public void Ambient_is_never_below_what_a_shut_throttle_shows()
    {
        var run = new Run(AmbientKpa, rpm => 12 * (1 - Math.Exp(-rpm / 700)));
        run.Drive(15, 1000).Drive(3, 1600).Drive(70, 5000);
        Assert.True(run.Zero.Kpa < AmbientKpa - StandardKpa - 2);
        run.Vacuum = _ => 0.2;
        run.Drive(8, 3000);
        Assert.Equal(AmbientKpa - StandardKpa - 0.2, run.Zero.Kpa, 0.5);
    }

    [Fact]
    public void Blow_by_with_the_throttle_open_does_not_pass_for_ambient()
    {
        var run = new Run(AmbientKpa, _ => 1);
        run.Drive(15, 1000).Drive(3, 1600);
        double before = run.Zero.Kpa;
        run.Vacuum = _ => -5;
        run.Throttle = 100;
        run.Drive(60, 6000);
        Assert.Equal(before, run.Zero.Kpa);
    }

    [Fact]
    public void Without_standing_or_idling_the_standard_atmosphere_stays_and_is_told()
    {
        var run = new Run(AmbientKpa, rpm => rpm / 300) { Throttle = 100 };
        run.Drive(120, 5000);
        Assert.Equal(0, run.Zero.Kpa);
        Assert.Contains("ambient is taken as 101.3 kPa, the standard atmosphere", run.Zero.Note, StringComparison.Ordinal);
    }

    [Fact]
    public void A_sensor_that_is_dead_or_doubtful_teaches_nothing()
    {
        var dead = new Run(0, _ => 0);
        dead.Drive(20, 0).Drive(20, 1000);
        Assert.Equal(0, dead.Zero.Kpa);
        var doubtful = new Run(AmbientKpa, _ => 0) { Suspect = Role.CrankcasePressure };
        doubtful.Drive(20, 0).Drive(20, 1000);
        Assert.Equal(0, doubtful.Zero.Kpa);
        var speedless = new Run(AmbientKpa, _ => 10) { Suspect = Role.EngineSpeed };
        speedless.Drive(20, 0).Drive(20, 1000);
        Assert.Equal(0, speedless.Zero.Kpa);
    }

    [Fact]
    public void A_gauge_sensor_has_no_zero_to_learn()
    {
        var run = new Run(AmbientKpa, _ => 0, isAbsolute: false);
        run.Drive(20, 0).Drive(20, 1000);
        Assert.Equal(0, run.Zero.Kpa);
        Assert.Null(run.Zero.Note);
    }

    /// <summary>An engine at twenty frames a second with a crankcase that follows in half a second.</summary>
    private sealed class Run(double ambientKpa, Func<double, double> vacuum, bool isAbsolute = true)
    {
        private readonly Random _random = new(20261128);
        private CrankcaseLag _lag;
        private double _kpa = double.NaN;
        private double _rpm;
        private int _tick;

        public CrankcaseZero Zero { get; } = new(isAbsolute);

        public Func<double, double> Vacuum { get; set; } = vacuum;

        public double Throttle { get; set; } = 3;

        public Role? Suspect { get; init; }

        public Run Drive(double seconds, double rpm)
        {
            for (int i = 0; i < seconds * 20; i++)
            {
                _rpm += (rpm - _rpm) * (_tick == 0 ? 1 : 0.05);
                if (rpm == 0 && _rpm < 200) _rpm = 0;
                double settles = ambientKpa - Vacuum(_rpm);
                _kpa = double.IsNaN(_kpa) ? settles : _kpa + ((settles - _kpa) * 0.1);
                EngineFrame frame = new(new LogTime(_tick++ * 50_000_000L));
                frame[Role.EngineSpeed] = _rpm;
                frame[Role.Throttle] = Throttle;
                frame[Role.CrankcasePressure] = _kpa - StandardKpa + (0.3 * (_random.NextDouble() - 0.5));
                frame.Fresh = uint.MaxValue;
                if (Suspect is { } role) frame.Suspect |= 1u << (int)role;
                _lag.Step(in frame);
                Zero.Step(in frame, in _lag);
            }
            return this;
        }
    }
}
