using System.Text;
using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Laps;
using OilWatch.Live.Listening;
using OilWatch.Mqtt.Spooling;

namespace OilWatch.Mqtt.Tests;

/// <summary>Alerts, laps and messages to send.</summary>
internal static class Make
{
    public static AlertChange Change(int id, AlertPhase phase = AlertPhase.Raised, Severity severity = Severity.Caution, string message = "Pressure falls.") => new(
        phase, LogTime.FromSeconds(id), id, new Alert
        {
            Kind = AlertKind.OilStarvation,
            Severity = severity,
            Start = LogTime.FromSeconds(id - 0.2),
            Raised = LogTime.FromSeconds(id),
            End = LogTime.FromSeconds(id + 0.5),
            Channel = Role.OilPressure,
            MinKpa = 120.5,
            MinRatio = 0.31,
            Message = message,
        });

    public static LapSummary Lap(int lap) => new()
    {
        Lap = lap,
        Kind = LapKind.Timed,
        Start = LogTime.FromSeconds(lap * 100),
        End = LogTime.FromSeconds((lap * 100) + 100),
        PeakRpm = 7000,
    };

    public static EngineHealth Health(double at, EngineState state = EngineState.Clear) => new()
    {
        At = LogTime.FromSeconds(at),
        State = state,
        OilPressureKpa = 412.5,
        ExpectedKpa = 420,
        MinRatio = 0.97,
        SpeedRpm = 6100,
        Masked = 1u << (int)Role.LateralG,
    };

    public static SpooledMessage Message(int number, int rank = 1, int length = 20, string run = "00112233445566aa") =>
        new(run, number, 1_700_000_000_000_000 + number, rank, "oilwatch/car/alerts", Encoding.ASCII.GetBytes(FormattableString.Invariant($"{number}:").PadRight(length, '.')));
}
