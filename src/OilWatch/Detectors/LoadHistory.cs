using OilWatch.Alerts;
using OilWatch.Frames;

namespace OilWatch.Detectors;

/// <summary>The sustained load of the last few seconds: which way it acted and since when.</summary>
internal sealed class LoadHistory(double loadG)
{
    private const int Most = 1024;            // 12 s at the fastest frame rate
    private const double NearS = 0.1;
    private const double AtS = 0.6;
    private const double ReleaseShare = 0.65;      // a load once on ends below this share of the threshold
    private readonly Entry[] _entries = new Entry[Most];
    private LogTime _lateralSince;
    private LogTime _longitudinalSince;
    private int _lateralSign;
    private int _longitudinalSign;
    private int _next;
    private int _count;

    /// <summary>When the last sustained load ended; the log's beginning of time while none was seen.</summary>
    public LogTime LoadedUntil { get; private set; } = new(long.MinValue / 2);

    /// <summary>Largest sustained load now, g, as a magnitude; NaN when no acceleration is known.</summary>
    public double NowG { get; private set; } = double.NaN;

    /// <summary>Takes a frame.</summary>
    public void Step(in EngineFrame frame)
    {
        Follow(frame.At, frame.LoadLateralG, ref _lateralSign, ref _lateralSince);
        Follow(frame.At, frame.LoadLongitudinalG, ref _longitudinalSign, ref _longitudinalSince);
        double lateral = Math.Abs(frame.LoadLateralG), longitudinal = Math.Abs(frame.LoadLongitudinalG);
        NowG = double.IsNaN(lateral) ? longitudinal : double.IsNaN(longitudinal) ? lateral : Math.Max(lateral, longitudinal);
        if (_lateralSign != 0 || _longitudinalSign != 0) LoadedUntil = frame.At;
        _entries[_next] = new Entry(
            frame.At, frame.LoadLateralG, frame.LoadLongitudinalG, _lateralSign == 0 ? null : _lateralSince, _longitudinalSign == 0 ? null : _longitudinalSince);
        _next = (_next + 1) % Most;
        _count = Math.Min(_count + 1, Most);
    }

    /// <summary>True while a sustained load acts in a direction.</summary>
    public bool ActsNow(LoadDirection direction) => direction switch
    {
        LoadDirection.Left => _lateralSign > 0,
        LoadDirection.Right => _lateralSign < 0,
        LoadDirection.Accelerating => _longitudinalSign > 0,
        LoadDirection.Braking => _longitudinalSign < 0,
        _ => false,
    };

    /// <summary>The load that a drop answers to: the one that acted at its start, or had just gone.</summary>
    /// <param name="start">When the drop began.</param>
    /// <param name="returnS">How long after the load has gone a drop is still its doing, s.</param>
    public LoadBefore Before(LogTime start, double returnS)
    {
        // The load filter is late by a fifth of a second, so a load that shows just after the start was there before it. The nearest moments come first:
        // when a car turns in off the brakes, or comes on the power out of a corner, what acted half a second earlier is no longer what moves the oil.
        LogTime until = start.AddSeconds(LoadFilter.DelayS);
        foreach (double before in (ReadOnlySpan<double>)[NearS, AtS, returnS])
        {
            if (Look(start.AddSeconds(-before), until, start) is not { Direction: not LoadDirection.None } load) continue;
            if (load.Other != LoadDirection.None) return load;
            // What acted just before on the other axis.
            LoadBefore wider = Look(start.AddSeconds(-AtS), until, start);
            return wider.Direction == load.Direction ? load with { Other = wider.Other, OtherHeldS = wider.OtherHeldS } : load with { Other = wider.Direction, OtherHeldS = wider.HeldS };
        }
        return default;
    }

    private LoadBefore Look(LogTime from, LogTime to, LogTime start)
    {
        double lateral = 0, longitudinal = 0;
        LogTime? lateralSince = null, longitudinalSince = null;
        for (int i = 0; i < _count; i++)
        {
            ref readonly Entry entry = ref _entries[(_next - 1 - i + (2 * Most)) % Most];
            if (entry.At > to) continue;
            if (entry.At < from) break;
            if (entry.LateralSince is { } since)
            {
                lateral += entry.LateralG;
                lateralSince ??= since;
            }
            if (entry.LongitudinalSince is { } also)
            {
                longitudinal += entry.LongitudinalG;
                longitudinalSince ??= also;
            }
        }
        if (lateralSince is null && longitudinalSince is null) return default;
        bool sideways = lateralSince is not null && (longitudinalSince is null || Math.Abs(lateral) >= Math.Abs(longitudinal));
        LoadDirection across = lateralSince is null ? LoadDirection.None : lateral > 0 ? LoadDirection.Left : LoadDirection.Right;
        LoadDirection along = longitudinalSince is null ? LoadDirection.None : longitudinal > 0 ? LoadDirection.Accelerating : LoadDirection.Braking;
        LogTime began = (sideways ? lateralSince : longitudinalSince)!.Value;
        double otherHeldS = (sideways ? longitudinalSince : lateralSince) is { } other ? Math.Max(0, start.SecondsSince(other)) : double.NaN;
        return new LoadBefore(sideways ? across : along, began, Math.Max(0, start.SecondsSince(began)), sideways ? along : across, otherHeldS);
    }

    /// <summary>Largest sustained lateral load since an instant, g, as a magnitude; NaN when none is known.</summary>
    public double PeakLateralSince(LogTime from)
    {
        double peak = double.NaN;
        for (int i = 0; i < _count; i++)
        {
            ref readonly Entry entry = ref _entries[(_next - 1 - i + (2 * Most)) % Most];
            if (entry.At < from) break;
            double lateral = Math.Abs(entry.LateralG);
            if (!(peak >= lateral)) peak = lateral;
        }
        return peak;
    }

    private void Follow(LogTime at, double load, ref int sign, ref LogTime since)
    {
        if (sign != 0 && !(load * sign >= ReleaseShare * loadG)) sign = 0;
        if (sign != 0 || !(Math.Abs(load) >= loadG)) return;
        sign = Math.Sign(load);
        since = at.AddSeconds(-LoadFilter.DelayS);
    }

    private readonly record struct Entry(
        LogTime At, double LateralG, double LongitudinalG, LogTime? LateralSince, LogTime? LongitudinalSince);
}
