using System.Collections.Immutable;
using CsCheck;
using OilWatch.Cars;
using OilWatch.Channels;
using OilWatch.Tests.Cars;

namespace OilWatch.Tests.Channels;

public sealed class RoleFinderTests
{
    private const string Nothing = "";

    private static ChannelPlan Plan(params LogChannel[] channels) => RoleFinder.Find(channels, CarSettings.None);

    private static LogChannel Channel(string name, string? unit = null, string? group = null, int index = 0) => new(index, name, unit, group);

    private static CarSettings Car(Role role, ChannelSetting setting) =>
        new() { Channels = ImmutableDictionary<Role, ChannelSetting>.Empty.Add(role, setting) };

    [Theory]
    [InlineData("Oil Press", "psi", "oil_pressure")]
    [InlineData("OilP", "bar", "oil_pressure")]
    [InlineData("oil_pressure", "kPa", "oil_pressure")]
    [InlineData("Engine Oil Pressure", "kPa", "oil_pressure")]
    [InlineData("P_Oil", "bar", "oil_pressure")]
    [InlineData("EOP", "kPa", "oil_pressure")]
    [InlineData("Oil Pres", null, "oil_pressure")]
    [InlineData("OILPRESS", null, "oil_pressure")]
    [InlineData("oilpressure", "PSIG", "oil_pressure")]
    [InlineData("OilPressure_psi", null, "oil_pressure")]
    [InlineData("Oil", "psi", "oil_pressure")]
    [InlineData("pOil", "mbar", "oil_pressure")]
    [InlineData("Eng Oil Prs Sensor", "kPa", "oil_pressure")]
    [InlineData("Oil Press#9", "psi", "oil_pressure")]
    [InlineData("Engine oil pressure (SAE J1939 SPN 100)", "kPa", "oil_pressure")]
    [InlineData("Oil Pressure", "psia", "oil_pressure")]
    [InlineData("Oil Temp", "C", "oil_temperature")]
    [InlineData("T_Oil", "°C", "oil_temperature")]
    [InlineData("EOT", "degF", "oil_temperature")]
    [InlineData("OilTemp_degC", null, "oil_temperature")]
    [InlineData("Engine Oil Temperature 1", "deg C", "oil_temperature")]
    [InlineData("Sump Temp", "°F", "oil_temperature")]
    [InlineData("Oil T", "deg", "oil_temperature")]
    [InlineData("RPM", null, "engine_speed")]
    [InlineData("Engine Speed", "rpm", "engine_speed")]
    [InlineData("nEngine", "1/min", "engine_speed")]
    [InlineData("EngSpd", "rpm", "engine_speed")]
    [InlineData("Engine RPM", null, "engine_speed")]
    [InlineData("EngineSpeed_rpm", null, "engine_speed")]
    [InlineData("n_mot", "1/min", "engine_speed")]
    [InlineData("Speed", "rpm", "engine_speed")]
    [InlineData("Crankshaft Speed", "Hz", "engine_speed")]
    [InlineData("Engine speed (SAE J1979 PID 0C)", "rpm", "engine_speed")]
    [InlineData("Lat G", null, "lateral_g")]
    [InlineData("Lateral Acc", "g", "lateral_g")]
    [InlineData("Acc Lat", "m/s²", "lateral_g")]
    [InlineData("G Lat", null, "lateral_g")]
    [InlineData("gLat", "G", "lateral_g")]
    [InlineData("AccelY", "g", "lateral_g")]
    [InlineData("LatAcc", "m/s^2", "lateral_g")]
    [InlineData("Lateral Acceleration", null, "lateral_g")]
    [InlineData("ay", "m/s2", "lateral_g")]
    [InlineData("Lat", "g", "lateral_g")]
    [InlineData("G Force Lat", null, "lateral_g")]
    [InlineData("GPS LatAcc", "g", "lateral_g")]
    [InlineData("latg", null, "lateral_g")]
    [InlineData("AccelX", "g", "longitudinal_g")]
    [InlineData("G Long", null, "longitudinal_g")]
    [InlineData("Inline Acc", "g", "longitudinal_g")]
    [InlineData("Longitudinal Acceleration", "m/s²", "longitudinal_g")]
    [InlineData("LongAcc", "g", "longitudinal_g")]
    [InlineData("Long", "g", "longitudinal_g")]
    [InlineData("ax", "g", "longitudinal_g")]
    [InlineData("Crankcase Pressure", "kPa", "crankcase_pressure")]
    [InlineData("Crankcase Vacuum", "inHg", "crankcase_pressure")]
    [InlineData("Crank Case Press", "mbar", "crankcase_pressure")]
    [InlineData("Pan Vacuum", "in Hg", "crankcase_pressure")]
    [InlineData("Oil Pan Vac", "inHg", "crankcase_pressure")]
    [InlineData("CrankP", "kPa", "crankcase_pressure")]
    [InlineData("Crank Vac", "inHg", "crankcase_pressure")]
    [InlineData("Speed", "km/h", "vehicle_speed")]
    [InlineData("Vehicle Speed", "mph", "vehicle_speed")]
    [InlineData("GPS Speed", "kph", "vehicle_speed")]
    [InlineData("Ground Speed", "m/s", "vehicle_speed")]
    [InlineData("Wheel speed FL", "km/h", "vehicle_speed")]
    [InlineData("VehSpd", null, "vehicle_speed")]
    [InlineData("Speed kph", null, "vehicle_speed")]
    [InlineData("vCar", "km/h", "vehicle_speed")]
    [InlineData("Throttle", "%", "throttle")]
    [InlineData("TPS", null, "throttle")]
    [InlineData("Throttle Position", "pct", "throttle")]
    [InlineData("ThrottlePos", "ratio", "throttle")]
    [InlineData("Pedal", "%", "throttle")]
    [InlineData("Accelerator Pedal Position", "%", "throttle")]
    [InlineData("Lap", null, "lap")]
    [InlineData("Lap Number", null, "lap")]
    [InlineData("LapNo", "#", "lap")]
    [InlineData("lap_count", "", "lap")]
    [InlineData("Beacon", null, "beacon")]
    [InlineData("Lap Beacon", null, "beacon")]
    [InlineData("Marker", null, "beacon")]
    [InlineData("Distance", "m", "distance")]
    [InlineData("Lap Distance", "km", "distance")]
    [InlineData("LapDist", "ft", "distance")]
    [InlineData("Latitude", "deg", "latitude")]
    [InlineData("GPS Lat", null, "latitude")]
    [InlineData("Lat", "deg", "latitude")]
    [InlineData("GPS_Latitude", "°", "latitude")]
    [InlineData("Longitude", "deg", "longitude")]
    [InlineData("GPS Lon", null, "longitude")]
    [InlineData("GPS Long", "deg", "longitude")]
    [InlineData("Vibration", "g", "vibration")]
    [InlineData("Vibration", "mm/s", "vibration")]
    [InlineData("Engine Vibration RMS", "in/s", "vibration")]
    [InlineData("Vib", "g", "vibration")]
    [InlineData("Engine Vib RMS", "m/s²", "vibration")]
    [InlineData("Fuel Press", "bar", "fuel_pressure")]
    [InlineData("FuelP", "psi", "fuel_pressure")]
    [InlineData("Coolant Temp", "°C", "water_temperature")]
    [InlineData("Water Temp", "F", "water_temperature")]
    [InlineData("ECT", "°C", "water_temperature")]
    [InlineData("WT", "C", "water_temperature")]
    [InlineData("H2O Temp", "C", "water_temperature")]
    [InlineData("Battery", "V", "battery_voltage")]
    [InlineData("Batt V", null, "battery_voltage")]
    [InlineData("Vbat", "V", "battery_voltage")]
    [InlineData("ECU Voltage", "mV", "battery_voltage")]
    // What sounds like a role and is none.
    [InlineData("Gearbox Oil Temp", "°C", Nothing)]
    [InlineData("Gearbox Oil Press", "bar", Nothing)]
    [InlineData("Diff Oil Temp", "°C", Nothing)]
    [InlineData("Transmission Oil Temperature", "°C", Nothing)]
    [InlineData("Oil Pressure Warning Lamp", null, Nothing)]
    [InlineData("Oil Press Switch", null, Nothing)]
    [InlineData("OilPressStatus", null, Nothing)]
    [InlineData("Oil Pressure Target", "kPa", Nothing)]
    [InlineData("Oil Press Setpoint", "kPa", Nothing)]
    [InlineData("Oil Press Set Point", "kPa", Nothing)]
    [InlineData("Oil Pressure Low Limit", "kPa", Nothing)]
    [InlineData("Oil Filter Delta P", "kPa", Nothing)]
    [InlineData("Oil Filter Pressure", "kPa", Nothing)]
    [InlineData("Fuel Oil", null, Nothing)]
    [InlineData("Fuel Oil Pressure", "kPa", Nothing)]
    [InlineData("Oil Pressure", "V", Nothing)]
    [InlineData("Oil Press Sensor Volts", "V", Nothing)]
    [InlineData("Oil Press Sensor Temp", "°C", Nothing)]
    [InlineData("Oil Level", "%", Nothing)]
    [InlineData("Turbo Oil Temp", "°C", Nothing)]
    [InlineData("Oil Temp", "psi", Nothing)]
    [InlineData("Oil", null, Nothing)]
    [InlineData("Brake Press F", "bar", Nothing)]
    [InlineData("Brake Pedal", "%", Nothing)]
    [InlineData("Clutch Pedal Position", "%", Nothing)]
    [InlineData("Throttle Target", "%", Nothing)]
    [InlineData("Throttle", "deg", Nothing)]
    [InlineData("RPM Limit", "rpm", Nothing)]
    [InlineData("Turbo Speed", "rpm", Nothing)]
    [InlineData("Gearbox Input Shaft Speed", "rpm", Nothing)]
    [InlineData("Wheel RPM FL", "rpm", Nothing)]
    [InlineData("Lap Time", "s", Nothing)]
    [InlineData("Last Lap", "s", Nothing)]
    [InlineData("Lap", "s", Nothing)]
    [InlineData("Lateral Slip", "deg", Nothing)]
    [InlineData("Vertical Acc", "g", Nothing)]
    [InlineData("Accel Z", "g", Nothing)]
    [InlineData("Manifold Vacuum", "inHg", Nothing)]
    [InlineData("Brake Booster Vacuum", "kPa", Nothing)]
    [InlineData("Crank Position", "deg", Nothing)]
    [InlineData("Battery Current", "A", Nothing)]
    [InlineData("Fuel Temp", "°C", Nothing)]
    [InlineData("Fuel Level", "%", Nothing)]
    [InlineData("Cylinder Head Temp", "°C", Nothing)]
    [InlineData("GPS Altitude", "m", Nothing)]
    [InlineData("Long", "psi", Nothing)]
    [InlineData("Tyre Press FL", "bar", Nothing)]
    [InlineData("Boost", "kPa", Nothing)]
    [InlineData("MAP", "kPa", Nothing)]
    [InlineData("Ride Height FL", "mm", Nothing)]
    [InlineData("Platform", null, Nothing)]
    [InlineData("", null, Nothing)]
    [InlineData("###", null, Nothing)]
    public void A_name_and_a_unit_get_the_right_role_or_none(string name, string? unit, string role)
    {
        ChannelPlan plan = Plan(Channel(name, unit));
        Assert.Equal(role, string.Join(",", plan.Choices.Select(choice => choice.Role.Key())));
    }

