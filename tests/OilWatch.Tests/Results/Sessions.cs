using OilWatch.Alerts;
using OilWatch.Causes;
using OilWatch.Channels;
using OilWatch.Laps;
using OilWatch.Reading;
using OilWatch.Results;

namespace OilWatch.Tests.Results;

/// <summary>Results made up for tests; no analysis stands behind them.</summary>
internal static class Sessions
{
    /// <summary>Nothing found and nothing known.</summary>
    public static SessionResult Bare { get; } = new()
    {
        LogName = "bare.csv",
        FormatName = "CSV",
        Verdict = Verdict.Clear,
        Headline = "Nothing found in what could be judged.",
        Plan = new ChannelPlan([], []),
        Reading = new ReadingReport(),
    };

    /// <summary>A caution in a left-hander.</summary>
    public static Alert Starvation { get; } = new()
    {
        Kind = AlertKind.OilStarvation,
        Severity = Severity.Caution,
        Start = new LogTime(312_400_000_000),
        Raised = new LogTime(312_500_000_000),
        End = new LogTime(313_240_000_500),
        Ending = EventEnd.Recovered,
        Escalated = new LogTime(312_650_000_000),
        Lap = 4,
        Corner = "C3L",
        Channel = Role.OilPressure,
        MinKpa = 96.126,
        ExpectedKpa = 410.0,
        MinRatio = 0.23445,
        DurationS = 0.84,
        DeficitKpaS = 171.25049,
        Revolutions = 93.337,
        PeakLateralG = 1.31,
        Direction = LoadDirection.Left,
        LoadBeforeS = 1.62,
        RpmAtMin = 6655.55,
        OilTemperatureC = 104.5,
        Reading = "pickup uncovered",
        Evidence = ["Pressure fell 1.62 s into a left-hand corner at 1.31 g.", "It came back within 0.3 s of the load's end."],
        Inspect = ["oil level", "baffle and trap doors", "pickup height"],
        Message = "Oil pressure fell to 96 of 410 kPa in C3L: ease off.",
    };

