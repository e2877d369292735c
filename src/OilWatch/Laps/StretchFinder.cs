namespace OilWatch.Laps;

/// <summary>Finds stretches of sustained lateral load: on at one threshold, off below a lower one, bounds interpolated between frames.</summary>
internal struct StretchFinder(LoadOptions options)
{
    /// <summary>Longest hole in the data inside a stretch, s.</summary>
    public const double HoldS = 0.5;

    private double _g = double.NaN;
    private LogTime _at;

    /// <summary>True inside a stretch.</summary>
    public bool On { get; private set; }

    /// <summary>True when the stretch is to the left.</summary>
    public bool Left { get; private set; }

    /// <summary>When the stretch began.</summary>
    public LogTime Entry { get; private set; }

    /// <summary>When the last stretch ended; only right after it did.</summary>
    public LogTime Exit { get; private set; }

    /// <summary>Takes the load at an instant, g, NaN where not known.</summary>
    /// <param name="now">When, later than before.</param>
    /// <param name="g">Low-passed lateral acceleration, positive to the left.</param>
    /// <param name="left">True when a stretch ended with it.</param>
    /// <param name="entered">True when a stretch began with it; may come together with <paramref name="left"/>, after it.</param>
    public void Step(LogTime now, double g, out bool left, out bool entered)
    {
        left = entered = false;
        double since = double.IsNaN(_g) ? double.PositiveInfinity : now.SecondsSince(_at);
        if (On && since > HoldS)
        {
            On = false;
            Exit = _at;
            left = true;
        }

        if (!double.IsFinite(g)) return;
        bool joined = since <= HoldS;
        if (On && (Left ? g : -g) < options.LoadOffG)
        {
            On = false;
            Exit = Crossing(now, Left ? _g : -_g, Left ? g : -g, options.LoadOffG);
            left = true;
        }

        if (!On && Math.Abs(g) >= options.LoadOnG)
        {
            On = entered = true;
            Left = g > 0;
            Entry = joined ? Crossing(now, Left ? _g : -_g, Left ? g : -g, options.LoadOnG) : now;
        }

        _g = g;
        _at = now;
    }

    private readonly LogTime Crossing(LogTime now, double before, double after, double threshold)
    {
        double share = after == before ? 1 : Math.Clamp((threshold - before) / (after - before), 0, 1);
        return _at.AddSeconds(share * now.SecondsSince(_at));
    }
}
