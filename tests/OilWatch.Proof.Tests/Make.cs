using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Laps;
using OilWatch.Reading;
using OilWatch.Results;

namespace OilWatch.Proof.Tests;

/// <summary>Sessions written down by hand: every lap passes the same four corners, and the third may lose pressure.</summary>
internal static class Make
{
    public static ProofSession Session(
        string name, int laps, Func<int, bool?> starvedInC3, double load = 1.3, double temperature = 100, double wobble = 0.002) =>
        new(name, [.. Enumerable.Range(1, laps).SelectMany(lap => Enumerable.Range(1, 4).Select(corner =>
        {
            bool? starved = corner == 3 ? starvedInC3(lap) : false;
            return new CornerPass
            {
                Lap = lap,
                Corner = corner % 2 == 1 ? $"C{corner}L" : $"C{corner}R",
                Direction = corner % 2 == 1 ? LoadDirection.Left : LoadDirection.Right,
                Entry = LogTime.FromSeconds((lap * 90) + (corner * 15)),
                Exit = LogTime.FromSeconds((lap * 90) + (corner * 15) + 3),
                SustainedS = 2.0 + (0.2 * corner) + (wobble * lap),
                PeakLateralG = load - (0.05 * corner) + (wobble * (lap % 5)) + (name[0] * 1e-6) + (name[^1] * 1e-8),
                MeanRpm = 5000 + (300 * corner) + lap,
                OilTemperatureC = temperature + (0.1 * (lap % 7)),
                OilPressureMinRatio = starved == true ? 0.5 + (0.01 * (lap % 9)) : 0.97,
                TimeToDropS = starved == true ? 1.2 + (0.05 * (lap % 6)) : null,
                Starved = starved,
            };
        }))]);

    public static ProofGroup Group(string name, params ProofSession[] sessions) => new(name, sessions);

    public static bool? Always(int lap) => true;

    public static bool? Never(int lap) => false;

    public static SessionResult Result(string log, ProofSession session, BaselineSummary? baseline) => new()
    {
        LogName = log,
        FormatName = "test",
        Verdict = Results.Verdict.Clear,
        Headline = "",
        CornerPasses = [.. session.Passes],
        Baseline = baseline,
        Plan = new ChannelPlan([], []),
        Reading = new ReadingReport(),
    };
}
