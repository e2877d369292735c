using System.Collections.Immutable;
using OilWatch.Cars;

namespace OilWatch.Vibration;

/// <summary>Analyses one axis of a raw vibration waveform as it comes: spectra, orders, a map over engine speed, resonances, rises of watched bands.</summary>
/// <remarks>
/// Memory does not grow with the length of the waveform. Axes are independent: one analyser each, on as many threads as wanted, gives the same result.
/// Where the samples come from does not matter: a WAVE file (<see cref="Reading.WaveReader"/>), columns of a table, a stream.
/// </remarks>
public sealed class WaveAnalyser
{
    private const float LargestG = 1e6f;
    private const double LowestHz = 10;                // below it an accelerometer on an engine shows the car and its own drift
    private const double VelocityFromHz = 10;
    private const double VelocityToHz = 1000;
    private const double WholeShare = 0.4;             // of its rate: up to here a step of the ladder is flat
    private const double FastSegmentS = 0.16;          // 6.25 Hz a bin: short enough that engine speed hardly moves in it
    private const double SlowSegmentS = 1.28;          // 0.8 Hz a bin: fine enough for the lower edge of velocity, 10 Hz

    private readonly int _axis;
    private readonly double _rateHz;
    private readonly LogTime _start;
    private readonly SpeedTrack _speed;
    private readonly ImmutableArray<NamedOrder> _named;
    private readonly RateLadder _ladder;
    private readonly OrderTracker _orders;
    private readonly OrderTable _table = new();
    private readonly WelchAccumulator _welch;
    private readonly WelchAccumulator _slowWelch;
    private readonly int _slowStep;
    private readonly LevelMap _map;
    private readonly LevelHistory _history = new();
    private readonly NarrowWatch _narrow;
    private readonly List<WatchedBand> _bands = [];
    private readonly List<VibrationChange> _changes = [];
    private readonly float[] _clean = new float[RateLadder.MostAdded];
    private readonly double _velocityToHz;
    private long _slowTaken;
    private float _held;
    private int _nearSpeed;
    private long _samples;
    private long _notNumbers;
    private bool _finished;

    /// <summary>Begins an axis.</summary>
    /// <param name="axis">Its number for people, counted from 1.</param>
    /// <param name="rateHz">Samples a second, 100 to 10,000,000.</param>
    /// <param name="start">Log time of the first sample.</param>
    /// <param name="speed">Engine speed of the log. It must already reach as far as the samples that are added; where it does not, orders are not tracked.</param>
    /// <param name="options">How; the defaults when null.</param>
    /// <exception cref="ArgumentException">An argument or an option is out of range; the message says which.</exception>
    public WaveAnalyser(int axis, double rateHz, LogTime start, SpeedTrack speed, WaveOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(speed);
        options ??= WaveOptions.Default;
        if (options.Problems().ToList() is { Count: > 0 } problems)
            throw new ArgumentException(string.Join("; ", problems), nameof(options));
        if (!(rateHz is >= 100 and <= 10_000_000))
            throw new ArgumentOutOfRangeException(nameof(rateHz), rateHz, "the rate must be 100 to 10000000 Hz");
        _axis = axis;
        _rateHz = rateHz;
        _start = start;
        _speed = speed;
        _named = EngineOrders.Named(options.Car.Cylinders, options.Car.Crank);
        _ladder = new RateLadder(rateHz);
        _orders = new OrderTracker(_ladder, speed, start.Nanoseconds, TakeOrders);
        int segment = options.Segment ?? SegmentFor(rateHz * FastSegmentS);
        _welch = new WelchAccumulator(rateHz, segment, 0, TakeSpectrum);
        while (_slowStep + 1 < _ladder.Count && WholeShare * rateHz / (2 << _slowStep) >= VelocityToHz) _slowStep++;
        _slowTaken = RateLadder.FirstOf(_slowStep);
        double slowHz = rateHz / (1 << _slowStep);
        _slowWelch = new WelchAccumulator(slowHz, SegmentFor(slowHz * SlowSegmentS), _slowTaken);
        _velocityToHz = Math.Min(VelocityToHz, (_slowStep == 0 ? 0.5 : WholeShare) * slowHz);
        _map = new LevelMap(rateHz, segment);
        _narrow = new NarrowWatch(rateHz, segment, options.Rise);
        AddBands(options);
    }

    /// <summary>Changes so far, in the order in which they were known.</summary>
    public IReadOnlyList<VibrationChange> Changes => _changes;

    /// <summary>The latest level; <see cref="LevelPoint.RmsG"/> is NaN before there is any.</summary>
    internal LevelPoint Latest { get; private set; } = new(default, double.NaN, double.NaN);

    /// <summary>Takes the next samples.</summary>
    /// <param name="samples">Acceleration, g, evenly spaced.</param>
    /// <exception cref="InvalidOperationException">The waveform has been finished.</exception>
    public void Add(ReadOnlySpan<float> samples)
    {
        if (_finished) throw new InvalidOperationException("the waveform has been finished; begin another analyser");
        while (!samples.IsEmpty)
        {
            int count = Math.Min(samples.Length, RateLadder.MostAdded);
            ReadOnlySpan<float> block = Clean(samples[..count]);
            samples = samples[count..];
            _samples += count;
            _ladder.Add(block);
            _orders.Advance();
            SampleBuffer slow = _ladder[_slowStep];
            if (slow.End > _slowTaken)
            {
                _slowWelch.Add(slow.From(_slowTaken));
                _slowTaken = slow.End;
            }
            _welch.Add(block);
        }
    }

