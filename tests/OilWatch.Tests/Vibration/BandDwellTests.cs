using System.Collections.Immutable;
using System.Reactive.Linq;
using CsCheck;
using OilWatch.Alerts;
using OilWatch.Cars;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Vibration;

namespace OilWatch.Tests.Vibration;

public class BandDwellTests
{
    private static readonly ImmutableArray<Band> Bracket =
        [new Band("pickup bracket", BandKind.EngineSpeed, 6700, 7100), new Band("not this", BandKind.Frequency, 100, 200)];

    [Fact]
    public void A_pull_through_the_band_is_a_pass_and_no_alert()
    {
        // 1000 rpm/s from 6000 to 8000: 400 rpm take 0.4 s, 0.7 s below and 0.9 s above.
        (BandDwell dwell, List<BandStayChange> changes) = Run(Bracket, Frames(2, t => 6000 + (1000 * t)));

        BandTotal total = Assert.Single(dwell.Totals);
        Assert.Equal("pickup bracket", total.Name);
        Assert.Equal(0.4, total.InsideS, 1e-9);
        Assert.Equal(0.7, total.BelowS, 1e-9);
        Assert.Equal(0.9, total.AboveS, 1e-9);
        Assert.Equal(1, total.Passes);
        Assert.Equal(0.4 * 6900 / 60, total.Revolutions, 1e-6);
        Assert.Empty(changes);
    }

    [Fact]
    public void A_band_between_two_readings_was_passed()
    {
        (BandDwell dwell, _) = Run(Bracket, [Frame(0, 6000), Frame(0.5, 8000), Frame(1, 6000)]);

        Assert.Equal(2, dwell.Totals[0].Passes);
        Assert.Equal(0.2, dwell.Totals[0].InsideS, 1e-9);
    }

    [Fact]
    public void A_stay_is_called_when_it_is_too_long_and_dated_to_its_crossings()
    {
        (_, List<BandStayChange> changes) = Run(Bracket, Frames(20, t => t is > 5 and < 9 ? 6900 : 5900));

        Assert.Equal([AlertPhase.Raised, AlertPhase.Ended], changes.Select(change => change.Phase));
        BandStay stay = changes[1].Stay;
        Assert.Equal("pickup bracket", stay.Name);
        Assert.InRange(stay.Start.Seconds, 5, 5.05);
        Assert.InRange(stay.Raised.Seconds, stay.Start.Seconds + 2, stay.Start.Seconds + 2.1);
        Assert.InRange(stay.End.Seconds, 8.95, 9.05);
        Assert.Equal(EventEnd.Recovered, stay.Ending);
        Assert.InRange(stay.InsideS, 3.9, 4.05);
        Assert.InRange(stay.MeanRpm, 6880, 6905);
        Assert.Equal(Severity.Advisory, stay.Severity);
    }

    [Fact]
    public void A_long_stay_becomes_a_caution()
    {
        (_, List<BandStayChange> changes) = Run(Bracket, Frames(30, t => t is > 5 and < 20 ? 6900 : 5900));

        Assert.Equal([AlertPhase.Raised, AlertPhase.Escalated, AlertPhase.Ended], changes.Select(change => change.Phase));
        Assert.Equal(Severity.Caution, changes[1].Stay.Severity);
        Assert.InRange(changes[1].At.Seconds, 15, 15.2);
    }

    [Fact]
    public void Leaving_for_less_than_the_hold_is_the_same_stay()
    {
        (BandDwell dwell, List<BandStayChange> changes) = Run(Bracket, Frames(20, t => t is > 5 and < 6.9 or > 7.1 and < 9 ? 6900 : 5900));

        Assert.Single(changes, change => change.Phase == AlertPhase.Raised);
        Assert.Equal(2, dwell.Totals[0].Passes);
    }

    [Fact]
    public void Two_short_stays_are_two_passes_and_no_alert()
    {
        (BandDwell dwell, List<BandStayChange> changes) = Run(Bracket, Frames(20, t => t is > 5 and < 6.5 or > 8 and < 9.5 ? 6900 : 5900));

        Assert.Empty(changes);
        Assert.Equal(2, dwell.Totals[0].Passes);
    }

    [Fact]
    public void Losing_engine_speed_ends_a_stay_as_lost_and_the_log_as_ended()
    {
        (_, List<BandStayChange> lost) = Run(Bracket, Frames(20, t => t > 8 ? double.NaN : 6900));
        (_, List<BandStayChange> gap) = Run(Bracket, [.. Frames(5, _ => 6900), .. Frames(5, _ => 6900).Select(frame => frame with { At = frame.At.AddSeconds(10) })]);
        (_, List<BandStayChange> ended) = Run(Bracket, Frames(5, _ => 6900));

        Assert.Equal(EventEnd.DataLost, lost[^1].Stay.Ending);
        Assert.Equal(8, lost[^1].Stay.End.Seconds, 1e-9);
        Assert.Equal([EventEnd.Open, EventEnd.DataLost, EventEnd.Open, EventEnd.LogEnded], gap.Select(change => change.Stay.Ending));
        Assert.Equal(EventEnd.LogEnded, ended[^1].Stay.Ending);
    }

