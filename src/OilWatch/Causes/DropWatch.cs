using OilWatch.Channels;
using OilWatch.Frames;

namespace OilWatch.Causes;

/// <summary>Follows the shape of a drop: how abruptly it begins and ends. Remembers the last readings, so that a start dated back is covered.</summary>
internal sealed class DropWatch
{
    private const int Kept = 1024;                // five seconds at 200 Hz
    private const double BeforeStartS = 0.25;
    private const double LongestPauseS = 0.3;
    private readonly (LogTime At, double Ratio)[] _past = new (LogTime, double)[Kept];
    private int _next;
    private int _count;
    private bool _open;
    private double _fall;
    private double _rise;
    private double _intervalS = double.NaN;

    /// <summary>Takes a frame with its expectation filled in.</summary>
    public void Step(in EngineFrame frame)
    {
        double ratio = frame.PressureKpa / frame.ExpectedKpa;
        if (!frame.IsFresh(Role.OilPressure) || !double.IsFinite(ratio)) return;
        if (_count > 0)
        {
            (LogTime at, double before) = Back(0);
            double step = frame.At.SecondsSince(at);
            if (step is > 0 and < LongestPauseS)
            {
                _intervalS = double.IsNaN(_intervalS) ? step : _intervalS + (0.05 * (step - _intervalS));
                if (_open) Look(before, ratio);
            }
        }
        _past[_next] = (frame.At, ratio);
        _next = (_next + 1) % Kept;
        _count = Math.Min(_count + 1, Kept);
    }

    /// <summary>A drop was called that began at an instant.</summary>
    public void Begin(LogTime start)
    {
        _open = true;
        _fall = _rise = 0;
        LogTime from = start.AddSeconds(-BeforeStartS);
        for (int i = 0; i + 1 < _count && Back(i + 1).At >= from; i++)
            if (Back(i).At.SecondsSince(Back(i + 1).At) < LongestPauseS) Look(Back(i + 1).Ratio, Back(i).Ratio);
    }

    /// <summary>The shape so far, or of the drop that has just ended.</summary>
    /// <param name="minRatio">Its worst ratio.</param>
    /// <param name="lengthS">How long it has lasted, s.</param>
    public DropShape Shape(double minRatio, double lengthS) => new(_fall, _rise, Math.Max(0, 1 - minRatio), _intervalS, lengthS);

    /// <summary>The drop is over.</summary>
    public void End() => _open = false;

    private void Look(double before, double after)
    {
        _fall = Math.Max(_fall, before - after);
        _rise = Math.Max(_rise, after - before);
    }

    private (LogTime At, double Ratio) Back(int readings) => _past[(_next - 1 - readings + (2 * Kept)) % Kept];
}
