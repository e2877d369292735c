using OilWatch.Channels;

namespace OilWatch.Detectors;

/// <summary>What is possible for each role. Where no source is named: common practice, no source.</summary>
internal static class GuardRules
{
    private const double CarLagS = 0.1;                // springs and tyres of a car that turns in or brakes
    private const double SlowestStepS = 0.13;          // readings at 10 Hz; between slower ones everything is over
    private const double LongestStepS = 30;
    private const double LeastVibrationStep = 3;       // of its unit: what breaks makes a level grow, and does not take it back within one reading
    private const double LevelLagS = 0.1;              // a level is a mean over that long
    private const double QuickStepS = 0.06;
    private const double LongestVibrationStepS = 120;
    private const double SureS = 0.35;
    private const double OneGearS = 0.65;              // nobody takes a gear and gives it back so soon
    private const double LargestGearRpm = 1600;        // from one gear to the next of a close box near the top
    private const double LeastRiseRpm = 2500;          // in 0.06 s and less: twice what the lightest crank gains, and more than a gear taken too low
    private const double OtherAmbientKpa = 30;         // at 2900 m ambient is so much below the standard atmosphere
    private const double SteepestG = 0.3;              // 17 degrees: steeper than any ramp or banking that a car is left on
    private const double PushedKmh = 10;               // nobody pushes a car faster
    private const double HumLevel = 1.5;               // pumps and fans of a car whose engine is off shake it by less, in g and in mm/s
    private const double SpeedStepShare = 0.8;         // of the fastest change of engine speed: both ways within one reading each

    /// <summary>One rule a role that is watched; laps, beacons and distances are judged where laps are counted.</summary>
    public static GuardRule[] For(SensorGuardOptions options)
    {
        double after = options.ReportAfterS, slow = Math.Max(2, after), sure = Math.Max(SureS, after), stuck = options.StuckAfterS;
        return
        [
            new(Role.OilPressure, -90, options.HighestPressureKpa, after)
            {
                SlewPerS = 6_000, FallTimeS = options.FastestFallS, DeadAt = options.DeadPressureKpa, RestBand = 0, ZeroIsPossible = true, StandsUpTo = 50, SteadyS = 1.5,
                LeastSpike = 40, LeastFlip = 40, StuckAfterS = stuck, LearnsRails = true, LagForbidsReversals = true, RailFlicker = 0.004,      // four counts of ten bits
            },
            new(Role.EngineSpeed, -50, options.HighestSpeedRpm, after)
            {
                SlewPerS = options.FastestSpeedChangeRpmS, LeastRise = LeastRiseRpm, DeadAt = 200, RestBand = 0, LeastSpike = 600, LeastFlip = 600, ContextMove = 0.035, StuckAfterS = stuck, MayStand = true, LearnsRails = true, LagForbidsReversals = true,
            },
            new(Role.LateralG, -options.HighestG, options.HighestG, after) { SlewPerS = 60, RestBand = 0.06, LeastSpike = 1.6, LeastFlip = 0.8, StuckAfterS = stuck, LearnsRails = true },
            new(Role.LongitudinalG, -options.HighestG, options.HighestG, after) { SlewPerS = 60, RestBand = 0.06, LeastSpike = 1.6, LeastFlip = 0.8, StuckAfterS = stuck, LearnsRails = true },
            // A hose that comes off lets a crankcase breathe within a tenth of a second: only what is much faster is impossible.
            new(Role.CrankcasePressure, -101, 150, after) { SlewPerS = 400, LeastSpike = 12, LeastFlip = 12, LeastTurn = 4, RestBand = 1, StuckAfterS = Math.Max(1, 2 * stuck), StuckUsuals = 5, Flickers = true },
            // Oil and coolant take seconds for a few degrees. -45 °C is below the open-circuit end of the usual scales.
            new(Role.OilTemperature, -45, 220, after) { SlewPerS = 10, LeastSpike = 15, StuckAfterS = 180, StuckUsuals = 12, ContextMove = 0.3, IsSlow = true, CannotLeap = true, RisePerS = 10, FallPerS = 10, Flickers = true, LeastStandS = 20 },
            new(Role.WaterTemperature, -45, 210, after) { SlewPerS = 10, LeastSpike = 15, StuckAfterS = 300, StuckUsuals = 12, ContextMove = 0.3, IsSlow = true, CannotLeap = true, RisePerS = 10, FallPerS = 10, Flickers = true, LeastStandS = 20 },
            // A wheel that spins in gear takes the engine with it: it gains no more than some 150 km/h in a second. It may lock at once, and comes back up to what the car has left at half a g.
            new(Role.VehicleSpeed, -20, 500, sure)
            {
                RestBand = 3, StuckAfterS = Math.Max(2, 2 * stuck), StuckUsuals = 4, SureAfterS = sure, Flickers = true,
                LeastSpike = 45, SlewPerS = 1200, RisePerS = 200, FallPerS = 20, MayFall = true, CannotLeap = true, DriftPerS = 15,
            },
            // Calibrated from stop to stop: a little beyond is wear, more is none. A foot may do anything, but not there and back within a tenth of a second.
            new(Role.Throttle, -8, 108, after)
            {
                RestsAtEnds = true, StuckAfterS = Math.Max(6, stuck), StuckUsuals = 4, ContextMove = 0.15, IsSlow = true, CountsWild = false, Flickers = true, LeastSpike = 20, LeastTurn = 40, MaySnap = true,
            },
            new(Role.Vibration, -500, 500, slow)
            {
                StuckAfterS = Math.Max(2, 2 * stuck), StuckUsuals = 5, ContextMove = 0.15, IsSlow = true, SureAfterS = sure, Flickers = true, LeastSpike = 4, LeastFlip = 4, LeastTurn = 4, SpikeTimes = 6,
            },
            new(Role.FuelPressure, -50, 35_000, slow)
            {
                SlewPerS = 8_000, FallTimeS = 0.02, DeadAt = 20, LeastSpike = 120, LeastFlip = 120, LeastTurn = 60, StuckAfterS = Math.Max(20, stuck), StuckUsuals = 8, ContextMove = 0.15, IsSlow = true, SureAfterS = sure, Flickers = true,
            },
            new(Role.BatteryVoltage, -1, 60, slow) { SlewPerS = 20, DeadAt = 1, LeastSpike = 2.5, LeastFlip = 2.5, LeastTurn = 2, IsSlow = true, SureAfterS = sure, Flickers = true },
            new(Role.Latitude, -90, 90, slow) { SlewPerS = 0.01, LeastSpike = 0.02, IsSlow = true },
            new(Role.Longitude, -180, 180, slow) { SlewPerS = 0.02, LeastSpike = 0.04, IsSlow = true },
        ];
    }

