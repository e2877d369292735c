using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Positions;

namespace OilWatch.Laps;

/// <summary>Position fixes out of frames: one a pair of new latitude and longitude, wild ones left out.</summary>
internal sealed class FixTrack(LocalPlane? plane)
{
    // No car that corners on oil reaches 120 m/s; a fix that needs it is wrong.
    private const double MaxSpeedMps = 120;
    private const double MaxBetweenFixesS = 2;
    private const double AnchorS = 0.4;
    private const double SpeedLivesS = 1.5;

    private LocalPlane? _plane = plane;
    private double _latitude = double.NaN, _longitude = double.NaN;
    private bool _newLatitude, _newLongitude;
    private int _wild;
    private Fix _anchor, _nextAnchor;
    private double _speedMps = double.NaN;

    /// <summary>The last fix.</summary>
    public Fix Now { get; private set; }

    /// <summary>The fix before it; only with <see cref="HasPrevious"/>.</summary>
    public Fix Previous { get; private set; }

    /// <summary>True when the fix before is near enough in time to draw a line between them.</summary>
    public bool HasPrevious { get; private set; }

    /// <summary>The last instant at which there was a position.</summary>
    public LogTime? LastSeen { get; private set; }

    /// <summary>Movement over the last half second or so (one fix at slow rates): robust against jitter.</summary>
    public (double EastM, double NorthM, double S) Window =>
        (Now.EastM - _anchor.EastM, Now.NorthM - _anchor.NorthM, Now.At.SecondsSince(_anchor.At));

    /// <summary>Speed over ground, m/s; NaN when not known.</summary>
    public double SpeedMps(LogTime at) =>
        LastSeen is not null && at.SecondsSince(Now.At) <= SpeedLivesS ? _speedMps : double.NaN;

    /// <summary>Takes a frame; true when it completes a fix.</summary>
    public bool Step(in EngineFrame frame)
    {
        double latitude = frame[Role.Latitude], longitude = frame[Role.Longitude];
        if (latitude is not (>= -90 and <= 90) || longitude is not (>= -180 and <= 180)) return false;
        // Receivers write 0, 0 for "no fix".
        if (latitude == 0 && longitude == 0 && (_plane is null || Math.Abs(_plane.LatitudeDeg) + Math.Abs(_plane.LongitudeDeg) > 0.02)) return false;
        _newLatitude |= frame.IsFresh(Role.Latitude) || latitude != _latitude;
        _newLongitude |= frame.IsFresh(Role.Longitude) || longitude != _longitude;
        _latitude = latitude;
        _longitude = longitude;
        if (!_newLatitude || !_newLongitude)
        {
            LastSeen ??= frame.At;
            if (_wild == 0) LastSeen = frame.At;
            return false;
        }

        _newLatitude = _newLongitude = false;
        _plane ??= new LocalPlane(latitude, longitude);
        (double east, double north) = _plane.Project(latitude, longitude);
        return Take(new Fix(frame.At, east, north));
    }

    private bool Take(Fix fix)
    {
        double sinceLast = HasAny ? fix.At.SecondsSince(Now.At) : double.PositiveInfinity;
        bool joined = sinceLast <= MaxBetweenFixesS;
        if (joined)
        {
            double moved = Math.Sqrt(Square(fix.EastM - Now.EastM) + Square(fix.NorthM - Now.NorthM));
            if (moved > (MaxSpeedMps * sinceLast) + 5)
            {
                if (++_wild <= 3) return false;
                joined = false;     // it stays there: the receiver found itself again
            }
        }

        _wild = 0;
        Previous = Now;
        Now = fix;
        LastSeen = fix.At;
        HasPrevious = joined;
        HasAny = true;
        if (!joined)
        {
            _anchor = _nextAnchor = fix;
            _speedMps = double.NaN;
            return true;
        }

        if (fix.At.SecondsSince(_nextAnchor.At) >= AnchorS) (_anchor, _nextAnchor) = (_nextAnchor, fix);
        double span = fix.At.SecondsSince(_anchor.At);
        if (span > 0) _speedMps = Math.Sqrt(Square(fix.EastM - _anchor.EastM) + Square(fix.NorthM - _anchor.NorthM)) / span;
        return true;
    }

    private bool HasAny { get; set; }

    private static double Square(double x) => x * x;

    /// <summary>A place at an instant, m east and north of the plane's origin.</summary>
    internal readonly record struct Fix(LogTime At, double EastM, double NorthM);
}
