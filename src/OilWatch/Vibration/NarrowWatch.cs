using OilWatch.Detectors;

namespace OilWatch.Vibration;

/// <summary>Watches the spectrum of a waveform in narrow bands for one that grows while the others do not: a resonance that comes loose.</summary>
/// <remarks>
/// A narrow resonance is crossed for a fraction of a second a lap, and lifts the level as a whole only then. In a band of its own the rise is larger, it begins on the skirts, and every
/// order that passes the band shows it, at whatever engine speed. What all bands rise by at once (a kerb, a load that is not logged) is taken off. A band
/// counts where it matters: where a rise in it to the called ratio would lift the level as a whole by a tenth.
/// </remarks>
internal sealed class NarrowWatch
{
    private const double LowestHz = 20;
    private const double HighestHz = 10_000;
    private const double WideOctaves = 1.0 / 6;        // at half height: a bracket rings over 5 to 15 % of its frequency
    private const double LeastWideBins = 4;            // what a line is smeared over by the window
    private const double ZoneRpm = 300;
    private const int Zones = 54;
    private const int MostReadings = 24;               // a node: there are many bands
    private const double FastestRpmPerS = 3500;       // beyond it a line is smeared over several bands, and engine speed is not of its instant
    private const double MostCommon = 0.3;             // natural log: a shock that shakes everything says nothing of one band
    private const double ShockOver = 0.4;              // natural log, over what was common to all bands in the last seconds
    private const double UsualS = 3;
    private const double CommonNoise = 0.06;           // half of all bands lie above their middle by chance
    private const double SpeedErrorRpm = 8;
    private const double SpeedErrorS = 0.01;
    private const double OverrunRpmPerS = -150;
    private const double LongestStepS = 0.3;
    private const double LikeS = 0.2;
    private const double ReferenceShare = 0.5;         // of ln(rise): lower than for the level as a whole, since what shakes everything is taken off
    private const double CalledShare = 0.65;
    private const double LeastEvidenceS = 0.08;        // natural log times seconds
    private const double LeastLift = 0.21;             // of the healthy level's power: 10 % of the level
    private const double StandsShare = 0.5;

    private readonly double _rise;
    private readonly double _reach;
    private readonly VibrationOptions _options;
    private readonly double[] _centreHz;
    private readonly int[] _firstBin;
    private readonly float[][] _weights;
    private readonly LevelModel[] _models;
    private readonly RiseEvidence[] _zones;
    private readonly RiseEvidence[] _all;
    private readonly double[] _power;
    private readonly double[] _rises;
    private readonly double[] _sorted;
    private readonly LevelModel.Healthy[] _healthy;
    private readonly DecisionLimits _decisions;
    private LogTime _last;
    private double _runningS;
    private double _usualCommon;
    private int _raised = -1;
    private int _raisedZone;

    /// <param name="rateHz">Samples a second.</param>
    /// <param name="segment">Samples a segment of the spectrum.</param>
    /// <param name="options">Thresholds.</param>
    public NarrowWatch(double rateHz, int segment, VibrationOptions options)
    {
        _options = options;
        _rise = Math.Log(options.RiseRatio);
        _reach = options.RiseRatio * options.RiseRatio;
        double binHz = rateHz / segment;
        var centres = new List<double>();
        for (double hz = LowestHz + (LeastWideBins * binHz); hz + Wide(hz) < Math.Min(HighestHz, 0.5 * rateHz); hz += 0.5 * Wide(hz)) centres.Add(hz);
        _centreHz = [.. centres];
        int count = _centreHz.Length;
        _firstBin = new int[count];
        _weights = new float[count][];
        _models = new LevelModel[count];
        for (int band = 0; band < count; band++)
        {
            double hz = _centreHz[band], wide = Wide(hz);
            int first = (int)Math.Ceiling((hz - wide) / binHz), last = (int)Math.Floor((hz + wide) / binHz);
            _firstBin[band] = first;
            _weights[band] = [.. Enumerable.Range(first, last - first + 1).Select(bin => (float)(1 - (Math.Abs((bin * binHz) - hz) / wide)))];
            _models[band] = new LevelModel([], MostReadings);
        }
        _zones = new RiseEvidence[count * Zones];
        _all = new RiseEvidence[count];
        _power = new double[count];
        _rises = new double[count];
        _sorted = new double[count];
        _healthy = new LevelModel.Healthy[count];
        _decisions = new DecisionLimits(options.FalseCallHours * 3600 / LikeS * Math.Max(1, count));

        double Wide(double hz) => Math.Max(hz * (Math.Pow(2, WideOctaves) - 1), LeastWideBins * binHz);
    }

    /// <summary>True while the band that was called last still shows its rise.</summary>
    public bool Stands => _raised >= 0 && (_raisedZone < 0 ? _all[_raised].Mean : _zones[(_raised * Zones) + _raisedZone].Mean) >= StandsShare * _rise;

