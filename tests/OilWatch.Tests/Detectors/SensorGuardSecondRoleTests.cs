using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Detectors;
using OilWatch.Frames;

namespace OilWatch.Tests.Detectors;

/// <summary>
/// Faults of about a second on the roles that oil is not judged by, and beside each what a sound car does that looks like it. Truth: a car of its own with noise, brakes, a thermostat and a foot.
/// </summary>
public sealed class SensorGuardSecondRoleTests
{
    private const double FaultAtS = 200.02;             // the car is pushed by 0.4 g, engine and road speed rise, the throttle is half open
    private const double BrakingAtS = 206.5;            // the brakes are on at half a g
    private delegate double Change(double atS, double value);

    [Theory]
    [InlineData(Role.BatteryVoltage, 0)]
    [InlineData(Role.BatteryVoltage, 25.5)]
    [InlineData(Role.FuelPressure, 0)]
    [InlineData(Role.FuelPressure, 675)]
    [InlineData(Role.Vibration, 0)]
    [InlineData(Role.Vibration, 50)]
    [InlineData(Role.WaterTemperature, 0)]
    [InlineData(Role.WaterTemperature, 215)]
    [InlineData(Role.VehicleSpeed, 0)]
    [InlineData(Role.VehicleSpeed, 409.5)]
    [InlineData(Role.Throttle, 0)]
    [InlineData(Role.Throttle, -12.5)]
    [InlineData(Role.Throttle, 112.5)]
    public void A_value_that_leaps_to_nothing_or_to_a_rail_and_stays_there_for_a_second_is_found(Role role, double level) =>
        Found(Drive(role, (at, value) => IsFault(at, 1) ? level : value), role, 1);

    [Theory]
    [InlineData(Role.BatteryVoltage, 25, 0.8)]
    [InlineData(Role.BatteryVoltage, 10, 1.4)]
    [InlineData(Role.FuelPressure, 25, 0.8)]
    [InlineData(Role.Vibration, 25, 0.8)]
    [InlineData(Role.WaterTemperature, 25, 24)]
    [InlineData(Role.OilTemperature, 25, 24)]
    [InlineData(Role.OilTemperature, 5, 24)]
    [InlineData(Role.CrankcasePressure, 25, 0.8)]
    [InlineData(Role.Throttle, 25, 1.3)]
    public void A_value_that_stands_where_noise_has_always_moved_it_is_stuck(Role role, double hz, double lengthS)
    {
        double held = 0;
        SensorFault fault = Found(Drive(role, (at, value) => IsFault(at, lengthS) ? held : held = value, hz), role, lengthS);
        Assert.Equal(SensorFaultKind.Stuck, fault.Kind);
    }

    [Theory]
    [InlineData(Role.WaterTemperature)]
    [InlineData(Role.OilTemperature)]
    public void A_temperature_that_stands_for_a_quarter_of_a_minute_is_none(Role role)
    {
        double held = 0;
        Assert.DoesNotContain(Drive(role, (at, value) => IsFault(at, 15) ? held : held = value), fault => fault.Role == role);
    }

    [Theory]
    [InlineData(Role.WaterTemperature, 45)]
    [InlineData(Role.OilTemperature, 45)]
    [InlineData(Role.WaterTemperature, -40)]
    [InlineData(Role.VehicleSpeed, 110)]
    public void A_value_that_climbs_away_over_several_readings_as_nothing_real_can_and_comes_back_is_found_and_not_believed(Role role, double by)
    {
        List<EngineFrame> frames = [];
        Found(Drive(role, (at, value) => value + (by * Math.Clamp(Math.Min(at - FaultAtS, FaultAtS + 1.2 - at) / (role is Role.WaterTemperature or Role.OilTemperature ? 0.5 : 0.1), 0, 1)), frames: frames), role, 1.2);
        double wildest = frames.Where(frame => frame.At.Seconds is > FaultAtS + 0.6 and < FaultAtS + 0.7).Max(frame => Math.Abs(frame[role]));
        Assert.True(double.IsNaN(wildest));
    }

    [Theory]
    [InlineData(Role.WaterTemperature, 24)]
    [InlineData(Role.WaterTemperature, -30)]
    [InlineData(Role.VehicleSpeed, 60)]
    public void A_value_that_is_off_by_a_constant_is_found_where_it_cannot_have_leapt(Role role, double by) =>
        Found(Drive(role, (at, value) => IsFault(at, 8) ? value + by : value), role, 8);