    [Theory]
    [InlineData("oil_press_kpa")]
    [InlineData("Oil Press [kPa]")]
    [InlineData("oil_press (kpa)")]
    public void A_source_may_be_the_whole_heading_with_its_unit(string source)
    {
        LogChannel[] channels = [new(0, "oil_press", "kpa"), new(1, "rpm", "rpm")];
        CarSettings car = CarSettings.None with
        {
            Channels = CarSettings.None.Channels.Add(Role.OilPressure, new ChannelSetting { Source = source }),
        };

        Assert.Equal("oil_press", RoleFinder.Find(channels, car).For(Role.OilPressure)?.Channel.Name);
    }

    [Fact]
    public void A_column_called_engine_in_revolutions_is_engine_speed() =>
        Assert.Equal("engine", RoleFinder.Find([new(0, "engine", "rpm")], CarSettings.None).For(Role.EngineSpeed)?.Channel.Name);

    [Fact]
    public void A_gearbox_message_does_not_lend_its_oil_to_the_engine()
    {
        Assert.Empty(Plan(Channel("OilTemp", "degC", "Gearbox_2")).Choices);
        Assert.True(Plan(Channel("OilTemp", "degC", "Engine_2")).Has(Role.OilTemperature));
    }

    [Fact]
    public void The_better_channel_wins_and_the_rest_stays_free()
    {
        ChannelPlan plan = Plan(
            Channel("Wheel Speed FL", "km/h", index: 0), Channel("Pedal", "%", index: 1), Channel("Throttle", "%", index: 2),
            Channel("GPS Speed", "km/h", index: 3), Channel("Oil Press Max", "kPa", index: 4), Channel("Oil Press", "kPa", index: 5),
            Channel("Lat", "g", index: 6), Channel("Lat", "deg", index: 7));
        Assert.Equal(
            "oil_pressure=5 lateral_g=6 vehicle_speed=3 throttle=2 latitude=7",
            string.Join(' ', plan.Choices.Select(choice => $"{choice.Role.Key()}={choice.Channel.Index}")));
    }

