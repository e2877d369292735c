using System.Collections.Immutable;
using System.Globalization;
using OilWatch.Frames;
using OilWatch.Results;

namespace OilWatch.Pressure;

/// <summary>Fills in what a healthy oil system shows at each frame and how sure that is.</summary>
/// <remarks>
/// With a model of the whole run that model is asked. Without one (as the pit sees it) the model is learned as calm
/// running comes, from frames up to now only; until it stands the rule of thumb stands guard. So it does while the model
/// itself lies where bearings are in danger: an engine that was starved all the time has shown what it shows, not what is healthy.
/// </remarks>
internal sealed class ExpectedPressure
{
    private const double JudgeAboveRpm = 1500;
    private const double WiderBelowRpm = 2500;
    private const double LagDoubtS = 0.045;             // how far lag and clock of the two channels may differ from the model
    private const double SlopeHoldS = 0.2;
    private const double RuleOfThumbShare = 0.25;
    private const double RatioHoldS = 60;
    private const double LeastDrift = 0.004;             // less drift than this makes no difference beside the spread
    private const double ReferenceRpm = 4000;
    private const double LongestDoubtS = 1800;
    private const double LowShare = 0.9;
    private const double LowHoldS = 2.5;
    private const double LongestWaitS = 20;
    private const double TopShare = 0.95;               // of the highest speed that calm running covered: there the most pressure is needed
    private const double BelievedAgainShare = 1.1;
    private const double LookS = 1;

    private readonly PressureModelOptions _options;
    private readonly Func<double, double> _viscosityRatio;
    private readonly PressureSamples? _learning;
    private readonly DangerLine _danger;
    private HealthyPressure? _looked;
    private LogTime _looksAgain;
    private bool _disbelieved;
    private long _byModel;
    private long _byRule;
    private HealthyPressure? _model;
    private SpeedLags _lags;
    private CalmWatch _calm;
    private double _temperatureC = double.NaN;
    private double _ratio = double.NaN;
    private LogTime _ratioAt;
    private double _previous = double.NaN;
    private LogTime _previousAt;
    private double _slope;
    private StepDecay _decay;
    private RecentLeast _recent;
    private double _nextFitCalmS;
    private double _binEndS = double.NaN;
    private int _binFrom;
    private float _lastBinS;
    private double _lastExpected = double.NaN;
    private LogTime _lowAt = new(long.MinValue / 2);
    private LogTime _waitsSince = new(long.MinValue / 2);

    public ExpectedPressure(PressureModelOptions options, Func<double, double> viscosityRatio, HealthyPressure? wholeRun, bool learn, DangerLine danger = default)
    {
        _options = options;
        _danger = danger;
        _viscosityRatio = viscosityRatio;
        _model = wholeRun;
        _nextFitCalmS = options.LeastCalmS;
        if (learn) _learning = new PressureSamples(options, viscosityRatio);
    }

    /// <summary>The model in use, or null while the rule of thumb stands guard.</summary>
    public HealthyPressure? Model => _model;

    /// <summary>What was used, for the summary.</summary>
    public BaselineSummary Summary
    {
        get
        {
            if (_model is not { } model)
                return RuleOfThumb("Too little calm running to learn this engine's healthy pressure: a rule of thumb was used (common practice, no source).");
            string note = string.Create(CultureInfo.InvariantCulture,
                $"What this run shows lies below {_danger.KpaPer1000Rpm:0.###} kPa for each 1000 rpm, which endangers bearings, and was not taken for healthy: a rule of thumb was used (common practice, no source).");
            if (JudgedByRule) return RuleOfThumb(note);
            BaselineSummary summary = _learning is null ? model.Summary : model.Summary with { Origin = "learned-as-it-ran" };
            return _byRule == 0 ? summary : summary with { Confidence = "low", Notes = [.. summary.Notes, note.Replace("What this run shows lies", "For a part of the run what it shows lies", StringComparison.Ordinal)] };
        }
    }

    /// <summary>How thick the oil is now against 100 °C; NaN while its temperature is not known.</summary>
    public double Thickness => _ratio;

    /// <summary>Engine speed as pressure follows it, rpm; NaN while it is not known.</summary>
    public double SpeedRpm { get; private set; } = double.NaN;

