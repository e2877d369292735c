using System.Collections.Immutable;

namespace OilWatch.Vibration;

/// <summary>Levels over the run in at most 4096 points: when they are full, every two neighbours become one.</summary>
internal sealed class LevelHistory
{
    private const int Most = 4096;
    private readonly List<LevelPoint> _points = [];
    private int _merged = 1;
    private int _held;
    private double _seconds;
    private double _speed;
    private double _square;
    private LogTime _first;

    public void Add(in LevelPoint point)
    {
        if (_held == 0)
        {
            _first = point.At;
            _seconds = _speed = _square = 0;
        }
        _seconds += point.At.SecondsSince(_first);
        _speed += point.SpeedRpm;
        _square += point.RmsG * point.RmsG;
        if (++_held < _merged) return;
        _points.Add(new LevelPoint(_first.AddSeconds(_seconds / _held), _speed / _held, Math.Sqrt(_square / _held)));
        _held = 0;
        if (_points.Count < Most) return;
        for (int i = 0; i < Most / 2; i++)
        {
            LevelPoint one = _points[2 * i], other = _points[(2 * i) + 1];
            _points[i] = new LevelPoint(
                one.At.AddSeconds(0.5 * other.At.SecondsSince(one.At)), 0.5 * (one.SpeedRpm + other.SpeedRpm),
                Math.Sqrt(0.5 * ((one.RmsG * one.RmsG) + (other.RmsG * other.RmsG))));
        }
        _points.RemoveRange(Most / 2, Most - (Most / 2));
        _merged *= 2;
    }

    public ImmutableArray<LevelPoint> Points() => [.. _points];
}