    [Theory]
    // role, name, low, high (a sample from low to high), the unit that must be guessed
    [InlineData("Oil Press", 0.1, 5.6, "bar")]
    [InlineData("Oil Press", 3.0, 88, "psi")]
    [InlineData("Oil Press", 20, 610, "kPa")]
    [InlineData("Oil Press", 200, 6100, "mbar")]
    [InlineData("Oil Press", 0, 0.1, "kPa")]
    [InlineData("Oil Temp", 60, 122, "°C")]
    [InlineData("Oil Temp", 140, 255, "°F")]
    [InlineData("Oil Temp", 310, 395, "K")]
    [InlineData("Water Temp", 60, 98, "°C")]
    [InlineData("Water Temp", 140, 205, "°F")]
    [InlineData("Lat G", -1.4, 1.5, "g")]
    [InlineData("Lat G", -13.5, 14.1, "m/s²")]
    [InlineData("Lat G", -1400, 1500, "mg")]
    [InlineData("RPM", 900, 7800, "rpm")]
    [InlineData("RPM", 15, 130, "rev/s")]
    [InlineData("Speed", 5, 240, "km/h")]
    [InlineData("Speed", 2, 68, "m/s")]
    [InlineData("Throttle", 0, 1, "ratio")]
    [InlineData("Throttle", 0, 99, "%")]
    [InlineData("Crankcase Vacuum", 2, 16, "inHg")]
    [InlineData("Crankcase Vacuum", 5, 54, "kPa")]
    [InlineData("Crankcase Vacuum", 50, 540, "mbar")]
    [InlineData("Crankcase Pressure", -40, 2, "kPa")]
    [InlineData("Crankcase Pressure", 62, 101, "kPa absolute")]
    [InlineData("Crankcase Pressure", 620, 1010, "mbar absolute")]
    [InlineData("Battery", 11900, 14100, "mV")]
    [InlineData("Latitude", 500_000_000, 500_100_000, "1e-7 deg")]
    public void A_missing_unit_is_guessed_from_the_values_and_told(string name, double low, double high, string unit)
    {
        ChannelSample sample = Ramp(low, high);
        ChannelChoice choice = Assert.Single(RoleFinder.Find([Channel(name)], CarSettings.None, _ => sample).Choices);
        Assert.Equal(unit, choice.UnitUsed);
        Assert.Contains($" fit {unit} best", choice.Why, StringComparison.Ordinal);
    }