    /// <summary>Everything filled in; alerts not yet in order.</summary>
    public static SessionResult Rich { get; } = new()
    {
        LogName = "session.csv",
        FormatName = "CSV",
        CarName = "Number 27",
        AsLive = true,
        Verdict = Verdict.Stop,
        Headline = "Oil starvation 2 times, worst 96 of 410 kPa in C3L on lap 4.",
        Cause = new CauseReading
        {
            Outcome = CauseOutcome.Named,
            Cause = Cause.PickupUncovered,
            Direction = LoadDirection.Left,
            Reading = "oil pickup uncovered in left-hand corners",
            Evidence = ["14 falls of pressure"],
            Inspect = ["oil level"],
            Also = ["a sensor failed"],
            Scores = [new(Cause.PickupUncovered, 0.875)],
            Measurements = [("drops", 14, ""), ("load_before_s", 1.62, "s")],
        },
        Alerts =
        [
            Starvation with { Severity = Severity.Warning, Start = new LogTime(400_000_000_000), Lap = 5, MinKpa = 60, MinRatio = 0.15 },
            Starvation,
            new()
            {
                Kind = AlertKind.SensorFault,
                Severity = Severity.Advisory,
                Start = new LogTime(-1_500_000_000),
                Raised = new LogTime(-1_000_000_000),
                End = new LogTime(20_000_000_000),
                Ending = EventEnd.LogEnded,
                Channel = Role.OilTemperature,
                Detail = "dropout",
                Message = "The oil temperature is not to be believed.",
            },
        ],
        Laps =
        [
            new()
            {
                Lap = 4,
                Kind = LapKind.Timed,
                Start = new LogTime(300_000_000_000),
                End = new LogTime(391_234_567_891),
                EngineRevolutions = 9876.543,
                PeakRpm = 7012.34,
                PeakLateralG = 1.31,
                OilPressureMinKpa = 96.126,
                OilPressureMinRatio = 0.23445,
                StarvationEvents = 1,
                StarvationS = 0.84,
                StarvationRevolutions = 93.337,
                LowPressureS = 0,
                OilTemperatureMaxC = 112.346,
                CrankcasePressureMeanKpa = -40.637,
                CrankcasePressureMaxKpa = -12.5,
                VibrationMax = 3.25,
                BandDwellS = 12.5,
            },
            new() { Lap = 5, Kind = LapKind.In, Start = new LogTime(391_234_567_891), End = new LogTime(420_000_000_000) },
        ],
        Corners = [new(0, "C1R", LoadDirection.Right, 120.456, 240), new(1, "C3L", LoadDirection.Left, 800, 955.5)],
        CornerPasses =
        [
            new()
            {
                Lap = 4,
                Corner = "C3L",
                Direction = LoadDirection.Left,
                Entry = new LogTime(310_780_000_000),
                Exit = new LogTime(314_000_000_000),
                SustainedS = 3.1,
                PeakLateralG = 1.31,
                MeanLateralG = 1.12345,
                MeanRpm = 6543.21,
                OilTemperatureC = 104.5,
                OilPressureMinKpa = 96.126,
                OilPressureMinRatio = 0.23445,
                TimeToDropS = 1.62,
                Starved = true,
            },
            new() { Direction = LoadDirection.Right, Entry = new LogTime(0), Exit = new LogTime(2_000_000_000), SustainedS = 2, Starved = false },
            new() { Direction = LoadDirection.Right, Entry = new LogTime(3_000_000_000), Exit = new LogTime(5_000_000_000), SustainedS = 2 },
        ],
        WorstCorners =
        [
            new()
            {
                Corner = "C3L",
                Direction = LoadDirection.Left,
                Passes = 5,
                Starved = 2,
                StarvationS = 1.68,
                StarvationRevolutions = 186.67,
                DeficitKpaS = 342.5,
                MinKpa = 60,
                MinRatio = 0.15,
                MedianTimeToDropS = 1.62,
            },
        ],
        First = new LogTime(-2_000_000_000),
        Last = new LogTime(420_000_000_000),
        EngineHours = 0.1165,
        EngineRevolutions = 41_234.5,
        Baseline = new BaselineSummary
        {
            Origin = "this-run",
            Confidence = "good",
            Parameters = [("a", 0.0123456789012, "kPa/rpm"), ("relief", 480.5, "kPa")],
            FitErrorKpa = 6.123,
            FitErrorRatio = 0.01512,
            CalmS = 214.4,
            Notes = ["No oil temperature below 60 °C was seen."],
            Curve = [(1000, 120.5), (7000, 480.123)],
        },
        Channels =
        [
            new()
            {
                Role = Role.OilPressure,
                Source = "Oil Press",
                RateHz = 20.0004,
                Samples = 8440,
                Min = 0.5,
                Max = 512.25,
                GapS = 1.5,
                MaskedS = 0,
                SpikesRemoved = 3,
                Quality = "good",
            },
            new() { Role = Role.OilTemperature, Source = "Oil \"Temp\"", Quality = "suspect", MaskedS = 21.5 },
        ],
        NotJudged = ["Crankcase vacuum: no channel for it."],
        HealthIndices = [new("oil_pressure_100c_4000rpm_kpa", 412.345678912, 3.2), new("hot_idle_kpa", 98.7, null)],
        Plan = new ChannelPlan(
            [new ChannelChoice(Role.OilPressure, new LogChannel(1, "Oil Press", "psi"), 6.894757, 0, "psi", "Its name is that of an oil pressure.")],
            ["The sign of Lat G was taken from the steering."]),
        Reading = new ReadingReport
        {
            Bytes = 123_456,
            Lines = 8445,
            Classes = [("rows", 8440), ("damaged", 5)],
            First = new LogTime(-2_000_000_000),
            Last = new LogTime(420_000_000_000),
            TimeWentBack = 1,
            ProblemCount = 5,
            Problems =
            [
                new ReadingProblem("session.csv", 14, 3, "'12,x' is not a number; a number or nothing would be right"),
                new ReadingProblem("session.csv", 0, 0, "the last line is cut off"),
            ],
        },
        Assumptions = ["The separator is a comma."],
    };
}
