namespace OilWatch.Frames;

/// <summary>Low-passes the accelerations, so that sustained load remains and a kerb strike does not.</summary>
/// <remarks>
/// Two equal first-order stages of 0.1 s: -3 dB at 1.02 Hz (0.644 / (2π · 0.1 s)), a group delay of 0.2 s, no overshoot. A half-sine kerb strike of
/// 2 g and 60 ms passes as less than 0.3 g.
/// </remarks>
internal struct LoadFilter
{
    private const double StageS = 0.1;
    private const double ForgetAfterS = 1.0;
    private Axis _lateral;
    private Axis _longitudinal;
    private LogTime _last;
    private bool _begun;
    private StepDecay _decay;

    /// <summary>Delay of the load behind the acceleration, s.</summary>
    public const double DelayS = 2 * StageS;

    /// <summary>Fills in the loads of a frame.</summary>
    public void Apply(ref EngineFrame frame)
    {
        double step = _begun ? frame.At.SecondsSince(_last) : double.PositiveInfinity;
        _begun = true;
        _last = frame.At;
        double keep = _decay.Over(step, StageS);
        frame.LoadLateralG = _lateral.Step(frame.LateralG, step, keep);
        frame.LoadLongitudinalG = _longitudinal.Step(frame.LongitudinalG, step, keep);
    }

    private struct Axis
    {
        private double _first;
        private double _second;
        private double _absentS;
        private bool _known;

        public double Step(double value, double step, double keep)
        {
            if (!double.IsFinite(value))
            {
                _absentS += step;
                if (_absentS > ForgetAfterS) _known = false;
                return _known ? _second : double.NaN;
            }
            if (!_known || step > ForgetAfterS)
            {
                _first = _second = value;
                _known = true;
            }
            else
            {
                // Exact for an input that is constant over the step: the second stage sees the first one's exponential.
                double before = _first;
                _first = value + ((before - value) * keep);
                _second = value + ((_second - value) * keep) + ((before - value) * (step / StageS) * keep);
            }
            _absentS = 0;
            return _second;
        }
    }
}