    /// <summary>The healthy curve at a thickness of the oil: engine speed rpm, pressure kPa.</summary>
    public ImmutableArray<(double SpeedRpm, double PressureKpa)> Curve(double thickness)
    {
        HealthyPressure? believed = JudgedByRule ? null : _model;
        double topRpm = _model is { } known && double.IsFinite(known.CoveredHighRpm) ? known.CoveredHighRpm : 7000;
        ImmutableArray<(double SpeedRpm, double PressureKpa)>.Builder curve = ImmutableArray.CreateBuilder<(double SpeedRpm, double PressureKpa)>();
        for (double rpm = 750; rpm <= topRpm + 1; rpm += 250)
        {
            double kpa = believed is { } model
                ? model.Steady(rpm, thickness, model.Gain?.Latest ?? 1)
                : RuleOfThumbKpa(rpm);
            curve.Add((rpm, kpa));
        }
        return curve.ToImmutable();
    }

    /// <summary>Measurements at fixed reference conditions, for comparing sessions.</summary>
    public ImmutableArray<HealthIndex> Indices()
    {
        if (_model is not { } model) return [];
        ImmutableArray<HealthIndex>.Builder indices = ImmutableArray.CreateBuilder<HealthIndex>();
        double gain = model.Gain?.Latest ?? 1;
        double spread(double rpm) => Math.Max(model.SpreadKpa / 4, (model.Gain?.LatestSigma ?? 0) * model.GainSlope(rpm, 1, gain));
        if (model.UsesTemperature && model.CoveredHighRpm >= ReferenceRpm)
            indices.Add(new HealthIndex("oil_pressure_100c_4000rpm_kpa", model.Steady(ReferenceRpm, 1, gain), spread(ReferenceRpm)));
        double fast = 0.95 * model.CoveredHighRpm;
        indices.Add(new HealthIndex("oil_pressure_plateau_kpa", model.Steady(fast, 1, gain), spread(fast)));
        return indices.ToImmutable();
    }

    /// <summary>True where a model was found and most of the run was judged by the rule of thumb nevertheless.</summary>
    private bool JudgedByRule => _byRule > _byModel;

    private BaselineSummary RuleOfThumb(string why) => new()
    {
        Origin = "rule-of-thumb",
        Confidence = "low",
        Parameters = [("gain", _options.RuleOfThumbKpa, "kPa per 1000 rpm"), ("relief", _options.RuleOfThumbTopKpa, "kPa")],
        Notes = [why],
    };

    private double RuleOfThumbKpa(double rpm) => Math.Min(_options.RuleOfThumbKpa * rpm / 1000, _options.RuleOfThumbTopKpa);

    /// <summary>True while the model lies in danger at the top of the speeds it was seen at, with oil as it is now. Looked at once a second.</summary>
    private bool Disbelieves(HealthyPressure model, LogTime at, double ratio, double gain)
    {
        if (_looked == model && at < _looksAgain) return _disbelieved;
        _looked = model;
        _looksAgain = at.AddSeconds(LookS);
        double top = TopShare * model.CoveredHighRpm;
        double least = _danger.KpaPer1000Rpm * top / 1000;
        return _disbelieved = double.IsFinite(top) && top > _danger.AboveRpm
            && model.Steady(top, ratio, gain) < (_disbelieved ? BelievedAgainShare : 1) * least;
    }

    /// <summary>Judges a frame that the sensor guard and the load filter have seen.</summary>
    public void Apply(ref EngineFrame frame)
    {
        _lags.Step(frame.At, frame.SpeedRpm, _learning is null ? _model?.Lag ?? SpeedLags.Usual : -1);
        _calm.Step(in frame, _options);
        if (double.IsFinite(frame.OilTemperatureC))
        {
            if (frame.OilTemperatureC != _temperatureC) _ratio = _viscosityRatio(_temperatureC = frame.OilTemperatureC);
            _ratioAt = frame.At;
        }
        if (_learning is not null) Learn(in frame);
        Expect(ref frame);
    }

