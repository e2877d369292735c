using OilWatch.Synthesiser.Circuits;
using OilWatch.Synthesiser.Driving;
using OilWatch.Synthesiser.Faults;
using OilWatch.Synthesiser.Maths;
using OilWatch.Synthesiser.Oil;
using OilWatch.Synthesiser.Scenarios;
using OilWatch.Synthesiser.Sensing;
using OilWatch.Synthesiser.Truths;

namespace OilWatch.Synthesiser;

/// <summary>Makes a run: circuit, car, gearbox, heat, oil, sensors, faults, and the truth beside them.</summary>
public static class SessionSynthesiser
{
    /// <summary>Step of the true series, s.</summary>
    public const double StepS = 0.005;

    // Metres a degree near the equator (WGS84).
    private const double MetresPerDegreeNorth = 110_574;
    private const double MetresPerDegreeEast = 111_320;

    /// <summary>Makes the run of a plan.</summary>
    /// <exception cref="ArgumentException">The scenario is unknown, or laps or rate are out of range.</exception>
    public static SynthesisedRun Run(SessionPlan plan)
    {
        Scenario scenario = AllScenarios.Named(plan.Scenario);
        if (plan.Laps is not (>= 1 and <= 200)) throw new ArgumentException($"laps = {plan.Laps} is out of range; 1 to 200 is allowed", nameof(plan));
        if (plan.RateHz is { } asked && asked is not (>= 5 and <= 200))
            throw new ArgumentException(FormattableString.Invariant($"rate = {asked} Hz is out of range; 5 to 200 is allowed"), nameof(plan));

        (Circuit circuit, Car car) = DrawCircuitAndCar(plan);
        var simulation = new LapSimulation(circuit, car);
        IReadOnlyList<TrueCorner> corners = CornerFinder.Find(circuit, simulation.FlyingLapSpeeds());

        // Driver, heat and problems differ from scenario to scenario; circuit, car and engine do not.
        var random = new SeededRandom(plan.Seed, plan.Stream("run"));
        double idleBefore = random.Range(12, 35);
        double idleAfter = random.Range(8, 25);
        List<Stop> stops = DrawStops(plan, scenario, circuit, corners, random);
        Drive drive = simulation.Run(plan.Laps, stops, idleBefore, idleAfter, StepS, new SeededRandom(plan.Seed, plan.Stream("driver")));
        if (scenario.ColdStart) Array.Fill(drive.EngineRuns, value: false, 0, (int)(random.Range(2, 5) / StepS));
        Powertrain engine = Powertrain.Run(drive, car, StepS, new SeededRandom(plan.Seed, plan.Stream("gearbox")));
        Temperatures heat = Temperatures.Run(drive, engine, car, scenario, plan.Tuning, StepS, new SeededRandom(plan.Seed, plan.Stream("heat")));

        double lengthS = drive.SpeedMs.Length * StepS;
        OilSetup setup = WithCondition(OilSetup.Draw(new SeededRandom(plan.Seed, "oil"), car.RedlineRpm), scenario, car, lengthS, random);
        Pan pan = plan.Tuning.Pan ?? PanFitter.Fit(plan, scenario, drive, engine, setup, car, StepS);
        IReadOnlyList<(string Label, double EntryS, double ExitS)> passes = CornerFinder.Passes(corners, drive, StepS);
        bool lasting = scenario.Condition is OilCondition.Aeration or OilCondition.PumpFailing or OilCondition.PickupBroken or OilCondition.ReliefOpen;
        OilSystem oil;
        IReadOnlyList<TrueEvent> events;
        int tries = 0;
        do
        {
            oil = OilSystem.Run(drive, engine, heat.OilC, setup, pan, car.RedlineRpm, StepS, new SeededRandom(plan.Seed, plan.Stream("froth")));
            events = new EventFinder(oil, engine.Rpm, StepS)
            {
                Passes = passes,
                Pan = pan,
                Lap = drive.Lap,
                Condition = lasting ? (NameOf(scenario.Condition), setup.ConditionFromS) : null,
            }.Find();
        }
        while (plan.Tuning.Pan is null && tries++ < 12 && PanFitter.Refit(scenario, events, plan.Laps, ref pan));

        List<TrueCondition> conditions = [];
        if (scenario.Condition is not OilCondition.None)
        {
            bool whole = scenario.Condition is OilCondition.Worn or OilCondition.ThinOil;
            conditions.Add(new TrueCondition(
                NameOf(scenario.Condition), whole ? 0 : setup.ConditionFromS, whole ? 0 : setup.ConditionFromS + setup.ConditionRampS, lengthS));
        }

        Ancillaries others = Ancillaries.Run(drive, engine, car, scenario, StepS, new SeededRandom(plan.Seed, plan.Stream("others")), conditions);
        (double latitude, double longitude) = DrawPlace(plan.Seed);
        var byRole = new Dictionary<string, double[]>(StringComparer.Ordinal)
        {
            ["oil_pressure"] = oil.PressureKpa,
            ["oil_temperature"] = heat.OilC,
            ["engine_speed"] = engine.Rpm,
            ["lateral_g"] = drive.LateralG,
            ["longitudinal_g"] = drive.LongitudinalG,
            ["crankcase_pressure"] = others.CrankcaseKpa,
            ["vehicle_speed"] = [.. drive.SpeedMs.Select(v => v * 3.6)],
            ["throttle"] = engine.ThrottlePercent,
            ["lap"] = [.. drive.Lap.Select(lap => (double)lap)],
            ["beacon"] = others.Beacon,
            ["distance"] = others.DistanceM,
            ["latitude"] = [.. drive.DistanceM.Select(d => latitude + (circuit.NorthAt(d) / MetresPerDegreeNorth))],
            ["longitude"] = [.. drive.DistanceM.Select(d => longitude + (circuit.EastAt(d) / MetresPerDegreeEast))],
            ["vibration"] = others.VibrationG,
            ["fuel_pressure"] = others.FuelKpa,
            ["water_temperature"] = heat.WaterC,
            ["battery_voltage"] = others.BatteryV,
        };
        var series = new TrueSeries(StepS, byRole, oil.HealthyKpa, oil.AirShare) { HealthyCrankcaseKpa = others.HealthyCrankcaseKpa };

        List<TrueFault> faults = plan.Tuning.Faults is { } wished ? [.. wished] : FaultPlanner.Plan(
            scenario.FaultyRoles, idleBefore + 10, lengthS - idleAfter - 10, drive.LateralG, StepS,
            new SeededRandom(plan.Seed, plan.Stream("faults")));
        IReadOnlyList<SampledChannel> channels = Instruments.Sample(plan, scenario, series, setup, car, passes, faults);

        return new SynthesisedRun
        {
            Plan = plan,
            Scenario = scenario,
            Circuit = circuit,
            Car = car,
            Oil = setup,
            Pan = pan,
            True = series,
            Channels = channels,
            Truth = new Truth
            {
                Scenario = plan.Scenario,
                Seed = plan.Seed,
                LengthS = lengthS,
                Events = [.. events.Select(e => faults.Any(fault => Hides(fault, e)) ? e with { Borderline = true } : e)],
                Faults = faults,
                Conditions = conditions,
                Corners = corners,
                Laps = LapsOf(drive, plan.Laps),
                Gate = new TrueGate(latitude, longitude, HeadingDeg(circuit), 30),
                Parameters = Parameters(circuit, car, setup, pan, simulation),
            },
        };
    }

