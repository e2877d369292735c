using System.Collections.Immutable;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Results;

namespace OilWatch.Crankcase;

/// <summary>Turns crankcase pressure into gauge where the sensor is absolute, and fills in what a healthy engine's crankcase shows at each frame.</summary>
/// <remarks>
/// With a model of the whole run that model is asked. As the pit sees it the model is learned as running comes, from frames up to now only; while the crankcase is
/// not as it was, nothing is learned, so that a loss does not become the new healthy.
/// </remarks>
internal sealed class ExpectedCrankcase
{
    private const double ReferenceRpm = 6000;
    private const double FrozenRatio = 0.8;
    private const double SmoothS = 2;
    private readonly CrankcaseOptions _options;
    private readonly CrankcaseZero _zero;
    private readonly CrankcaseSamples? _learning;
    private CrankcaseLag _lag;
    private HealthyCrankcase? _model;
    private double _nextFitS;
    private double _smoothKpa = double.NaN;
    private double _smoothExpected = double.NaN;
    private LogTime _last;

    /// <param name="options">Thresholds.</param>
    /// <param name="zero">What ambient is for the sensor; it learns on where <paramref name="learn"/> is set.</param>
    /// <param name="wholeRun">The model of the whole run, or null.</param>
    /// <param name="learn">True to learn as running comes.</param>
    public ExpectedCrankcase(CrankcaseOptions options, CrankcaseZero zero, HealthyCrankcase? wholeRun, bool learn)
    {
        _options = options;
        _zero = zero;
        _model = wholeRun;
        _nextFitS = options.LeastRunningS;
        if (learn) _learning = new CrankcaseSamples();
    }

    /// <summary>Fills in a frame that the sensor guard has seen.</summary>
    public void Apply(ref EngineFrame frame)
    {
        _lag.Step(in frame);
        if (_learning is not null) LearnZero(in frame);
        if (_zero.Kpa != 0) frame[Role.CrankcasePressure] -= _zero.Kpa;
        double rpm = _lag.SpeedRpm;
        if (!double.IsFinite(rpm) || !_lag.IsRunning) return;
        if (_model is { } model) frame.ExpectedCrankcaseKpa = model.At(rpm, _lag.Throttle);
        if (_learning is not null) Learn(in frame);
    }

    /// <summary>Measurements at fixed reference conditions, for comparing sessions.</summary>
    public ImmutableArray<HealthIndex> Indices() => _model is { MakesVacuum: true } model
        ? [new HealthIndex("crankcase_pressure_6000rpm_kpa", model.At(ReferenceRpm, 100), model.SpreadKpa / 4)]
        : [];

    /// <summary>What ambient turned out to be, in the words of a note; null where the sensor is not absolute.</summary>
    public string? ZeroNote => _zero.Note;

    /// <summary>What is subtracted on top of the standard atmosphere, kPa.</summary>
    public double ZeroKpa => _zero.Kpa;

    private void LearnZero(in EngineFrame frame)
    {
        double before = _zero.Kpa;
        _zero.Step(in frame, in _lag);
        double moved = _zero.Kpa - before;
        if (moved == 0) return;
        _learning!.Shift(-moved);
        _smoothKpa -= moved;
        if (_model is not null) _model = CrankcaseFit.Fit(_learning.All, _learning.RunningS, _options);
    }

    private void Learn(in EngineFrame frame)
    {
        if (!CrankcaseLag.TeachesFrom(in frame)) return;
        if (_model is { } model && !Agrees(in frame, model)) return;
        _learning!.Take(frame.At, _lag.Sample(in frame));
        if (_learning.RunningS < _nextFitS) return;
        _nextFitS = _learning.RunningS + Math.Clamp(0.25 * _learning.RunningS, 10, 120);
        if (CrankcaseFit.Fit(_learning.All, _learning.RunningS, _options) is { } fitted) _model = fitted;
    }

    private bool Agrees(in EngineFrame frame, HealthyCrankcase model)
    {
        double step = Math.Min(frame.At.SecondsSince(_last), 1);
        _last = frame.At;
        double keep = double.IsFinite(_smoothKpa) ? Math.Exp(-step / SmoothS) : 0;
        _smoothKpa = frame.CrankcaseKpa + (keep == 0 ? 0 : (_smoothKpa - frame.CrankcaseKpa) * keep);
        _smoothExpected = frame.ExpectedCrankcaseKpa + (keep == 0 ? 0 : (_smoothExpected - frame.ExpectedCrankcaseKpa) * keep);
        return model.MakesVacuum
            ? _smoothKpa < FrozenRatio * _smoothExpected || _smoothExpected > -_options.LeastVacuumKpa
            : _smoothKpa < _smoothExpected + (0.6 * _options.BlowByKpa);
    }
}
