using System.Runtime.InteropServices;
using OilWatch.Channels;
using OilWatch.Frames;

namespace OilWatch.Pressure;

/// <summary>Remembers frames for the fit in bounded memory: when full, every second one is forgotten and only every second one is taken from then on.</summary>
/// <remarks>Deterministic, and even over the whole run. 40,000 samples are half an hour at 20 Hz.</remarks>
internal sealed class PressureSamples(PressureModelOptions options, Func<double, double> viscosityRatio)
{
    private const int Most = 40_000;
    private const double TemperatureHoldS = 60;
    private readonly List<PressureSample> _samples = [];
    private int _stride = 1;
    private int _skip;
    private SpeedLags _lags;
    private CalmWatch _calm;
    private double _lastRpm = double.NaN;
    private LogTime _lastAt;
    private double _temperatureC = double.NaN;
    private double _ratio = double.NaN;
    private LogTime _ratioAt;
    private bool _begun;

    /// <summary>What is remembered, in order of time.</summary>
    public ReadOnlySpan<PressureSample> All => CollectionsMarshal.AsSpan(_samples);

    /// <summary>Seconds of calm running seen, remembered or not.</summary>
    public double CalmS { get; private set; }

    /// <summary>Takes a frame that the sensor guard and the load filter have seen.</summary>
    /// <returns>True when the frame was remembered.</returns>
    public bool Take(in EngineFrame frame)
    {
        double step = _begun ? frame.At.SecondsSince(_lastAt) : 0;
        _lags.Step(frame.At, frame.SpeedRpm);
        _calm.Step(in frame, options);
        double slope = step > 0 ? (frame.SpeedRpm - _lastRpm) / step : 0;
        _lastRpm = frame.SpeedRpm;
        _lastAt = frame.At;
        _begun = true;
        if (double.IsFinite(frame.OilTemperatureC))
        {
            if (frame.OilTemperatureC != _temperatureC) _ratio = viscosityRatio(_temperatureC = frame.OilTemperatureC);
            _ratioAt = frame.At;
        }
        bool usable = frame.IsFresh(Role.OilPressure) && double.IsFinite(frame.PressureKpa) && frame.SpeedRpm > 700 && double.IsFinite(_lags[0])
            && _calm.RunningS >= options.StartUpS && step < 1 && (frame.Suspect & (1u << (int)Role.OilPressure | 1u << (int)Role.EngineSpeed)) == 0;
        if (!usable) return false;
        if (_calm.IsCalm) CalmS += step;
        if (_skip-- > 0) return false;
        _skip = _stride - 1;
        Remember(in frame, slope);
        return true;
    }

    private void Remember(in EngineFrame frame, double slope)
    {
        var sample = new PressureSample
        {
            AtS = (float)frame.At.Seconds,
            PressureKpa = (float)frame.PressureKpa,
            ViscosityRatio = (float)(frame.At.SecondsSince(_ratioAt) <= TemperatureHoldS ? _ratio : double.NaN),
            SlopeRpmS = double.IsFinite(slope) ? (float)slope : 0,
            Calm = _calm.IsCalm,
        };
        for (int lag = 0; lag < SpeedLags.Count; lag++) sample.SpeedRpm[lag] = (float)_lags[lag];
        _samples.Add(sample);
        if (_samples.Count < Most) return;
        for (int i = 0; i < Most / 2; i++) _samples[i] = _samples[2 * i];
        CollectionsMarshal.SetCount(_samples, Most / 2);
        _stride *= 2;
    }
}