    // What a failing pressure or speed sensor, or a hole in the log, covers cannot fairly be asked for.
    private static bool Hides(TrueFault fault, TrueEvent e) =>
        fault.Channel is "oil_pressure" or "engine_speed" or "log" && fault.StartS < e.EndS + 1 && fault.EndS > e.StartS - 1;

    private static (Circuit Circuit, Car Car) DrawCircuitAndCar(SessionPlan plan)
    {
        Car car = Car.Draw(new SeededRandom(plan.Seed, "car"));
        if (plan.Tuning.RedlineRpm is { } redline)
            car = car with { RedlineRpm = redline, ShiftRpm = redline - (car.RedlineRpm - car.ShiftRpm) };
        for (int attempt = 0; ; attempt++)
        {
            Circuit circuit = CircuitBuilder.Build(new SeededRandom(plan.Seed, $"circuit {attempt}"));
            double lap = new LapSimulation(circuit, car).FlyingLapS();
            if ((lap >= plan.Tuning.LapS.From && lap <= plan.Tuning.LapS.To) || attempt > 200) return (circuit, car);
        }
    }

    // Somewhere in the open ocean near the equator: no place on land, so nobody's circuit.
    private static (double Latitude, double Longitude) DrawPlace(ulong seed)
    {
        var random = new SeededRandom(seed, "place");
        return (random.Range(-1.5, 1.5), random.Range(-24, -18));
    }

