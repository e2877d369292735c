using OilWatch.Channels;
using OilWatch.Frames;

namespace OilWatch.Laps;

/// <summary>Metres covered since the log's start, from the best that a frame offers: the distance channel, else vehicle speed, else positions.</summary>
internal struct Odometer(double maxGapS)
{
    private const double MaxSpeedMps = 150;
    private const double SpeedHoldS = 1;
    private const double DeadAfterM = 150;

    private double _exactM, _sinceM, _reading, _lastValue, _speedMps;
    private LogTime _readingAt, _speedAt;
    private bool _hasReading, _distanceDead, _any, _hasSpeed;

    /// <summary>Metres covered; never falls.</summary>
    public double TotalM { get; private set; }

    /// <summary>True when it cannot be said how far the car went since <see cref="Begin"/>.</summary>
    public bool Lost { get; private set; }

    /// <summary>True when there is anything to measure by.</summary>
    public readonly bool Known => _any && !Lost;

    /// <summary>Metres a second over the last step.</summary>
    public double RateMps { get; private set; }

    /// <summary>A lap begins: what was lost before it no longer matters.</summary>
    public void Begin() => Lost = false;

    /// <summary>Takes a frame <paramref name="stepS"/> after the one before (0 for the first).</summary>
    public void Step(in EngineFrame frame, double stepS, double positionSpeedMps)
    {
        double before = TotalM;
        double speed = Speed(frame.VehicleSpeedKmh / 3.6, positionSpeedMps);
        bool short1 = stepS <= maxGapS;
        bool moved = false;
        if (double.IsFinite(speed))
        {
            if (_hasSpeed && short1)
            {
                _sinceM += (_speedMps + speed) / 2 * stepS;
                moved = true;
            }

            _speedMps = speed;
            _speedAt = frame.At;
            _hasSpeed = true;
            _any = true;
        }
        else if (_hasSpeed && short1 && frame.At.SecondsSince(_speedAt) <= SpeedHoldS)
        {
            _sinceM += _speedMps * stepS;
            moved = true;
        }

        moved |= TakeDistance(frame);
        TotalM = Math.Max(TotalM, _exactM + _sinceM);
        if (!moved && stepS > 0 && !HasFreshDistance(frame.At)) Lost = true;
        RateMps = stepS > 0 ? (TotalM - before) / stepS : 0;
    }

    private static double Speed(double vehicleMps, double positionMps)
    {
        if (vehicleMps is >= 0 and < MaxSpeedMps) return vehicleMps;
        if (positionMps is not (>= 0 and < MaxSpeedMps)) return double.NaN;
        return positionMps < 1 ? 0 : positionMps;     // a car that stands wanders by its positions
    }

    private bool TakeDistance(in EngineFrame frame)
    {
        double value = frame[Role.Distance];
        if (_distanceDead || !double.IsFinite(value)) return false;
        if (!_hasReading)
        {
            _hasReading = _any = true;
            Rebase(value, frame.At, _sinceM);
            return true;
        }

        if (value == _lastValue)
        {
            // It says that the car stands while the wheels turn: do not believe it again.
            if (_sinceM > DeadAfterM) _distanceDead = true;
            return true;
        }

        double elapsed = frame.At.SecondsSince(_readingAt);
        double step = value - _reading;
        if (step >= 0 && step <= (MaxSpeedMps * elapsed) + 10) Rebase(value, frame.At, step);
        else if (step < -100 && value is >= 0 and < 300) Rebase(value, frame.At, Math.Max(_sinceM, value));     // it starts again at the line
        else Rebase(value, frame.At, _sinceM);     // jitter or nonsense: go by speed
        return true;
    }

    private void Rebase(double value, LogTime at, double step)
    {
        _exactM += step;
        _sinceM = 0;
        _reading = _lastValue = value;
        _readingAt = at;
    }

    private readonly bool HasFreshDistance(LogTime at) =>
        _hasReading && !_distanceDead && at.SecondsSince(_readingAt) <= maxGapS;
}