    /// <summary>What must show nothing while the engine or the car stands; oil pressure first.</summary>
    /// <param name="options">The limits.</param>
    /// <param name="crankcaseIsAbsolute">True where the crankcase shows the ambient of the day, which is learned elsewhere.</param>
    public static StandingWatch.Rule[] StandingFor(SensorGuardOptions options, bool crankcaseIsAbsolute) =>
    [
        // Never taken off: what a healthy engine shows is learned with the error in it, and a share of it is judged.
        new(Role.OilPressure, options.OffsetPressureKpa, GuardRule.Never),
        new(Role.CrankcasePressure, crankcaseIsAbsolute ? Math.Max(OtherAmbientKpa, options.OffsetCrankcaseKpa) : options.OffsetCrankcaseKpa, crankcaseIsAbsolute ? GuardRule.Never : 0),
        new(Role.LateralG, options.OffsetG, SteepestG),
        new(Role.LongitudinalG, options.OffsetG, SteepestG),
        new(Role.VehicleSpeed, PushedKmh, 0),
        new(Role.Vibration, HumLevel, 0),
    ];

    /// <summary>What counts as a step to another level and back: engine speed, both accelerations, crankcase pressure, level of vibration.</summary>
    public static StepPairs.Rule[] StepsFor(SensorGuardOptions options) =>
    [
        new(Role.EngineSpeed, LargestGearRpm, SpeedStepShare * options.FastestSpeedChangeRpmS, CarLagS, SlowestStepS, OneGearS),
        new(Role.LateralG, 0.7, 7, CarLagS, SlowestStepS, LongestStepS) { MayTakeTwo = true },
        new(Role.LongitudinalG, 0.7, 7, CarLagS, SlowestStepS, LongestStepS) { MayTakeTwo = true, IsSpeedChange = true },
        new(Role.CrankcasePressure, 6, 0, CarLagS, SlowestStepS, LongestStepS) { MayTakeTwo = true },
        new(Role.Vibration, LeastVibrationStep, 0, LevelLagS, QuickStepS, LongestVibrationStepS) { LeastTimes = 3, ShortestS = 1.5, MayTakeTwo = true },
    ];
}
