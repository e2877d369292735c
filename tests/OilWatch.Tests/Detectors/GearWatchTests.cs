using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Detectors;

namespace OilWatch.Tests.Detectors;

/// <summary>Engine speed or road speed off by a constant. Truth: a car with gears of its own, driven from corner to corner, whose faults are put in here.</summary>
public sealed class GearWatchTests
{
    private const double LastsS = 400;
    private delegate (double Rpm, double Kmh) Change(double atS, double rpm, double kmh);

    [Theory]
    [InlineData(950, 12, 25)]
    [InlineData(950, 12, 50)]
    [InlineData(1450, 20, 20)]
    [InlineData(-1100, 9, 25)]
    [InlineData(-900, 15, 10)]
    public void Engine_speed_that_is_off_by_a_constant_is_found_from_its_first_reading_to_its_last(double byRpm, double lengthS, double hz)
    {
        for (int seed = 1; seed <= 5; seed++)
        {
            double from = InGearAt(seed, hz);
            SensorFault fault = Assert.Single(Drive(new Car(seed), hz, (at, rpm, kmh) => (at >= from && at < from + lengthS ? rpm + byRpm : rpm, kmh)), fault => fault.Ending != EventEnd.Open);
            Assert.Equal((Role.EngineSpeed, SensorFaultKind.Offset, EventEnd.Recovered), (fault.Role, fault.Kind, fault.Ending));
            Assert.InRange(fault.Start.Seconds, from - 0.1, from + 0.1);
            Assert.InRange(fault.End.Seconds, from + lengthS - 0.1, from + lengthS + 3.2);
            Assert.InRange(fault.Level, byRpm - 120, byRpm + 120);
        }
    }

    [Theory]
    [InlineData(50, 1.5)]
    [InlineData(20, 2)]
    public void Engine_speed_that_climbs_away_within_a_tenth_of_a_second_and_stays_there_is_found(double hz, double lengthS)
    {
        double from = InGearAt(2, hz);
        SensorFault fault = Assert.Single(
            Drive(new Car(2), hz, (at, rpm, kmh) => (rpm + (6000 * Math.Clamp(Math.Min(at - from, from + lengthS - at) / 0.1, 0, 1)), kmh)),
            fault => fault.Ending != EventEnd.Open && fault.Role == Role.EngineSpeed);
        Assert.InRange(fault.Start.Seconds, from - 0.1, from + 0.15);
        Assert.InRange(fault.Level, 5500, 6500);
    }

    [Theory]
    [InlineData(45)]
    [InlineData(-40)]
    public void Road_speed_that_is_off_by_a_constant_is_found_but_where_it_hits_the_next_gear(double byKmh)
    {
        int found = 0;
        for (int seed = 1; seed <= 5; seed++)
        {
            double from = InGearAt(seed, 25);
            foreach (SensorFault fault in Drive(new Car(seed), 25, (at, rpm, kmh) => (rpm, at >= from && at < from + 14 ? kmh + byKmh : kmh)).Where(fault => fault.Ending != EventEnd.Open))
            {
                Assert.Equal((Role.VehicleSpeed, SensorFaultKind.Offset), (fault.Role, fault.Kind));
                Assert.InRange(fault.Start.Seconds, from - 0.2, from + 0.2);
                found++;
            }
        }
        Assert.InRange(found, 4, 5);
    }

    [Fact]
    public void Gear_changes_are_none_however_quick_they_are()
    {
        for (int seed = 1; seed <= 20; seed++)
            foreach (double hz in new[] { 10.0, 25, 50 })
                Assert.Empty(Drive(new Car(seed), hz));
    }

    [Fact]
    public void A_gear_that_is_driven_for_the_first_time_late_in_the_run_is_none()
    {
        for (int seed = 1; seed <= 20; seed++)
            Assert.Empty(Drive(new Car(seed) { TopGearFromS = 250 }, 25));
    }

    [Fact]
    public void Wheels_that_spin_and_a_clutch_that_slips_are_none()
    {
        for (int seed = 1; seed <= 20; seed++)
        {
            var random = new Random(seed);
            double spinAt = 120 + (200 * random.NextDouble()), spin = 0.15 + (0.3 * random.NextDouble()), lasts = 0.5 + random.NextDouble();
            Assert.Empty(Drive(new Car(seed), 25, (at, rpm, kmh) => (at > spinAt && at < spinAt + lasts ? rpm * (1 + (spin * Math.Sin(Math.PI * (at - spinAt) / lasts))) : rpm, kmh)));
        }
    }