    [Theory]
    [InlineData(Role.BatteryVoltage, 4.5)]
    [InlineData(Role.Vibration, 20)]
    [InlineData(Role.VehicleSpeed, 90)]
    [InlineData(Role.VehicleSpeed, -90)]
    [InlineData(Role.Throttle, 40)]
    public void Single_readings_far_off_are_spikes(Role role, double by)
    {
        SensorFault fault = Found(Drive(role, (at, value) => IsFault(at, 1) && Math.Round(at * 25) % 6 == 2 ? value + by : value), role, 1);
        Assert.Equal(SensorFaultKind.Spikes, fault.Kind);
    }

    [Theory]
    [InlineData(Role.Throttle, -12.5)]
    [InlineData(Role.VehicleSpeed, 409.5)]
    [InlineData(Role.Vibration, 50)]
    [InlineData(Role.FuelPressure, 675)]
    [InlineData(Role.WaterTemperature, 215)]
    public void A_connection_that_comes_and_goes_is_found(Role role, double rail) =>
        Found(Drive(role, (at, value) => IsFault(at, 2) && (int)((at - FaultAtS) * 25) % 7 < 3 ? rail : value), role, 2);

    [Theory]
    [InlineData(Role.BatteryVoltage)]
    [InlineData(Role.Vibration)]
    [InlineData(Role.FuelPressure)]
    [InlineData(Role.VehicleSpeed)]
    public void A_column_that_goes_blank_for_a_second_is_a_dropout(Role role) =>
        Assert.Equal(SensorFaultKind.Dropout, Found(Drive(role, (at, value) => IsFault(at, 1) ? double.NaN : value), role, 1).Kind);

    [Theory]
    [InlineData(1.0, 1)]
    [InlineData(0.3, 1)]
    [InlineData(0.2, 5)]
    public void A_wheel_that_locks_under_braking_and_comes_back_is_none(double lockedS, int times) =>
        Nothing(Drive(Role.VehicleSpeed, (at, value) => at >= BrakingAtS && at < BrakingAtS + (2 * lockedS * times) && (at - BrakingAtS) % (2 * lockedS) < lockedS ? 0 : value));

    [Fact]
    public void A_wheel_that_spins_in_gear_is_none() =>
        Nothing(Drive(Role.VehicleSpeed, (at, value) => value + (at % 6 < 0.7 ? 135 * Math.Min(at % 6, 0.35) : 0)));

    [Fact]
    public void A_wheel_that_spins_and_grips_at_once_is_none() =>
        Nothing(Drive(Role.VehicleSpeed, (at, value) => value + (at % 6 < 0.35 ? 135 * (at % 6) : 0)));

    [Fact]
    public void A_car_that_stops_with_the_engine_held_at_speed_is_none() =>
        Nothing(Drive(Role.VehicleSpeed, (at, value) => at < 205 ? value : Math.Round(Math.Max(0, value - (30 * (at - 205))), 1), straightFromS: 205));

    [Theory]
    [InlineData(1)]
    [InlineData(0.5)]
    public void Water_in_coarse_steps_is_not_stuck(double stepC) =>
        Nothing(Drive(Role.WaterTemperature, (at, _) => Math.Round((90 + (3 * Math.Sin(at / 20)) + (0.1 * Math.Sin(at * 71))) / stepC) * stepC, seconds: 1800));

    [Fact]
    public void A_thermostat_that_opens_on_cold_water_is_none() =>
        Nothing(Drive(Role.WaterTemperature, (at, value) => value - (12 * Math.Exp(-Math.Max(0, at % 40) / 6) * (1 - Math.Exp(-(at % 40) / 0.7)))));

    [Fact]
    public void A_foot_that_rests_half_way_on_a_throttle_without_noise_is_not_stuck()
    {
        double[] rests = [20, 55, 80, 35, 65];
        Nothing(Drive(Role.Throttle, (at, _) => Math.Round(rests[(int)(at / 3) % 5] + ((rests[((int)(at / 3) + 1) % 5] - rests[(int)(at / 3) % 5]) * Math.Clamp((at % 3) - 2, 0, 1)), 1), seconds: 1200));
    }

    [Fact]
    public void A_foot_that_lets_less_noise_through_while_it_rests_is_not_stuck()
    {
        var random = new Random(5);
        Nothing(Drive(Role.Throttle, (at, value) => at % 4 < 0.9 ? 60 : Math.Round(2 * (value + (2 * random.NextDouble()))) / 2, hz: 10, seconds: 900));
    }

    [Fact]
    public void A_throttle_shut_and_held_to_the_last_digit_while_the_car_slows_is_none() =>
        Nothing(Drive(Role.Throttle, (at, value) => Math.Cos(at / 2) < -0.2 ? 0 : value));

    [Fact]
    public void Fuel_that_surges_away_from_the_pump_in_a_corner_is_none()
    {
        var random = new Random(11);
        Nothing(Drive(Role.FuelPressure, (at, value) => at % 9 is > 4 and < 5.2 ? Math.Round(Math.Max(0, 12 + (8 * random.NextDouble()) + (330 * Math.Exp(-((at % 9) - 4) / 0.03)))) : value));
    }

