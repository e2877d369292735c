namespace OilWatch.Laps;

/// <summary>Finds passings of the line in a channel that pulses, toggles or counts there; which of them is told by how it behaves.</summary>
/// <remarks>
/// A rise is a passing. A fall is one only after the value before had stood for a shortest lap (a toggle, or a counter that starts
/// again) and the new value stands for half a second; the end of a pulse is neither. Values that are no whole numbers are taken as a
/// strength: high above 60 %, low below 40 % of the range seen, once that range is half a unit.
/// </remarks>
internal struct BeaconWatch(double minLapS)
{
    private const double FallStandsS = 0.5;
    private const double MinRange = 0.5;

    private bool _any, _analog, _high, _hasFall, _hasPassing;
    private double _level, _fall, _least, _most;
    private LogTime _since, _fallFrom, _passing;

    /// <summary>Takes a value; true when the line was passed at <paramref name="at"/>.</summary>
    public bool Step(LogTime now, double value, out LogTime at)
    {
        at = now;
        if (!double.IsFinite(value)) return false;
        if (!_any)
        {
            _any = true;
            _least = _most = value;
            _analog = value != Math.Round(value);
            _level = _analog ? 0 : value;
            _since = now;
            return false;
        }

        _least = Math.Min(_least, value);
        _most = Math.Max(_most, value);
        if (!_analog && value != Math.Round(value))
        {
            _analog = true;
            _high = _level > (_least + _most) / 2;
            _level = _high ? 1 : 0;
        }

        double level = _analog ? Quantised(value) : value;
        if (level == _level)
        {
            _hasFall = false;
            return false;
        }

        if (level < _level)
        {
            if (!_hasFall || _fall != level)
            {
                _hasFall = true;
                _fall = level;
                _fallFrom = now;
            }

            // Inside a pulse the fall is taken at once, so that the next pulse, however soon, is a rise again.
            bool stood = _fallFrom.SecondsSince(_since) >= minLapS;
            if (stood && now.SecondsSince(_fallFrom) < FallStandsS) return false;
            LogTime from = _fallFrom;
            Settle(level, from);
            return stood && Passed(from, out at);
        }

        Settle(level, now);
        return Passed(now, out at);
    }

    private double Quantised(double value)
    {
        double range = _most - _least;
        if (range < MinRange) return _high ? 1 : 0;
        double share = (value - _least) / range;
        if (share > 0.6) _high = true;
        else if (share < 0.4) _high = false;
        return _high ? 1 : 0;
    }

    private void Settle(double level, LogTime from)
    {
        _level = level;
        _since = from;
        _hasFall = false;
    }

    private bool Passed(LogTime when, out LogTime at)
    {
        at = when;
        if (_hasPassing && when.SecondsSince(_passing) < minLapS) return false;
        _hasPassing = true;
        _passing = when;
        return true;
    }
}