    [Fact]
    public void A_unit_without_values_to_judge_by_is_assumed_and_told()
    {
        ChannelChoice choice = Assert.Single(Plan(Channel("Oil Press")).Choices);
        Assert.Equal(("kPa", 1.0, 0.0), (choice.UnitUsed, choice.Scale, choice.Offset));
        Assert.Equal("found by its name; no unit is given and there are no values to judge by, so kPa is assumed", choice.Why);
    }

    [Fact]
    public void A_kerb_strike_does_not_make_g_look_like_metres()
    {
        double[] values = [.. Enumerable.Range(0, 1000).Select(i => Math.Sin(i * 0.1) * 1.3), 6.0];
        ChannelSample sample = ChannelSample.Of(values);
        Assert.Equal("g", RoleFinder.Find([Channel("Lat G")], CarSettings.None, _ => sample).For(Role.LateralG)!.UnitUsed);
    }

    [Fact]
    public void Lat_alone_is_told_by_its_values()
    {
        ChannelPlan lateral = RoleFinder.Find([Channel("Lat")], CarSettings.None, _ => Ramp(-1.2, 1.3));
        Assert.Equal(Role.LateralG, Assert.Single(lateral.Choices).Role);
        ChannelPlan latitude = RoleFinder.Find([Channel("Lat")], CarSettings.None, _ => Ramp(12.001, 12.025));
        Assert.Equal(Role.Latitude, Assert.Single(latitude.Choices).Role);
    }

    [Fact]
    public void A_channel_logged_as_vacuum_is_turned_round()
    {
        ChannelChoice choice = Assert.Single(Plan(Channel("Pan Vacuum", "inHg")).Choices);
        // check-values 12, vacuum row: 12 inHg of vacuum is -40.6367 kPa gauge (COMPUTED, four decimals).
        Assert.Equal(-40.6367, choice.ToRoleUnit(12), 5e-5);
        Assert.Equal("found by its name; in inHg as the log says; logged as a vacuum, so the sign is turned round", choice.Why);
    }

    [Fact]
    public void A_vacuum_whose_values_are_negative_already_is_left_and_told()
    {
        ChannelChoice choice = Assert.Single(RoleFinder.Find([Channel("Pan Vacuum", "kPa")], CarSettings.None, _ => Ramp(-42, 1)).Choices);
        Assert.Equal(-42, choice.ToRoleUnit(-42), 1e-12);
        Assert.Equal("found by its name; in kPa as the log says; logged as a vacuum, but its values are negative already, so the sign is left", choice.Why);
    }

    [Fact]
    public void A_unit_that_says_vacuum_turns_the_sign_round_too()
    {
        ChannelChoice choice = Assert.Single(Plan(Channel("Crankcase", "inHg vac")).Choices);
        Assert.Equal(-40.6367, choice.ToRoleUnit(12), 5e-5);
        Assert.Equal("found by its name; in inHg vacuum as the log says; logged as a vacuum, so the sign is turned round", choice.Why);
    }