    /// <summary>True when the last spectrum is of a shock, such as a kerb: all bands have risen at once against the seconds before.</summary>
    public bool IsShock { get; private set; }

    /// <summary>Takes a spectrum; true when a band has risen.</summary>
    /// <param name="power">Mean square a bin, g², summed over the spectra.</param>
    /// <param name="spectra">How many.</param>
    /// <param name="at">When.</param>
    /// <param name="speedRpm">Engine speed, or NaN.</param>
    /// <param name="rpmPerS">How fast it moves.</param>
    /// <param name="rise">The band that rose most.</param>
    public bool Take(ReadOnlySpan<float> power, int spectra, LogTime at, double speedRpm, double rpmPerS, out NarrowRise rise)
    {
        rise = default;
        IsShock = false;
        double step = Math.Clamp(at.SecondsSince(_last), 0, LongestStepS);
        _last = at;
        if (!(speedRpm >= _options.AboveRpm && Math.Abs(rpmPerS) <= FastestRpmPerS) || _centreHz.Length == 0) return false;
        bool underPower = rpmPerS >= OverrunRpmPerS;
        _runningS += step;
        bool early = _runningS <= _options.LearnS;
        double total = 0;                              // of the healthy level: each line lies in two bands that overlap by half
        int known = 0;
        for (int band = 0; band < _centreHz.Length; band++)
        {
            double sum = 0;
            ReadOnlySpan<float> weights = _weights[band];
            ReadOnlySpan<float> bins = power.Slice(_firstBin[band], weights.Length);
            for (int i = 0; i < weights.Length; i++) sum += weights[i] * bins[i];
            sum = Math.Max(sum / spectra, 1e-20);
            double log = 0.5 * Math.Log(sum);
            LevelModel.Healthy healthy = _models[band].At(speedRpm, underPower);
            _models[band].Learn(at, speedRpm, underPower, log, early);
            _healthy[band] = healthy;
            _power[band] = sum;
            if (!healthy.IsKnown)
            {
                _rises[band] = double.NaN;
                continue;
            }
            _rises[band] = log - healthy.Log;
            _sorted[known++] = _rises[band];
            total += Math.Exp(2 * healthy.Log);
        }
        if (2 * known < _centreHz.Length) return false;
        Span<double> sorted = _sorted.AsSpan(0, known);
        double common = Math.Max(0, Pressure.Robust.Quantile(sorted, 0.5) - CommonNoise);
        IsShock = common - _usualCommon > ShockOver;
        _usualCommon += (Math.Min(common, _usualCommon + ShockOver) - _usualCommon) * (1 - Math.Exp(-step / UsualS));
        if (common > MostCommon) return false;
        double speedError = SpeedErrorRpm + (SpeedErrorS * Math.Abs(rpmPerS));
        int most = -1;
        int zone = Math.Clamp((int)(speedRpm / ZoneRpm), 0, Zones - 1);
        for (int band = 0; band < _centreHz.Length; band++)
        {
            if (!double.IsFinite(_rises[band])) continue;
            ref readonly LevelModel.Healthy healthy = ref _healthy[band];
            double was = Math.Exp(2 * healthy.Log);
            ref RiseEvidence here = ref _zones[(band * Zones) + zone];
            bool matters = (_reach - 1) * was >= LeastLift * total;
            if (!matters && here.Sum == 0 && _power[band] - was < LeastLift * total) continue;
            double counted = Math.Clamp(_rises[band] - common - (0.5 * healthy.Error) - (healthy.PerRpm * speedError), -1, 2 * _rise);
            double reference = Math.Max(ReferenceShare * _rise, healthy.Spread);
            double decision = Math.Max(LeastEvidenceS, _decisions.At(reference, healthy.Spread) * healthy.Spread * LikeS);
            here.Add(at, counted, reference, step, fromFirst: true);
            _all[band].Add(at, counted, reference, step, fromFirst: true);
            if (!Risen(in here, decision) && !Risen(in _all[band], decision)) continue;
            if (most < 0 || _rises[band] > _rises[most]) most = band;
        }
        if (most < 0) return false;
        _raised = most;
        _raisedZone = Risen(in _all[most], 0) ? -1 : zone;
        ref readonly RiseEvidence called = ref (_raisedZone < 0 ? ref _all[most] : ref _zones[(most * Zones) + zone]);
        rise = new NarrowRise(_centreHz[most], Math.Exp(called.Mean), called.Since, speedRpm);
        return true;
    }

    private bool Risen(in RiseEvidence evidence, double decision) =>
        evidence.Sum >= decision && evidence.Sum > 0 && evidence.Mean >= CalledShare * _rise
        && evidence.AboveS >= _options.LeastAboveS * (evidence.Passes switch { >= 3 => 0.2, 2 => 0.3, _ => 1 });
}
