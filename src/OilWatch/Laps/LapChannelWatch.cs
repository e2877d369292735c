namespace OilWatch.Laps;

/// <summary>Follows a channel that counts laps, past glitches.</summary>
internal struct LapChannelWatch
{
    // A step of one up is a lap at once; anything else must stand this long, so that a glitch to 0 is nothing.
    private const double StandsS = 2.5;

    private bool _any;
    private int _candidate;
    private LogTime _candidateFrom;
    private bool _hasCandidate;

    /// <summary>What a value meant.</summary>
    internal enum Change
    {
        /// <summary>The lap goes on.</summary>
        None,

        /// <summary>The first number of the log.</summary>
        First,

        /// <summary>The next lap.</summary>
        Next,

        /// <summary>A number that does not follow.</summary>
        Jump,
    }

    /// <summary>The lap that the log is in.</summary>
    public int Number { get; private set; }

    /// <summary>Takes a value; <paramref name="at"/> is when the new number was first seen.</summary>
    public Change Step(LogTime now, double value, out LogTime at)
    {
        at = now;
        double rounded = Math.Round(value);
        if (Math.Abs(value - rounded) is not (<= 0.01) || Math.Abs(rounded) > 1e6) return Change.None;
        int number = (int)rounded;
        if (!_any)
        {
            _any = true;
            Number = number;
            return Change.First;
        }

        if (number == Number)
        {
            _hasCandidate = false;
            return Change.None;
        }

        if (number == Number + 1)
        {
            _hasCandidate = false;
            Number = number;
            return Change.Next;
        }

        if (!_hasCandidate || _candidate != number)
        {
            _hasCandidate = true;
            _candidate = number;
            _candidateFrom = now;
        }

        if (now.SecondsSince(_candidateFrom) < StandsS) return Change.None;
        _hasCandidate = false;
        Number = number;
        at = _candidateFrom;
        return Change.Jump;
    }
}