    [Fact]
    public void Invert_turns_the_sign_round_once_even_for_a_vacuum()
    {
        CarSettings car = Car(Role.CrankcasePressure, new ChannelSetting { Invert = true });
        ChannelChoice choice = Assert.Single(RoleFinder.Find([Channel("Pan Vacuum", "kPa")], car).Choices);
        Assert.Equal(-30, choice.ToRoleUnit(30));
        car = Car(Role.LateralG, new ChannelSetting { Invert = true });
        choice = Assert.Single(RoleFinder.Find([Channel("Lat G", "g")], car).Choices);
        Assert.Equal(-1.2, choice.ToRoleUnit(1.2));
        Assert.Equal("found by its name; in g as the log says; sign turned round, as the car file says", choice.Why);
    }

    [Fact]
    public void Gauge_in_the_car_file_keeps_the_sign_of_a_channel_named_vacuum()
    {
        CarSettings car = Car(Role.CrankcasePressure, new ChannelSetting { Unit = "kPa gauge" });
        ChannelChoice choice = Assert.Single(RoleFinder.Find([Channel("Pan Vacuum", "kPa")], car).Choices);
        Assert.Equal(-30, choice.ToRoleUnit(-30));
    }

    [Theory]
    [InlineData("Crankcase Pressure", "mbar", 700, 1010, "mbar absolute")]
    [InlineData("Crankcase Pressure", "inHg", 20, 29.8, "inHg absolute")]
    [InlineData("Crankcase Pressure", "kPa", 60, 101, "kPa absolute")]
    [InlineData("Crankcase Pressure", "psi", 9.5, 14.6, "psi absolute")]
    [InlineData("Crankcase Pressure", "bar", 0.55, 0.9, "bar absolute")]
    [InlineData("CrankcasePress_mbar", null, 700, 1010, "mbar absolute")]
    public void Crankcase_values_about_an_atmosphere_are_absolute_whatever_the_unit_leaves_open(string name, string? unit, double low, double high, string used)
    {
        ChannelChoice choice = Assert.Single(RoleFinder.Find([Channel(name, unit)], CarSettings.None, _ => Ramp(low, high)).Choices);
        Assert.Equal(used, choice.UnitUsed);
        // check-values 12: 1 atm is 101.325 kPa, 1013.25 mbar, 29.92126 inHg (conventional), 14.695948775513 psi.
        double atmosphere = used.Split(' ')[0] switch { "mbar" => 1013.25, "inHg" => 29.92126, "psi" => 14.695948775513, "bar" => 1.01325, _ => 101.325 };
        Assert.Equal(0, choice.ToRoleUnit(atmosphere), 2e-4);
        Assert.Contains("absolute by its values of", choice.Why, StringComparison.Ordinal);
        Assert.Contains("until the run itself shows what ambient is", choice.Why, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("Crankcase Pressure", "kPa", -40, 2, "kPa")]
    [InlineData("Crankcase Pressure", "mbar", -300, 15, "mbar")]
    [InlineData("Crankcase Pressure", "kPa", 0.2, 8, "kPa")]
    [InlineData("Crankcase Pressure", "kPa", 0, 101, "kPa")]           // a sensor that shows nothing at times
    [InlineData("Crankcase Pressure", "kPa gauge", 60, 101, "kPa")]
    [InlineData("Crankcase Vacuum", "kPa", 55, 80, "kPa")]
    [InlineData("Crankcase Pressure", "mbar", 70, 101, "mbar")]
    public void Other_crankcase_values_are_gauge_where_the_unit_leaves_it_open(string name, string unit, double low, double high, string used) =>
        Assert.Equal(used, Assert.Single(RoleFinder.Find([Channel(name, unit)], CarSettings.None, _ => Ramp(low, high)).Choices).UnitUsed);

    [Theory]
    [InlineData("kPa g", false, "kPa")]
    [InlineData("kPa abs", false, "kPa absolute")]
    [InlineData("kPa", false, "kPa absolute")]
    [InlineData("kPa", true, "kPa")]
    public void The_car_file_says_what_a_crankcase_sensor_measures_from(string unit, bool invert, string used)
    {
        CarSettings car = Car(Role.CrankcasePressure, new ChannelSetting { Unit = unit, Invert = invert });
        Assert.Equal(used, Assert.Single(RoleFinder.Find([Channel("Crankcase Pressure", "kPa")], car, _ => Ramp(60, 101)).Choices).UnitUsed);
    }

    [Fact]
    public void Absolute_in_the_car_file_needs_no_values()
    {
        CarSettings car = Car(Role.CrankcasePressure, new ChannelSetting { Unit = "kPa abs" });
        Assert.Equal("kPa absolute", Assert.Single(RoleFinder.Find([Channel("Crankcase Pressure", "mbar")], car).Choices).UnitUsed);
    }

    [Theory]
    [InlineData("Oil Pressure", "psia")]
    [InlineData("Oil Pressure Abs", "psi")]
    [InlineData("Oil Pressure", "psi (abs)")]
    public void An_absolute_pressure_has_the_standard_atmosphere_taken_off(string name, string unit)
    {
        ChannelChoice choice = Assert.Single(Plan(Channel(name, unit)).Choices);
        // check-values 12: 1 atm = 14.695948775513 psi = 101.325 kPa; 60 psi = 413.68543759 kPa.
        Assert.Equal(0, choice.ToRoleUnit(14.695948775513), 1e-9);
        Assert.Equal(413.68543759, choice.ToRoleUnit(60 + 14.695948775513), 1e-8);
        Assert.Contains("absolute, so the standard atmosphere of 101.325 kPa is subtracted", choice.Why, StringComparison.Ordinal);
    }

    [Fact]
    public void The_car_file_rules()
    {
        CarSettings car = Car(Role.OilPressure, new ChannelSetting { Source = "Sensor 4", Unit = "bar" });
        ChannelPlan plan = RoleFinder.Find([Channel("Oil Press", "psi", index: 0), Channel("Sensor 4", "V", index: 1)], car);
        ChannelChoice choice = plan.For(Role.OilPressure)!;
        Assert.Equal(("Sensor 4", "bar", 100.0), (choice.Channel.Name, choice.UnitUsed, choice.Scale));
        Assert.Equal("the car file names it; in bar as the car file says", choice.Why);
    }

    [Theory]
    [InlineData("Oil Press#9")]
    [InlineData("oil press#9")]
    [InlineData("OilPress#9")]
    [InlineData("Engine.Oil Press#9")]
    public void A_source_is_found_whatever_its_case_and_blanks(string source)
    {
        CarSettings car = Car(Role.OilPressure, new ChannelSetting { Source = source });
        ChannelPlan plan = RoleFinder.Find(
            [Channel("Oil Press#3", "psi", "Engine", 0), Channel("Oil Press#9", "psi", "Engine", 1)], car);
        Assert.Equal("Oil Press#9", plan.For(Role.OilPressure)!.Channel.Name);
    }

    [Fact]
    public void A_source_that_is_not_in_the_log_is_a_note_with_the_nearest_names()
    {
        CarSettings car = Car(Role.OilPressure, new ChannelSetting { Source = "Oil Pres" });
        ChannelPlan plan = RoleFinder.Find(
            [Channel("RPM", index: 0), Channel("Oil Press", "psi", index: 1), Channel("Oil Temp", "C", index: 2), Channel("Ambient", index: 3)], car);
        Assert.False(plan.Has(Role.OilPressure));
        Assert.Equal(
            ["oil_pressure: the car file's source 'Oil Pres' is not in this log, so the role is left empty; nearest names: 'Oil Press', 'Oil Temp', 'RPM'"],
            plan.Notes);
    }

    [Fact]
    public void A_source_that_is_there_in_several_messages_is_told()
    {
        CarSettings car = Car(Role.OilPressure, new ChannelSetting { Source = "OilP" });
        ChannelPlan plan = RoleFinder.Find([Channel("OilP", "kPa", "Eng2", 0), Channel("OilP", "kPa", "Eng1", 1)], car);
        Assert.Equal(1, plan.For(Role.OilPressure)!.Channel.Index);
        Assert.Equal(
            ["oil_pressure: 2 channels are called 'OilP'; the one in 'Eng1' is used; write source = \"Eng1.OilP\" to be sure"], plan.Notes);
    }

    [Fact]
    public void A_named_source_in_a_unit_that_cannot_be_is_told_not_used()
    {
        CarSettings car = Car(Role.OilPressure, new ChannelSetting { Source = "Oil Press" });
        ChannelPlan plan = RoleFinder.Find([Channel("Oil Press", "V")], car);
        Assert.Empty(plan.Choices);
        Assert.Equal(
            ["oil_pressure: 'Oil Press' is not used: its unit V cannot be turned into kPa; if the log is wrong, set [channels.oil_pressure] unit"], plan.Notes);
    }

    [Fact]
    public void A_side_file_settles_its_role()
    {
        CarSettings car = Car(Role.Vibration, new ChannelSetting { File = "block.wav" });
        ChannelPlan plan = RoleFinder.Find([Channel("Vibration", "g")], car);
        Assert.False(plan.Has(Role.Vibration));
        Assert.Equal(["vibration: comes from the side file 'block.wav', as the car file says"], plan.Notes);
    }

    [Theory]
    [InlineData("Oil Pressure Warning Lamp", null,
        "oil_pressure: left empty; 'Oil Pressure Warning Lamp' comes nearest, but its name speaks of a warning, not of the measurement itself; "
        + "if it is the one, set [channels.oil_pressure] source = \"Oil Pressure Warning Lamp\"")]
    [InlineData("Oil Pressure", "V",
        "oil_pressure: left empty; 'Oil Pressure' comes nearest, but its unit V cannot be turned into kPa; "
        + "if it is the one, set [channels.oil_pressure] source = \"Oil Pressure\"")]
    [InlineData("Gearbox Oil Temp", "°C",
        "oil_temperature: left empty; 'Gearbox Oil Temp' comes nearest, but its name speaks of the gearbox; "
        + "if it is the one, set [channels.oil_temperature] source = \"Gearbox Oil Temp\"")]
    public void A_near_miss_is_told(string name, string? unit, string note) => Assert.Equal([note], Plan(Channel(name, unit)).Notes);

    [Fact]
    public void A_channel_that_is_only_on_and_off_is_no_pressure()
    {
        double[] values = [.. Enumerable.Range(0, 100).Select(i => i < 3 ? 1.0 : 0.0)];
        ChannelSample sample = ChannelSample.Of(values);
        ChannelPlan plan = RoleFinder.Find([Channel("Oil Press")], CarSettings.None, _ => sample);
        Assert.Empty(plan.Choices);
        Assert.Equal(
            ["oil_pressure: left empty; 'Oil Press' comes nearest, but its values are only 0 and 1, as of a switch; "
            + "if it is the one, set [channels.oil_pressure] source = \"Oil Press\""], plan.Notes);
    }

    [Fact]
    public void A_channel_without_readings_does_not_take_the_role_from_a_live_one()
    {
        ChannelPlan plan = RoleFinder.Find(
            [Channel("Engine RPM", "rpm", index: 0), Channel("RPM", "rpm", index: 1)], CarSettings.None,
            index => index == 0 ? ChannelSample.Empty : Ramp(900, 7000));
        Assert.Equal("RPM", plan.For(Role.EngineSpeed)!.Channel.Name);
    }

    [Fact]
    public void Values_that_the_unit_makes_absurd_are_told()
    {
        ChannelPlan plan = RoleFinder.Find([Channel("Oil Press", "bar")], CarSettings.None, _ => Ramp(5, 85));
        Assert.True(plan.Has(Role.OilPressure));
        Assert.Equal(["oil_pressure: 'Oil Press' is used, but its values of 900 to 8100 kPa do not look like it"], plan.Notes);
    }

    [Fact]
    public void Equals_are_decided_by_name_and_told()
    {
        ChannelPlan plan = Plan(
            Channel("Wheel Speed RL", "km/h", index: 0), Channel("Wheel Speed FR", "km/h", index: 1), Channel("Wheel Speed FL", "km/h", index: 2));
        Assert.Equal("Wheel Speed FL", plan.For(Role.VehicleSpeed)!.Channel.Name);
        Assert.Equal(
            ["vehicle_speed: 'Wheel Speed FL' is used; 'Wheel Speed FR', 'Wheel Speed RL' fit as well; set [channels.vehicle_speed] source to choose"], plan.Notes);
    }

    [Fact]
    public void A_unit_that_is_not_known_is_told()
    {
        ChannelChoice choice = Assert.Single(RoleFinder.Find([Channel("Oil Press", "furlong")], CarSettings.None, _ => Ramp(1, 80)).Choices);
        Assert.Equal("found by its name; its unit 'furlong' is not known; no unit is given; values of 4.95 to 76.05 fit psi best", choice.Why);
    }

    [Fact]
    public void Names_from_a_log_cannot_steer_a_terminal()
    {
        ChannelPlan plan = Plan(Channel("Oil Press \u001b[31mLamp", null));
        Assert.Contains("'Oil Press \\u001B[31mLamp'", Assert.Single(plan.Notes), StringComparison.Ordinal);
        Assert.DoesNotContain('\u001b', plan.Notes[0]);
    }

    [Fact]
    public void The_order_of_the_channels_does_not_matter()
    {
        LogChannel[] channels = WholeLog();
        string expected = Describe(RoleFinder.Find(channels, CarSettings.None));
        Gen.Shuffle(channels).Holds(200,
            shuffled => string.Equals(
                Describe(RoleFinder.Find([.. shuffled.Select((channel, index) => channel with { Index = index })], CarSettings.None)), expected, StringComparison.Ordinal));
    }

    [Fact]
    public void An_unrelated_channel_changes_nothing()
    {
        LogChannel[] channels = WholeLog();
        string expected = Describe(RoleFinder.Find(channels, CarSettings.None));
        string[] unrelated =
        [
            "Tyre Press FL", "Ambient Humidity", "Gear", "Steering Angle", "Yaw Rate", "Brake Press F", "Lambda 1", "EGT 3", "Damper FL", "Fuel Used",
            "Ignition Advance", "MAP", "Time", "Checksum", "Ride Height", "Driver Name",
        ];
        foreach (string name in unrelated)
            Assert.Equal(expected, Describe(RoleFinder.Find([Channel(name, index: 999), .. channels], CarSettings.None)));
    }

    [Fact]
    public void Units_in_equals_units_out() =>
        Gen.Select(Gen.OneOf(Roles.All.Where(role => Units.For(role).Length > 0).ToArray()), Gen.Int[0, 1000], Gen.Double[-500, 8000]).Holds(2000,
            (role, pick, value) =>
            {
                string unit = Units.For(role)[pick % Units.For(role).Length];
                Assert.True(Units.TryConvert(role, unit, out UnitConversion conversion));
                CarSettings car = Car(role, new ChannelSetting { Source = "x", Unit = unit });
                ChannelChoice choice = RoleFinder.Find([Channel("x")], car).For(role)!;
                double logged = conversion.FromRoleUnit(value);
                return Math.Abs(choice.ToRoleUnit(logged) - value) < 1e-9 * Math.Max(1, Math.Abs(value) + Math.Abs(choice.Offset));
            });

    [Fact]
    public void No_name_unit_or_value_throws()
    {
        Gen<double> number = Gen.OneOf(Gen.Double, Gen.OneOf(0.0, double.NaN, double.MaxValue, double.MinValue, double.Epsilon));
        Gen<string> piece = Gen.OneOf("oil", "Press", "lat", "G", " ", "_", "#9", "\u001b", "\uD800", "psi", "(SAE ", "RPM", "°", "ı", "İ", "vac", "2", "h2o", "ﬀ");
        Gen<string> name = Gen.OneOf(Gen.String[0, 40], piece.Array[0, 12].Select(pieces => string.Concat(pieces)));
        Gen.Select(name.Array[0, 6], name, number.Array[0, 30]).Holds(3000,
            (names, unit, values) =>
            {
                LogChannel[] channels = [.. names.Select((text, index) => new LogChannel(index, text, unit, text))];
                ChannelSample sample = ChannelSample.Of(values);
                CarSettings car = Car(Role.OilPressure, new ChannelSetting { Source = unit, Unit = unit });
                ChannelPlan plan = RoleFinder.Find(channels, CarSettings.None, _ => sample);
                ChannelPlan named = RoleFinder.Find(channels, car, _ => sample);
                return plan.Choices.All(choice => double.IsFinite(choice.Scale)) && !named.Choices.IsDefault;
            });
    }

    [Fact]
    public void Every_role_says_what_its_lack_costs()
    {
        foreach (Role role in Roles.All)
            Assert.EndsWith(".", RoleCosts.Of(role), StringComparison.Ordinal);
        Assert.Equal(
            "A drop in a corner cannot be told from any other, so every drop is reported as low-oil-pressure; no corners, no time to drop.",
            RoleCosts.Of(Role.LateralG));
    }

    private static LogChannel[] WholeLog() =>
    [
        .. new (string, string?)[]
        {
            ("Oil Press", "psi"), ("Oil Press 2", "psi"), ("Oil Temp", "F"), ("RPM", null), ("Lat G", "g"), ("Long G", "g"), ("Crankcase Vacuum", "inHg"),
            ("Wheel Speed FL", "mph"), ("Wheel Speed FR", "mph"), ("GPS Speed", "mph"), ("TPS", "%"), ("Pedal", "%"), ("Lap", null), ("Beacon", null), ("Distance", "ft"),
            ("Latitude", "deg"), ("Longitude", "deg"), ("Vib", "g"), ("Fuel Press", "psi"), ("Water Temp", "F"), ("Batt V", null), ("Gearbox Oil Temp", "F"), ("Oil Press Lamp", null),
        }.Select((pair, index) => new LogChannel(index, pair.Item1, pair.Item2)),
    ];

    private static string Describe(ChannelPlan plan) => string.Join("\n",
        plan.Choices.Select(choice => FormattableString.Invariant(
            $"{choice.Role} {choice.Channel.Name} {choice.Scale} {choice.Offset} {choice.UnitUsed} {choice.Why}")).Concat(plan.Notes));

    private static ChannelSample Ramp(double low, double high)
    {
        double[] values = [.. Enumerable.Range(0, 101).Select(i => low + ((high - low) * i / 100))];
        return ChannelSample.Of(values);
    }
}
