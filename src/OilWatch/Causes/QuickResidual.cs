using OilWatch.Frames;

namespace OilWatch.Causes;

/// <summary>What is quick in pressure at steady engine speed: how far a reading stands off what the model and the last half second say.</summary>
/// <remarks>
/// What the model has wrong at an engine speed is learned as it comes and taken off, for it would be taken for unsteady pressure as soon as speed moves; what is slow
/// is taken off by a moving mean. Noise of the sensor stays in, so that two parts of a run are to be compared.
/// </remarks>
internal sealed class QuickResidual
{
    private const double MeanS = 0.3;
    private const double SlopeS = 0.15;
    private const double SettlesS = 1;
    private const double LongestPauseS = 0.3;
    private const double SteadyRpmS = 400;
    private const double SteadyKpaS = 200;
    private const double KnotRpm = 125;
    private const int Knots = 98;                      // up to 12,000 rpm
    private const double LeastRate = 0.03;
    private const double LargestShare = 0.6;           // further off it is another thing than flutter
    private const double LargestQuickShare = 0.3;
    private readonly double[] _wrongKpa = new double[Knots];
    private readonly double[] _seen = new double[Knots];
    private LogTime _last = new(long.MinValue / 2);
    private double _mean;
    private double _slowRpm;
    private double _slowKpa;
    private double _settledS;

    /// <summary>Takes a believed reading; NaN where the engine is not steady enough or the mean has not settled.</summary>
    public double Step(in EngineFrame frame)
    {
        double step = frame.At.SecondsSince(_last);
        _last = frame.At;
        double rpm = frame.SpeedRpm, expected = frame.ExpectedKpa, off = frame.PressureKpa - expected;
        if (!(step is > 0 and < LongestPauseS))
        {
            (_mean, _slowRpm, _slowKpa, _settledS) = (double.NaN, rpm, expected, 0);
            return double.NaN;
        }
        double share = 1 - Math.Exp(-step / SlopeS);
        _slowRpm += share * (rpm - _slowRpm);
        _slowKpa += share * (expected - _slowKpa);
        double kpaS = Math.Abs(expected - _slowKpa) / SlopeS;
        bool near = Math.Abs(off) < LargestShare * expected;
        double quick = Unexplained(rpm, off, learn: near && kpaS < SteadyKpaS);
        if (double.IsNaN(_mean)) _mean = quick;
        _mean += (1 - Math.Exp(-step / MeanS)) * (quick - _mean);
        _settledS += step;
        if (!near || _settledS < SettlesS || kpaS >= SteadyKpaS || Math.Abs(rpm - _slowRpm) >= SteadyRpmS * SlopeS) return double.NaN;
        double most = LargestQuickShare * expected;
        return Math.Clamp(quick - _mean, -most, most);
    }

    /// <summary>What is left of it when what the model has wrong at this speed is taken off.</summary>
    private double Unexplained(double rpm, double off, bool learn)
    {
        double place = Math.Clamp(rpm / KnotRpm, 0, Knots - 1.001);
        int below = (int)place;
        double part = place - below;
        double left = off - ((1 - part) * _wrongKpa[below]) - (part * _wrongKpa[below + 1]);
        if (learn)
        {
            Learn(below, 1 - part, left);
            Learn(below + 1, part, left);
        }
        return left;
    }

    private void Learn(int knot, double part, double left)
    {
        _seen[knot] += part;
        _wrongKpa[knot] += part * Math.Max(LeastRate, 1 / (1 + _seen[knot])) * left;
    }
}