    private static List<Stop> DrawStops(SessionPlan plan, Scenario scenario, Circuit circuit, IReadOnlyList<TrueCorner> corners, SeededRandom random)
    {
        var stops = new List<Stop>();
        bool pits = random.Chance(scenario.StopProbability) && plan.Laps >= 3;
        bool spins = random.Chance(scenario.StopProbability * 0.6) && plan.Laps >= 3;
        double pitFor = random.Range(15, 45);
        double spinFor = random.Range(5, 14);
        int pitLap = random.Whole(1, Math.Max(1, plan.Laps - 1));
        int spinLap = random.Whole(1, Math.Max(1, plan.Laps - 1));
        TrueCorner where = random.Pick(corners);
        if (!plan.Tuning.Stops) return stops;
        if (pits) stops.Add(new Stop(((pitLap + 1) * circuit.LengthM) - 90, pitFor, IsSpin: false));
        if (spins && where.ToM < circuit.LengthM - 400) stops.Add(new Stop((spinLap * circuit.LengthM) + where.ToM, spinFor, IsSpin: true));
        return stops;
    }

    private static OilSetup WithCondition(OilSetup healthy, Scenario scenario, Car car, double lengthS, SeededRandom random)
    {
        double from = lengthS * random.Range(0.4, 0.6);
        double rampS = random.Chance(0.5) ? random.Range(0.1, 0.4) : random.Range(3, 10);
        double target = random.Range(0.3, 0.6);
        double share = random.Unit();
        OilSetup setup = healthy with { Condition = scenario.Condition, ConditionFromS = from, ConditionRampS = rampS };
        switch (scenario.Condition)
        {
            case OilCondition.Worn:
                return setup with
                {
                    Circuit = setup.Circuit with { LeakM3 = setup.Circuit.LeakM3 * (1.5 + share), ReliefKpa = setup.Circuit.ReliefKpa * (0.8 + (0.1 * share)) },
                };
            case OilCondition.ThinOil:
                double thinner = 0.45 + (0.2 * share);
                return setup with { DataSheet = setup.Oil, Oil = new WaltherOil(setup.Oil.At40Cst * thinner, Math.Max(2.5, setup.Oil.At100Cst * thinner)) };
            case OilCondition.PumpFailing:
            case OilCondition.PickupBroken:
                return setup with { ConditionSize = PanFitter.AirShareFor(setup, target, 0.65 * car.RedlineRpm, 105) };
            case OilCondition.Aeration:
                return setup with { ConditionSize = PanFitter.AirShareFor(setup, 0.80 + (0.12 * share), 0.8 * car.RedlineRpm, 110), ConditionRampS = 8 };
            case OilCondition.ReliefOpen:
                return setup with { ConditionSize = 0.5 + (0.2 * share), ConditionRampS = 0.1 };
            default:
                return setup;
        }
    }

