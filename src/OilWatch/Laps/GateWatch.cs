using OilWatch.Cars;

namespace OilWatch.Laps;

/// <summary>Finds crossings of a gate line in the gate's heading, to a fraction of the time between fixes.</summary>
internal struct GateWatch
{
    // Away from the line by this much before it can be crossed again: jitter on the line gives one crossing.
    private const double RearmM = 25;

    // Slower than this a position wanders more than it travels.
    private const double MinSpeedMps = 2;

    private readonly double _sin, _cos, _halfWidthM;
    private bool _passed;

    public GateWatch(LapGate gate)
    {
        (_sin, _cos) = Math.SinCos(gate.HeadingDeg * Math.PI / 180);
        _halfWidthM = gate.WidthM / 2;
    }

    /// <summary>Call at each new fix; true when the line was crossed since the fix before.</summary>
    public bool Step(FixTrack track, out LogTime at)
    {
        at = default;
        double along = Along(track.Now.EastM, track.Now.NorthM);
        if (_passed && Math.Abs(along) > RearmM) _passed = false;
        if (_passed || !track.HasPrevious || along < 0) return false;
        double before = Along(track.Previous.EastM, track.Previous.NorthM);
        if (before >= 0) return false;

        double share = -before / (along - before);
        double across = Across(track.Previous.EastM, track.Previous.NorthM);
        across += share * (Across(track.Now.EastM, track.Now.NorthM) - across);
        if (Math.Abs(across) > _halfWidthM) return false;

        (double east, double north, double span) = track.Window;
        double moved = Math.Sqrt((east * east) + (north * north));
        if (span <= 0 || moved < MinSpeedMps * span || Along(east, north) < moved / 2) return false;     // within 60 degrees of the heading

        _passed = true;
        at = track.Previous.At.AddSeconds(share * track.Now.At.SecondsSince(track.Previous.At));
        return true;
    }

    private readonly double Along(double east, double north) => (east * _sin) + (north * _cos);

    private readonly double Across(double east, double north) => (east * _cos) - (north * _sin);
}