    [Fact]
    public void Each_lap_has_its_own_dwell()
    {
        IEnumerable<EngineFrame> frames = Frames(29.9, t => t % 10 < 2 ? 6900 : 5900).Select(frame => frame with { LapNumber = (int)(frame.At.Seconds / 10) + 1 });

        (BandDwell dwell, _) = Run(Bracket, frames);

        BandLap[] laps = [.. dwell.Laps.Where(lap => lap.Lap != EngineFrame.NoLap)];
        Assert.Equal([1, 2, 3], laps.Select(lap => lap.Lap));
        Assert.All(laps, lap => Assert.InRange(lap.InsideS, 1.9, 2.05));
    }

    [Fact]
    public void A_lap_counts_an_instant_in_two_bands_once()
    {
        ImmutableArray<Band> two = [new Band("one", BandKind.EngineSpeed, 6000, 7000), new Band("other", BandKind.EngineSpeed, 6500, 7500)];

        (BandDwell dwell, _) = Run(two, Frames(4, t => 5000 + (1000 * t)));

        Assert.Equal(1.5, dwell.Laps.Sum(lap => lap.InsideS), 1e-9);
        Assert.Equal([1, 1], dwell.Totals.Select(total => Math.Round(total.InsideS, 9)));
    }

    [Fact]
    public void A_whole_run_is_inside_below_or_above()
    {
        // Second opinion: the same sums by ten thousand small steps.
        Gen.Double[3000, 9000].Array[2, 20].Sample(
            speeds =>
            {
                (BandDwell dwell, _) = Run(Bracket, speeds.Select((rpm, i) => Frame(i * 0.5, rpm)));
                BandTotal total = dwell.Totals[0];
                double inside = 0;
                for (int i = 1; i < speeds.Length; i++)
                {
                    for (int part = 0; part < 2000; part++)
                    {
                        double rpm = speeds[i - 1] + ((speeds[i] - speeds[i - 1]) * (part + 0.5) / 2000);
                        if (rpm is >= 6700 and <= 7100) inside += 0.5 / 2000;
                    }
                }
                return Math.Abs(total.InsideS - inside) < 0.001 * speeds.Length
                    && Math.Abs(total.InsideS + total.BelowS + total.AboveS - (0.5 * (speeds.Length - 1))) < 1e-6;
            },
            seed: "0000KOIPe036", iter: 100, threads: 1);
    }

    [Fact]
    public void Raises_and_ends_alternate_whatever_comes()
    {
        Gen.Select(Gen.Double[-1000, 9000], Gen.Double[-0.5, 1.5], Gen.Bool).Array[0, 200].Sample(
            steps =>
            {
                double at = 0;
                var frames = new List<EngineFrame>();
                foreach ((double rpm, double step, bool absent) in steps) frames.Add(Frame(at += step, absent && rpm < 3000 ? double.NaN : rpm < 6000 ? 6900 : rpm));
                (_, List<BandStayChange> changes) = Run(Bracket, frames);
                bool open = false;
                foreach (BandStayChange change in changes)
                {
                    if (open == (change.Phase == AlertPhase.Raised)) return false;
                    open = change.Phase != AlertPhase.Ended;
                    if (change.Stay.Start > change.Stay.Raised || change.Stay.Raised > change.At || change.Stay.End < change.Stay.Start) return false;
                }
                return !open;
            },
            seed: "0000KOIPe036", iter: 2000, threads: 1);
    }

    [Fact]
    public void The_operator_keeps_the_rules_of_its_kind()
    {
        Assert.Throws<ArgumentNullException>(() => ((IObservable<EngineFrame>)null!).WatchSpeedBands(Bracket));
        ArgumentException bad = Assert.Throws<ArgumentException>(() =>
            Observable.Empty<EngineFrame>().WatchSpeedBands(Bracket, SpeedBandOptions.Default with { LongestStayS = 20 }));
        Assert.Equal("limits.speed_bands.longest_stay_s = 20 must be below limits.speed_bands.caution_stay_s = 10 (Parameter 'options')", bad.Message);

        var changes = new List<BandStayChange>();
        Exception? seen = null;
        using IDisposable _ = Frames(5, _ => 6900).ToObservable().Concat(Observable.Throw<EngineFrame>(new InvalidOperationException("source failed")))
            .WatchSpeedBands(Bracket).Subscribe(changes.Add, error => seen = error);
        Assert.Equal("source failed", seen?.Message);
        Assert.Equal(AlertPhase.Raised, Assert.Single(changes).Phase);
    }

    private static EngineFrame Frame(double atS, double rpm)
    {
        var frame = new EngineFrame(LogTime.FromSeconds(atS));
        frame[Role.EngineSpeed] = rpm;
        return frame;
    }

    private static IEnumerable<EngineFrame> Frames(double lengthS, Func<double, double> rpm)
    {
        for (int i = 0; i <= lengthS * 20; i++) yield return Frame(i / 20.0, rpm(i / 20.0));
    }

    private static (BandDwell Dwell, List<BandStayChange> Changes) Run(ImmutableArray<Band> bands, IEnumerable<EngineFrame> frames)
    {
        var dwell = new BandDwell(bands);
        var changes = new List<BandStayChange>();
        foreach (EngineFrame frame in frames)
        {
            dwell.Step(in frame);
            while (dwell.TryTake(out BandStayChange change)) changes.Add(change);
        }
        dwell.Finish();
        while (dwell.TryTake(out BandStayChange last)) changes.Add(last);
        return (dwell, changes);
    }
}
