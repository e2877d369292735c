using OilWatch.Alerts;
using OilWatch.Channels;

namespace OilWatch.Detectors;

/// <summary>Finds an engine speed or a road speed that reads wrong by a constant: in gear the one follows from the other.</summary>
/// <remarks>
/// A gear change, a clutch let in and a spinning wheel leap as well; but after them engine speed over road speed is that of a gear again, or goes its own way. Where a leap led away from
/// every gear that the car was driven in, and the readings less that leap stay with the gears while the car gains and loses speed, the leap was the sensor's.
/// Without road speed nothing is said.
/// </remarks>
internal sealed class GearWatch
{
    private const double LeastRpm = 1200;
    private const double LeastKmh = 25;
    private const double LongestAgeS = 0.035;            // of the one speed where the other is new
    private const double LeastApartS = 0.04;             // between two looks at the ratio
    private readonly GearRatios _gears = new();
    private ConstantError _engine = new(Role.EngineSpeed, least: 450, leastShare: 0.07, move: 60);
    private ConstantError _road = new(Role.VehicleSpeed, least: 15, leastShare: 0.12, move: 5);
    private double _rpm = double.NaN;
    private double _kmh = double.NaN;
    private LogTime _rpmAt;
    private LogTime _kmhAt;
    private LogTime _lookedAt;

    /// <summary>Engine speed.</summary>
    public ref readonly ConstantError Engine => ref _engine;

    /// <summary>Road speed.</summary>
    public ref readonly ConstantError Road => ref _road;

    /// <summary>Takes the readings of a frame, believed or not.</summary>
    /// <param name="at">When.</param>
    /// <param name="rpm">Engine speed, rpm; NaN where there is no reading of this instant.</param>
    /// <param name="kmh">Road speed, km/h; NaN where there is no reading of this instant.</param>
    /// <param name="changes">Receives what was raised or ended.</param>
    public void Step(LogTime at, double rpm, double kmh, ref FaultChanges changes)
    {
        bool isNew = false;
        if (double.IsFinite(rpm))
        {
            (_rpm, _rpmAt, isNew) = (rpm, at, true);
            _engine.Take(at, rpm, _gears.AreKnown, ref changes);
        }
        if (double.IsFinite(kmh))
        {
            (_kmh, _kmhAt, isNew) = (kmh, at, true);
            _road.Take(at, kmh, _gears.AreKnown, ref changes);
        }
        if (!isNew || at.SecondsSince(_rpmAt) > LongestAgeS || at.SecondsSince(_kmhAt) > LongestAgeS || at.SecondsSince(_lookedAt) < LeastApartS) return;
        if (!(_rpm > LeastRpm && _kmh > LeastKmh)) return;
        _lookedAt = at;
        bool inGear = _gears.Has(_rpm, _kmh), near = inGear || ((_engine.IsDoubted || _road.IsDoubted) && _gears.HasNear(_rpm, _kmh));
        if (!_engine.IsWrong && !_road.IsWrong) _gears.Learn(at, _rpm, _kmh);
        if (_engine.IsDoubted) _engine.Settle(_rpm, _kmh);
        if (_road.IsDoubted) _road.Settle(_kmh, _rpm);
        _engine.Look(at, _rpm, _kmh, inGear, near, _engine.IsDoubted && _rpm - _engine.Error > LeastRpm && _gears.Has(_rpm - _engine.Error, _kmh), ref changes);
        _road.Look(at, _kmh, _rpm, inGear, near, _road.IsDoubted && _kmh - _road.Error > LeastKmh && _gears.Has(_rpm, _kmh - _road.Error), ref changes);
    }

    /// <summary>Another rule does not believe one of the two.</summary>
    public void Forget(bool engine, bool road)
    {
        if (engine) _engine.Forget();
        if (road) _road.Forget();
    }

    /// <summary>The log is over.</summary>
    public void Finish(LogTime at, ref FaultChanges changes)
    {
        _engine.Finish(at, ref changes);
        _road.Finish(at, ref changes);
    }
}