    /// <summary>The waveform is over.</summary>
    public WaveAnalysis Finish()
    {
        _finished = true;
        _orders.Finish();
        SpectralDensity? density = _welch.Finish();
        SpectralDensity? slow = _slowWelch.Finish();
        foreach (WatchedBand band in _bands)
            if (band.State.Finish(out VibrationChange change)) _changes.Add(change);
        return new WaveAnalysis
        {
            Axis = _axis,
            Samples = _samples,
            NotNumbers = _notNumbers,
            Density = density,
            RmsG = density?.BandRmsG(LowestHz, _rateHz),
            VelocityRmsMmS = slow?.VelocityRmsMmS(VelocityFromHz, _velocityToHz),
            VelocityToHz = _velocityToHz,
            Orders = _table.Levels(_named),
            OrderPeaks = _table.Peaks(),
            OrderTable = _table,
            Map = _map,
            Resonances = ResonanceFinder.Find(_table, _named),
            Levels = _history.Points(),
            Bands = [.. _bands.Where(band => band.Name.Length > 0).Select(band => (band.Name, band.RmsG))],
            Changes = [.. _changes],
            Healthy = _bands.ToImmutableDictionary(band => band.Name, band => band.State.Healthy(), StringComparer.Ordinal),
        };
    }

    /// <summary>The power of two that is nearest from above, 256 to 65536.</summary>
    private static int SegmentFor(double samples) =>
        (int)System.Numerics.BitOperations.RoundUpToPowerOf2((uint)Math.Ceiling(Math.Clamp(samples - 1e-6, 256, 65_536)));

    private void AddBands(WaveOptions options)
    {
        Watch("", null, LowestHz, _rateHz, BandKind.Frequency);
        foreach (Band band in options.Car.Bands)
            if (band.Kind != BandKind.EngineSpeed && !_bands.Exists(known => string.Equals(known.Name, band.Name, StringComparison.Ordinal))) Watch(band.Name, band.Name, band.From, band.To, band.Kind);

        void Watch(string name, string? shown, double from, double to, BandKind kind)
        {
            ImmutableArray<HealthyLevel> baseline = options.Baselines.GetValueOrDefault(name, []);
            _bands.Add(new WatchedBand(name, from, to, kind, new VibrationGrowthState(options.Rise, baseline, shown, aligned: true)));
        }
    }

    private ReadOnlySpan<float> Clean(ReadOnlySpan<float> samples)
    {
        Span<float> clean = _clean.AsSpan(0, samples.Length);
        for (int i = 0; i < clean.Length; i++)
        {
            float sample = samples[i];
            // Written so that NaN fails it too.
            if (!(Math.Abs(sample) <= LargestG))
            {
                sample = _held;
                _notNumbers++;
            }
            _held = clean[i] = sample;
        }
        return clean;
    }

    private void TakeSpectrum(ReadOnlySpan<float> power, int segments, long first, int length)
    {
        double middle = (first + (0.5 * length)) / _rateHz;
        long beginNs = _start.Nanoseconds + (long)(first / _rateHz * 1e9);
        long endNs = beginNs + (long)(length / _rateHz * 1e9);
        double begins = _speed.At(beginNs, ref _nearSpeed);
        double mid = _speed.At((beginNs + endNs) / 2, ref _nearSpeed);
        double ends = _speed.At(endNs, ref _nearSpeed);
        double speed = 0.25 * (begins + (2 * mid) + ends);
        double span = Math.Max(begins, Math.Max(mid, ends)) - Math.Min(begins, Math.Min(mid, ends));
        _map.Add(power, segments, speed, span);
        LogTime at = _start.AddSeconds(middle);
        bool rose = _narrow.Take(power, segments, at, speed, (ends - begins) / (length / _rateHz), out NarrowRise narrow);
        _bands[0].State.NarrowStands = _narrow.Stands;
        // A shock says nothing of the engine: neither evidence for a rise nor against.
        TakeBands(power, segments, _rateHz / _welch.Segment, at, new LogTime(endNs), _narrow.IsShock ? double.NaN : speed, BandKind.Frequency);
        if (rose && _bands[0].State.Narrow(in narrow, new LogTime(endNs), out VibrationChange change)) _changes.Add(change);
        double square = 0;
        for (int bin = Math.Max(1, (int)Math.Ceiling(LowestHz * _welch.Segment / _rateHz)); bin < power.Length; bin++) square += power[bin];
        Latest = new LevelPoint(at, speed, Math.Sqrt(square / segments));
        _history.Add(Latest);
    }

    private void TakeOrders(ReadOnlySpan<float> power, in OrderWindow window)
    {
        _table.Add(power, in window);
        TakeBands(power, window.Windows, 1.0 / OrderTracker.Revolutions, window.At, window.End, window.SpeedRpm, BandKind.Order);
    }

    private void TakeBands(ReadOnlySpan<float> power, int spectra, double binWidth, LogTime at, LogTime known, double speedRpm, BandKind kind)
    {
        foreach (WatchedBand band in _bands)
        {
            if (band.Kind != kind || !band.Take(power, spectra, binWidth, at, known, speedRpm, out VibrationChange change)) continue;
            _changes.Add(change);
        }
    }
}