    private void Expect(ref EngineFrame frame)
    {
        double speed = SpeedRpm = _lags[_model?.Lag ?? SpeedLags.Usual];
        if (!double.IsFinite(speed) || !double.IsFinite(frame.SpeedRpm)) { _previous = double.NaN; return; }
        double ratio = frame.At.SecondsSince(_ratioAt) <= RatioHoldS ? _ratio : double.NaN;
        if (_model is { UsesTemperature: true } && !(ratio > 0)) ratio = _ratio > 0 ? _ratio : 1;
        double expected, spread;
        if (_model is { } model)
        {
            double gain = 1, drift = 0;
            if (model.Gain is { } track)
            {
                gain = _learning is null ? track.At(frame.At.Seconds) : track.Latest;
                drift = _learning is null ? track.SigmaAt(frame.At.Seconds) : track.LatestSigma;
            }
            expected = model.Steady(speed, ratio, gain);
            spread = model.SpreadAt(expected, speed, ratio, gain);
            if (drift > LeastDrift)
            {
                double drifted = drift * model.GainSlope(speed, ratio, gain);
                spread = Math.Sqrt((spread * spread) + (drifted * drifted));
            }
            if (Disbelieves(model, frame.At, ratio, gain))
            {
                frame.DisbelievedKpa = expected;
                expected = RuleOfThumbKpa(speed);
                spread = RuleOfThumbShare * expected;
            }
        }
        else
        {
            expected = RuleOfThumbKpa(speed);
            spread = RuleOfThumbShare * expected;
        }
        frame.ExpectedKpa = _lastExpected = expected;
        frame.SurelyExpectedKpa = _recent.Step(frame.At, expected);
        double transient = TransientKpa(frame.At, expected);
        spread = Math.Sqrt((spread * spread) + (transient * transient));
        // What pressure still shows is the idle of a moment ago, even where the engine is away from it already.
        double slower = Math.Min(speed, frame.SpeedRpm);
        bool judged = slower >= JudgeAboveRpm && _calm.RunningS >= _options.StartUpS && expected > 20;
        if (!judged) return;
        frame.SpreadKpa = slower < WiderBelowRpm ? 2 * spread : spread;
        if (double.IsFinite(frame.DisbelievedKpa)) _byRule++;
        else _byModel++;
    }

    /// <summary>While expected pressure moves fast, a small difference in lag is a large difference in pressure.</summary>
    private double TransientKpa(LogTime at, double expected)
    {
        double step = at.SecondsSince(_previousAt);
        if (double.IsFinite(_previous) && step is > 0 and < 1)
        {
            _slope = Math.Max(Math.Abs(expected - _previous) / step, _slope * _decay.Over(step, SlopeHoldS));
        }
        else
        {
            _slope = 0;
        }
        double interval = step is > 0 and < 1 ? step : 0.1;
        _previous = expected;
        _previousAt = at;
        return _slope * (LagDoubtS + (0.4 * interval));
    }

    private void Learn(in EngineFrame frame)
    {
        if (!_learning!.Take(in frame)) return;
        bool waits = Waits(in frame);
        if (_learning.CalmS >= _nextFitCalmS && !waits)
        {
            _nextFitCalmS = _learning.CalmS + Math.Clamp(0.2 * _learning.CalmS, 6, 60);
            if (PressureFit.Fit(_learning.All, _learning.CalmS, _options, wholeRun: false) is { } fitted)
            {
                _model = fitted;
                StartBin();
                return;
            }
        }
        if (_model?.Gain is not { } gain || frame.At.Seconds < _binEndS) return;
        gain.Add(InBin(), _model);
        // While the engine stood nothing was seen: the gain grows uncertain with every bin that passed.
        for (double at = _binEndS + gain.BinS; at <= frame.At.Seconds && at < _binEndS + LongestDoubtS; at += gain.BinS) gain.Add([], _model);
        StartBin();
    }

    /// <summary>True while pressure is low by the model in use: a drop is judged to its end by what was healthy before it, but not for ever, for the model may be what is wrong.</summary>
    private bool Waits(in EngineFrame frame)
    {
        if (_model is null) return false;
        double expected = _lastExpected;
        if (frame.PressureKpa < LowShare * expected) _lowAt = frame.At;
        bool low = frame.At.SecondsSince(_lowAt) < LowHoldS;
        if (!low) _waitsSince = frame.At;
        return low && frame.At.SecondsSince(_waitsSince) < LongestWaitS;
    }

    private void StartBin()
    {
        _binFrom = _learning!.All.Length;
        _lastBinS = _binFrom > 0 ? _learning.All[^1].AtS : 0;
        _binEndS = _lastBinS + (_model!.Gain?.BinS ?? 10);
    }

    private ReadOnlySpan<PressureSample> InBin()
    {
        ReadOnlySpan<PressureSample> all = _learning!.All;
        // When the memory was thinned meanwhile, the bin's samples stand elsewhere: find them by time.
        int from = Math.Min(_binFrom, all.Length);
        while (from > 0 && all[from - 1].AtS > _lastBinS) from--;
        return all[from..];
    }
}