    private static string NameOf(OilCondition condition) => condition switch
    {
        OilCondition.Worn => "worn",
        OilCondition.ThinOil => "thin-oil",
        OilCondition.Aeration => "aeration",
        OilCondition.PumpFailing => "pump-failing",
        OilCondition.PickupBroken => "pickup-broken",
        OilCondition.ReliefOpen => "relief-open",
        _ => "none",
    };

    private static List<TrueLap> LapsOf(Drive drive, int laps)
    {
        var result = new List<TrueLap>();
        int from = 0;
        for (int i = 1; i <= drive.Lap.Length; i++)
        {
            if (i < drive.Lap.Length && drive.Lap[i] == drive.Lap[from]) continue;
            int lap = drive.Lap[from];
            double start = from * StepS, end = i * StepS;
            bool stopsInIt = drive.Stood.Any(s => !s.IsSpin && s.FromS > start && s.ToS < end && s.FromS > 0);
            bool afterStop = result.Count > 0 && result[^1].Kind is "in";
            string kind = lap == 0 ? "out" : lap > laps ? "in" : stopsInIt ? "in" : afterStop ? "out" : "timed";
            result.Add(new TrueLap(lap, kind, start, end));
            from = i;
        }

        return result;
    }

    private static double HeadingDeg(Circuit circuit)
    {
        double degrees = 90 - (circuit.StartHeadingRad * 180 / Math.PI);
        return degrees - (360 * Math.Floor(degrees / 360));
    }

    private static Dictionary<string, double> Parameters(Circuit circuit, Car car, OilSetup setup, Pan pan, LapSimulation simulation) =>
        new(StringComparer.Ordinal)
        {
            ["circuit_length_m"] = circuit.LengthM,
            ["flying_lap_s"] = simulation.FlyingLapS(),
            ["grip_g"] = car.GripG,
            ["braking_g"] = car.BrakingG,
            ["power_w_kg"] = car.PowerPerMass,
            ["top_speed_ms"] = car.TopSpeedMs,
            ["redline_rpm"] = car.RedlineRpm,
            ["idle_rpm"] = car.IdleRpm,
            ["shift_s"] = car.ShiftS,
            ["gears"] = car.GearTopMs.Count,
            ["oil_40c_cst"] = setup.Oil.At40Cst,
            ["oil_100c_cst"] = setup.Oil.At100Cst,
            ["viscosity_power"] = setup.ViscosityPower,
            ["pump_cm3_rev"] = setup.Circuit.DisplacementCm3,
            ["pump_efficiency"] = setup.Circuit.Efficiency,
            ["leak_m3"] = setup.Circuit.LeakM3,
            ["relief_kpa"] = setup.Circuit.ReliefKpa,
            ["relief_flow_m3_s_pa"] = setup.Circuit.ReliefFlow,
            ["relief_softness_kpa"] = setup.Circuit.ReliefSoftnessKpa,
            ["cold_relief_kpa"] = setup.Circuit.ColdReliefKpa,
            ["cavitation_from_rpm"] = setup.Circuit.CavitationFromRpm,
            ["pressure_lag_s"] = setup.GalleryLagS + setup.LineLagS + setup.SensorLagS,
            ["condition_size"] = setup.ConditionSize,
            ["fall_left_mm_g"] = pan.FallLeftMm,
            ["fall_right_mm_g"] = pan.FallRightMm,
            ["fall_braking_mm_g"] = pan.FallBrakingMm,
            ["fall_accelerating_mm_g"] = pan.FallAcceleratingMm,
            ["slosh_hz"] = pan.SloshHz,
            ["slosh_damping"] = pan.Damping,
            ["held_share"] = pan.HeldShare,
            ["hold_s"] = pan.HoldS,
            ["fill_mm"] = pan.FillMm,
            ["edge_mm"] = pan.EdgeMm,
            ["largest_air_share"] = pan.LargestAirShare,
            ["air_in_s"] = pan.AirInS,
            ["purge_s"] = pan.PurgeS,
            ["air_out_s"] = pan.AirOutS,
        };
}
