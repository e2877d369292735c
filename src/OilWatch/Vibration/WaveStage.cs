using System.Collections.Immutable;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Results;
using OilWatch.Results.Traces;

namespace OilWatch.Vibration;

/// <summary>The station that pulls a waveform along with the frames: each sample is analysed as soon as engine speed is known for it, and not before.</summary>
/// <remarks>What the waveform holds from before the log's first frame and after its last is left out: nothing is known of the engine then.</remarks>
internal sealed class WaveStage
{
    private const double LeastPulledS = 0.02;
    private const double LevelHoldS = 1;
    private const double RunningRpm = 400;
    private const int BlockSamples = 4096;
    private readonly WaveInput _input;
    private readonly WaveOptions _options;
    private readonly SpeedTrack _speed = new();
    private readonly WaveAnalyser[] _axes;
    private readonly int[] _given;
    private readonly float[] _block;
    private readonly float[] _one;
    private readonly Queue<VibrationChange> _changes = new();
    private LogTime _start;
    private LogTime _last;
    private LogTime _levelAt;
    private double _level = double.NaN;
    private long _taken;
    private bool _begun;
    private bool _over;
    private bool _isNewLevel;

    /// <param name="input">The waveform.</param>
    /// <param name="options">The car and every threshold.</param>
    public WaveStage(WaveInput input, AnalysisOptions options)
    {
        _input = input;
        _options = new WaveOptions { Car = options.Car, Rise = options.Vibration };
        _axes = new WaveAnalyser[input.Axes];
        _given = new int[input.Axes];
        _block = new float[BlockSamples * input.Axes];
        _one = new float[BlockSamples];
    }

    /// <summary>Takes a frame, and gives it the level of the strongest axis.</summary>
    public void Step(ref EngineFrame frame)
    {
        if (!_begun) Begin(frame.At);
        _last = frame.At;
        _speed.Add(frame.At, frame.SpeedRpm);
        // Where engine speed is missing for longer than it is drawn through, the waveform goes on without it.
        long known = frame.At.Nanoseconds - OrderTracker.LongestGapNs;
        Pull(Math.Max(known, _speed.Last?.Nanoseconds ?? long.MinValue), (long)(LeastPulledS * _input.RateHz));
        frame[Role.Vibration] = frame.At.SecondsSince(_levelAt) <= LevelHoldS ? _level : double.NaN;
        if (_isNewLevel) frame.Fresh |= 1u << (int)Role.Vibration;
        _isNewLevel = false;
    }

    /// <summary>Takes the next change, oldest first.</summary>
    public bool TryTake(out VibrationChange change) => _changes.TryDequeue(out change);

    /// <summary>The log is over.</summary>
    public void Finish()
    {
        if (!_begun || _taken == 0) return;
        Pull(_last.Nanoseconds, 1);
        for (int axis = 0; axis < _axes.Length; axis++)
        {
            Analyses = Analyses.Add(_axes[axis].Finish());
            Forward(axis);
        }
    }

    /// <summary>What each axis showed, once the log is over; empty when the waveform and the log have no time in common.</summary>
    public ImmutableArray<WaveAnalysis> Analyses { get; private set; } = [];

    /// <summary>The waveform in the results, or null when it has no time in common with the log.</summary>
    public WaveSummary? Summary() => Analyses.IsEmpty ? null : new WaveSummary
    {
        Source = _input.Name,
        FormatName = _input.FormatName,
        RateHz = _input.RateHz,
        Start = _start,
        End = _start.AddSeconds(_taken / _input.RateHz),
        Axes = Analyses,
        Problems = _input.Problems,
    };

    /// <summary>The map of the strongest axis for the report, or null.</summary>
    public VibrationMap? Map()
    {
        WaveAnalysis? strongest = Analyses.MaxBy(axis => axis.RmsG ?? 0);
        return strongest?.Map.Trace([.. EngineOrders.Named(_options.Car.Cylinders, _options.Car.Crank).Select(named => named.Order)]);
    }

    /// <summary>A sentence when the waveform could not be used, or null.</summary>
    public string? Note() => !Analyses.IsEmpty ? null : FormattableString.Invariant(
        $"The waveform {_input.Name} was not judged: it begins at {_input.Start.Seconds:0.###} s and has no time in common with the log, which ends at {_last.Seconds:0.###} s; set start_s in [channels.vibration].");

    private void Begin(LogTime at)
    {
        _begun = true;
        long skip = (long)Math.Ceiling(Math.Max(0, at.SecondsSince(_input.Start)) * _input.RateHz);
        long skipped = 0;
        while (skipped < skip)
        {
            int read = _input.Read(_block.AsSpan(0, (int)Math.Min(skip - skipped, BlockSamples) * _axes.Length));
            if (read == 0)
            {
                _over = true;
                break;
            }
            skipped += read;
        }
        _start = _levelAt = _input.Start.AddSeconds(skipped / _input.RateHz);
        for (int axis = 0; axis < _axes.Length; axis++) _axes[axis] = new WaveAnalyser(axis + 1, _input.RateHz, _start, _speed, _options);
    }

    /// <summary>Reads up to an instant, unless that is fewer samples than are worth it.</summary>
    private void Pull(long untilNs, long least)
    {
        if (_over || untilNs <= _start.Nanoseconds) return;
        long wanted = (long)((untilNs - _start.Nanoseconds) / 1e9 * _input.RateHz) - _taken;
        if (wanted < Math.Max(least, 1)) return;
        while (wanted > 0)
        {
            int read = _input.Read(_block.AsSpan(0, (int)Math.Min(wanted, BlockSamples) * _axes.Length));
            if (read == 0)
            {
                _over = true;
                return;
            }
            Give(read);
            wanted -= read;
            _taken += read;
        }
        Level();
    }

    private void Give(int count)
    {
        int axes = _axes.Length;
        for (int axis = 0; axis < axes; axis++)
        {
            ReadOnlySpan<float> samples = _block.AsSpan(0, count);
            if (axes > 1)
            {
                for (int i = 0; i < count; i++) _one[i] = _block[(i * axes) + axis];
                samples = _one.AsSpan(0, count);
            }
            _axes[axis].Add(samples);
            Forward(axis);
        }
    }

    private void Level()
    {
        double most = double.NaN;
        foreach (WaveAnalyser axis in _axes)
            if (!(axis.Latest.RmsG <= most)) most = axis.Latest.RmsG;
        if (!double.IsFinite(most)) return;
        LogTime at = _axes[0].Latest.At;
        if (at <= _levelAt) return;
        _level = _axes[0].Latest.SpeedRpm > RunningRpm ? most : double.NaN;
        _levelAt = at;
        _isNewLevel = true;
    }

    private void Forward(int axis)
    {
        IReadOnlyList<VibrationChange> all = _axes[axis].Changes;
        while (_given[axis] < all.Count)
        {
            VibrationChange change = all[_given[axis]++];
            if (_axes.Length > 1)
            {
                string name = FormattableString.Invariant($"axis {axis + 1}");
                change = change with { Rise = change.Rise with { Band = change.Rise.Band is { } band ? $"{band}, {name}" : name } };
            }
            _changes.Enqueue(change);
        }
    }
}
