using System.Collections.Immutable;
using OilWatch.Alerts;
using OilWatch.Frames;

namespace OilWatch.Laps;

/// <summary>Finds the stretches of sustained braking, causally and in bounded memory.</summary>
internal sealed class BrakingTracker
{
    private const int Most = 100_000;
    private const double OnG = 0.45;
    private const double OffG = 0.3;
    private const double ShortestS = 0.3;
    private const double LongestGapS = 0.5;
    private const double AfterS = 1.5;           // oil takes that long to come back
    private readonly List<BrakingZone> _zones = [];
    private bool _on;
    private LogTime _entry;
    private LogTime _last;
    private double _peak;
    private double _rpm;
    private double _temperature;
    private int _rpmCount;
    private int _temperatureCount;
    private double _minRatio;

    /// <summary>Takes a frame with its loads and expected pressure.</summary>
    public void Step(in EngineFrame frame)
    {
        double braking = -frame.LoadLongitudinalG;
        if (_on && (!(braking >= OffG) || frame.At.SecondsSince(_last) > LongestGapS)) Close();
        if (!_on && braking >= OnG) Open(frame.At);
        if (_on) Count(in frame, braking);
        _last = frame.At;
    }

    /// <summary>The zones, joined with the alerts that began in them.</summary>
    /// <param name="alerts">All alerts, final.</param>
    /// <param name="placeOf">Lap and corner of an instant.</param>
    public ImmutableArray<BrakingZone> Join(IReadOnlyList<Alert> alerts, PlaceFinder placeOf)
    {
        if (_on) Close();
        Alert[] braked = [.. alerts.Where(alert => alert.Kind == AlertKind.OilStarvation && alert.Direction == LoadDirection.Braking)];
        int next = 0;
        ImmutableArray<BrakingZone>.Builder joined = ImmutableArray.CreateBuilder<BrakingZone>(_zones.Count);
        foreach (BrakingZone zone in _zones)
        {
            while (next < braked.Length && braked[next].Start < zone.Entry) next++;
            Alert? begun = next < braked.Length && braked[next].Start < zone.Exit.AddSeconds(AfterS) ? braked[next] : null;
            Place place = placeOf(zone.Entry, LoadDirection.Braking);
            joined.Add(zone with
            {
                Lap = place.Lap,
                Corner = begun?.Corner ?? place.Corner,
                Starved = begun is not null ? true : zone.MinRatio is null ? null : false,
                TimeToDropS = begun is null ? null : Math.Max(0, begun.Start.SecondsSince(zone.Entry)),
                MinRatio = begun?.MinRatio is { } least && !(zone.MinRatio <= least) ? least : zone.MinRatio,
            });
        }
        return joined.MoveToImmutable();
    }

    private void Open(LogTime at)
    {
        _on = true;
        _entry = at.AddSeconds(-LoadFilter.DelayS);
        _peak = _rpm = _temperature = 0;
        _rpmCount = _temperatureCount = 0;
        _minRatio = double.NaN;
    }

    private void Count(in EngineFrame frame, double braking)
    {
        _peak = Math.Max(_peak, braking);
        if (double.IsFinite(frame.SpeedRpm)) { _rpm += frame.SpeedRpm; _rpmCount++; }
        if (double.IsFinite(frame.OilTemperatureC)) { _temperature += frame.OilTemperatureC; _temperatureCount++; }
        if (!frame.CanJudgePressure) return;
        double ratio = frame.PressureKpa / frame.ExpectedKpa;
        if (!(_minRatio <= ratio)) _minRatio = ratio;
    }

    private void Close()
    {
        _on = false;
        LogTime exit = _last.AddSeconds(-LoadFilter.DelayS);
        if (exit.SecondsSince(_entry) < ShortestS || _zones.Count >= Most) return;
        _zones.Add(new BrakingZone
        {
            Entry = _entry,
            Exit = exit,
            PeakG = _peak,
            MeanRpm = _rpmCount > 0 ? _rpm / _rpmCount : null,
            OilTemperatureC = _temperatureCount > 0 ? _temperature / _temperatureCount : null,
            MinRatio = double.IsFinite(_minRatio) ? _minRatio : null,
        });
    }
}
