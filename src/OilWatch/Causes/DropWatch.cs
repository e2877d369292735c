using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Frames;

namespace OilWatch.Causes;

/// <summary>Follows the shape of a drop: how abruptly it begins and ends, and which load it deepened under. Remembers the last readings, so that a start dated back is covered.</summary>
internal sealed class DropWatch
{
    private const int Kept = 1024;                // five seconds at 200 Hz
    private const double BeforeStartS = 0.25;
    private const double LongestPauseS = 0.3;
    private const double DeepRatio = 0.5;
    private const double SlowedShare = 0.9;
    private const double EarlierS = 4;
    private const double BackRatio = 0.85;
    private const double BackS = 4;
    private const double ActsG = 0.45;
    private const double SettlesS = 1;
    private const int LeastSeconds = 2;
    private const int LeastInSecond = 5;
    private const double LeastLeftKpa = 6;                // less is mostly the sensor's noise
    private const double ErraticShare = 0.125;            // pumps that fail and open valves up to 0.03; air slugs 0.2 to 0.5
    private readonly (LogTime At, double Ratio, double SpeedRpm)[] _past = new (LogTime, double, double)[Kept];
    private int _next;
    private int _count;
    private bool _open;
    private double _fall;
    private double _rise;
    private double _intervalS = double.NaN;
    private double _worst;
    private LogTime _worstAt;
    private LoadDirection _worstUnder;
    private LoadDirection _collapsed;
    private LogTime _secondFrom;
    private int _inSecond;
    private double _sum;
    private double _sum2;
    private int _seconds;
    private int _erratic;

    /// <summary>Takes a frame with its expectation filled in.</summary>
    public void Step(in EngineFrame frame)
    {
        double ratio = frame.PressureKpa / frame.ExpectedKpa;
        if (!frame.IsFresh(Role.OilPressure) || !double.IsFinite(ratio)) return;
        if (_count > 0)
        {
            (LogTime at, double before, _) = Back(0);
            double step = frame.At.SecondsSince(at);
            if (step is > 0 and < LongestPauseS)
            {
                _intervalS = double.IsNaN(_intervalS) ? step : _intervalS + (0.05 * (step - _intervalS));
                if (_open) Look(before, ratio);
            }
        }
        if (_open) LookDeep(in frame, ratio);
        if (_open) LookErratic(in frame, ratio);
        _past[_next] = (frame.At, ratio, frame.SpeedRpm);
        _next = (_next + 1) % Kept;
        _count = Math.Min(_count + 1, Kept);
    }

    /// <summary>A drop was called that began at an instant.</summary>
    public void Begin(LogTime start)
    {
        _open = true;
        _fall = _rise = 0;
        _worst = DeepRatio;
        _worstUnder = _collapsed = LoadDirection.None;
        (_secondFrom, _inSecond, _seconds, _erratic) = (start.AddSeconds(SettlesS), 0, 0, 0);
        LogTime from = start.AddSeconds(-BeforeStartS);
        for (int i = 0; i + 1 < _count && Back(i + 1).At >= from; i++)
            if (Back(i).At.SecondsSince(Back(i + 1).At) < LongestPauseS) Look(Back(i + 1).Ratio, Back(i).Ratio);
    }

    /// <summary>The shape so far, or of the drop that has just ended.</summary>
    /// <param name="minRatio">Its worst ratio.</param>
    /// <param name="lengthS">How long it has lasted, s.</param>
    public DropShape Shape(double minRatio, double lengthS) => new(_fall, _rise, Math.Max(0, 1 - minRatio), _intervalS, lengthS, _collapsed, _seconds < LeastSeconds ? double.NaN : (double)_erratic / _seconds);

    /// <summary>The drop is over.</summary>
    public void End() => _open = false;

    private void Look(double before, double after)
    {
        _fall = Math.Max(_fall, before - after);
        _rise = Math.Max(_rise, after - before);
    }

    /// <summary>Pressure that goes deepest while the engine slows, and is back when the load has gone, answers to that load: what a flow or froth takes grows less as the engine slows, or leaves slowly.</summary>
    private void LookDeep(in EngineFrame frame, double ratio)
    {
        if (ratio < _worst)
        {
            _worst = ratio;
            _worstAt = frame.At;
            _worstUnder = frame.SpeedRpm <= SlowedShare * FastestShallower(frame.At) ? Acting(frame.LoadLateralG, frame.LoadLongitudinalG) : LoadDirection.None;
        }
        else if (_worstUnder != LoadDirection.None && ratio >= BackRatio && frame.At.SecondsSince(_worstAt) <= BackS)
        {
            _collapsed = _worstUnder;
        }
    }

    /// <summary>What a pickup draws that is off is air with some oil: what is left of pressure strays by much of itself within a second, and a pump or a valve takes it steadily.</summary>
    private void LookErratic(in EngineFrame frame, double ratio)
    {
        if (frame.At < _secondFrom) return;
        if (_inSecond > 0 && frame.At.SecondsSince(_secondFrom) >= 1)
        {
            double mean = _sum / _inSecond;
            if (_inSecond >= LeastInSecond && mean < DeepRatio && mean * frame.ExpectedKpa > LeastLeftKpa)
            {
                _seconds++;
                if (Math.Sqrt(Math.Max(0, (_sum2 / _inSecond) - (mean * mean))) >= ErraticShare * mean) _erratic++;
            }
            (_secondFrom, _inSecond) = (frame.At, 0);
        }
        if (_inSecond++ == 0) _sum = _sum2 = 0;
        _sum += ratio;
        _sum2 += ratio * ratio;
    }

    /// <summary>The fastest that the engine turned in the last seconds while pressure stood less deep, rpm; NaN where it did not.</summary>
    private double FastestShallower(LogTime at)
    {
        double fastest = double.NaN;
        for (int i = 0; i < _count && at.SecondsSince(Back(i).At) <= EarlierS; i++)
            if (Back(i).Ratio >= DeepRatio && !(Back(i).SpeedRpm <= fastest)) fastest = Back(i).SpeedRpm;
        return fastest;
    }

    private static LoadDirection Acting(double lateralG, double longitudinalG)
    {
        // An axis that is not known acts not.
        double across = double.IsNaN(lateralG) ? 0 : Math.Abs(lateralG), along = double.IsNaN(longitudinalG) ? 0 : Math.Abs(longitudinalG);
        if (Math.Max(across, along) < ActsG) return LoadDirection.None;
        return across >= along
            ? lateralG > 0 ? LoadDirection.Left : LoadDirection.Right
            : longitudinalG > 0 ? LoadDirection.Accelerating : LoadDirection.Braking;
    }

    private (LogTime At, double Ratio, double SpeedRpm) Back(int readings) => _past[(_next - 1 - readings + (2 * Kept)) % Kept];
}