    [Theory]
    [InlineData(25)]
    [InlineData(10)]
    public void A_road_speed_that_leapt_is_wrong_until_it_leaps_back_and_no_gear_change_is_blamed_meanwhile(double hz)
    {
        List<SensorFault> faults = Drive(Role.VehicleSpeed, (at, value) => at >= 120 && at < 200 ? value + 91 : value, hz);
        SensorFault fault = Assert.Single(faults, fault => fault.Ending != EventEnd.Open);
        Assert.Equal((Role.VehicleSpeed, SensorFaultKind.Offset, EventEnd.Recovered), (fault.Role, fault.Kind, fault.Ending));
        Assert.InRange(fault.Start.Seconds, 119.8, 120.2);
        Assert.InRange(fault.End.Seconds, 199.9, 200.4);
    }

    [Fact]
    public void Kerbs_on_a_level_of_vibration_are_no_spikes() =>
        Nothing(Drive(Role.Vibration, (at, value) => at % 4 < 1 && (int)(at * 25) % 4 == 0 ? 3.5 * value : value));

    [Fact]
    public void Starting_the_engine_draws_the_battery_down_and_is_none() =>
        Nothing(Drive(Role.BatteryVoltage, (at, value) => at is > 210 and < 211.5 ? value - 4.5 : value, stoppedFromS: 205));

    private static bool IsFault(double at, double lengthS) => at >= FaultAtS && at < FaultAtS + lengthS;

    private static SensorFault Found(List<SensorFault> faults, Role role, double lengthS)
    {
        SensorFault fault = Assert.Single(faults, fault => fault.Ending != EventEnd.Open);
        Assert.Equal(role, fault.Role);
        Assert.InRange(fault.Start.Seconds, FaultAtS - 0.5, FaultAtS + lengthS);
        Assert.InRange(fault.Raised.Seconds, FaultAtS, FaultAtS + lengthS + 0.5);
        return fault;
    }

    private static void Nothing(List<SensorFault> faults) => Assert.Empty(faults);

    private static List<SensorFault> Drive(Role role, Change change, double hz = 25, double seconds = 240, double stoppedFromS = 1e9, double straightFromS = 1e9, List<EngineFrame>? frames = null)
    {
        var guard = new SensorGuard(SensorGuardOptions.Default);
        List<SensorFault> faults = [];
        var random = new Random(20261128);
        for (int tick = 0; tick < seconds * hz; tick++)
        {
            double at = tick / hz;
            var frame = new EngineFrame(LogTime.FromSeconds(at)) { Fresh = uint.MaxValue };
            double swing = Math.Sin(at / 2);
            frame[Role.EngineSpeed] = at < stoppedFromS ? Math.Round(5500 + (1200 * swing) + Noise(9)) : 200;
            frame[Role.OilPressure] = at < stoppedFromS ? Math.Round(500 + (0.02 * (frame.SpeedRpm - 5500)) + Noise(3.5), 1) : Math.Round(2 + Noise(1), 1);
            frame[Role.LateralG] = Math.Round((at < straightFromS ? 1.1 * Math.Sin(at / 3) : 0) + Noise(0.04), 3);
            frame[Role.LongitudinalG] = Math.Round((at < straightFromS ? 0.5 * Math.Cos(at / 2) : -0.3) + Noise(0.04), 3);
            frame[Role.CrankcasePressure] = Math.Round(-20 - (3 * swing) + Noise(0.5), 1);
            frame[Role.VehicleSpeed] = Math.Round(150 + (0.5 * 9.80665 * 3.6 * 2 * swing) + Noise(0.3), 1);
            frame[Role.Throttle] = Math.Round(50 + (40 * swing) + Noise(0.5), 1);
            frame[Role.OilTemperature] = Math.Round(100 + (at / 60) + Noise(0.3), 1);
            frame[Role.WaterTemperature] = Math.Round(88 + Noise(0.3), 1);
            frame[Role.FuelPressure] = Math.Round(350 + Noise(4));
            frame[Role.BatteryVoltage] = Math.Round(13.8 + Noise(0.1), 2);
            frame[Role.Vibration] = Math.Round(1.4 + (0.4 * swing) + Noise(0.3), 3);
            frame[role] = change(at, frame[role]);
            guard.Apply(ref frame);
            frames?.Add(frame);
            for (int i = 0; i < guard.Changes.Count; i++) faults.Add(guard.Changes[i]);
        }
        guard.Finish();
        for (int i = 0; i < guard.Changes.Count; i++) faults.Add(guard.Changes[i]);
        return faults;

        double Noise(double size) => size * ((2 * random.NextDouble()) - 1);
    }
}