    [Fact]
    public void Without_road_speed_nothing_is_said() =>
        Assert.Empty(Drive(new Car(3), 25, (at, rpm, _) => (at is > 200 and < 210 ? rpm + 1200 : rpm, double.NaN)));

    /// <summary>A moment after 200 s with no gear change for a second before and after it, on a straight.</summary>
    private static double InGearAt(int seed, double hz)
    {
        var car = new Car(seed);
        double since = 0, before = 0;
        for (double at = 0; at < LastsS; at += 1 / hz)
        {
            (double rpm, double kmh) = car.At(at);
            if (Math.Abs((rpm / kmh) - before) > 0.05 * before || car.IsBraking) since = at;
            before = rpm / kmh;
            if (at > 202 && at - since >= 2) return at - 1;
        }
        throw new InvalidOperationException("the car never stays in gear");
    }

    private static List<SensorFault> Drive(Car car, double hz, Change? change = null)
    {
        var watch = new GearWatch();
        var changes = default(FaultChanges);
        var found = new List<SensorFault>();
        double step = 1 / hz, kmhDue = 0;
        for (double at = 0; at < LastsS; at += step)
        {
            (double rpm, double kmh) = car.At(at);
            if (change is not null) (rpm, kmh) = change(at, rpm, kmh);
            changes.Clear();
            bool isDue = at >= kmhDue - 1e-9;
            if (isDue) kmhDue += Math.Max(0.1, step);
            watch.Step(LogTime.FromSeconds(at), rpm, isDue ? kmh : double.NaN, ref changes);
            for (int i = 0; i < changes.Count; i++) found.Add(changes[i]);
        }
        return found;
    }

    /// <summary>Five gears, from corner to corner: full throttle up to the braking point, brakes, a corner at steady speed.</summary>
    private sealed class Car
    {
        private readonly double[] _ratios;                   // rpm at one km/h
        private readonly Random _noise;
        private readonly double[] _straights;
        private readonly double _pull;
        private double _kmh = 60;
        private double _last;
        private int _gear;
        private int _corner;
        private double _phaseUntil;
        private int _phase;

        public Car(int seed)
        {
            var random = new Random(seed);
            double first = 90 + (30 * random.NextDouble()), next = 0.70 + (0.06 * random.NextDouble());
            _ratios = [.. Enumerable.Range(0, 5).Select(gear => first * Math.Pow(next + (0.015 * gear), gear))];
            _straights = [.. Enumerable.Range(0, 6).Select(_ => 5 + (9 * random.NextDouble()))];
            _pull = 8 + (4 * random.NextDouble());
            _noise = new Random(seed + 1000);
        }

        public bool IsBraking => _phase == 2;

        public double TopGearFromS { get; init; }

        public (double Rpm, double Kmh) At(double atS)
        {
            double step = atS - _last;
            _last = atS;
            if (atS >= _phaseUntil)
            {
                _phase = (_phase + 1) % 3;
                if (_phase == 1) _corner = (_corner + 1) % _straights.Length;
                _phaseUntil = atS + (_phase switch { 1 => _straights[_corner], 2 => 0.25 * _straights[_corner], _ => 2.5 });
            }
            double slope = _phase switch { 1 => _pull * Math.Max(0.2, 1 - (_kmh / 260)), 2 => -28, _ => 1 };
            _kmh = Math.Clamp(_kmh + (slope * step), 45, 235);
            int top = atS >= TopGearFromS ? _ratios.Length - 1 : _ratios.Length - 2;
            while (_gear < top && _kmh * _ratios[_gear] > 7300) _gear++;
            while (_gear > 0 && _kmh * _ratios[_gear] < 3600 && _kmh * _ratios[_gear - 1] < 7000) _gear--;
            return (Math.Round((_kmh * _ratios[_gear]) + Noise(15)), Math.Round(_kmh + Noise(0.15), 1));
        }

        private double Noise(double size) => size * (_noise.NextDouble() + _noise.NextDouble() + _noise.NextDouble() - 1.5);
    }
}
