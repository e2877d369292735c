namespace OilWatch.Vibration;

/// <summary>A waveform at its own rate and at halves of it, each delay taken out: sample i of step s lies at i · 2ˢ / rate.</summary>
internal sealed class RateLadder
{
    /// <summary>How many rates there are at most.</summary>
    public const int MostSteps = 8;

    /// <summary>The most samples that may be added at once.</summary>
    public const int MostAdded = 8192;

    private const double SlowestHz = 200;
    private readonly SampleBuffer[] _steps;
    private readonly HalfBand[] _halvers;
    private readonly int[] _kept;

    public RateLadder(double rateHz)
    {
        RateHz = rateHz;
        int steps = 1;
        while (steps < MostSteps && rateHz / (1 << steps) >= SlowestHz) steps++;
        _steps = new SampleBuffer[steps];
        _halvers = new HalfBand[steps];
        _kept = new int[steps];
        for (int step = 0; step < steps; step++)
        {
            // The slowest step comes last by its filters' delays; the faster ones wait for it.
            _kept[step] = 64 + (((1 << (steps - 1)) * 64) >> step);
            int added = (MostAdded >> step) + 2;
            _steps[step] = new SampleBuffer(_kept[step] + added);
            _halvers[step] = new HalfBand(added);
        }
    }

    public double RateHz { get; }

    /// <summary>How many rates there are.</summary>
    public int Count => _steps.Length;

    public SampleBuffer this[int step] => _steps[step];

    /// <summary>Index of the first sample that a step will ever have.</summary>
    public static long FirstOf(int step)
    {
        long first = 0;
        for (int i = 0; i < step; i++) first = (first + HalfBand.Reach + 1) / 2;
        return first;
    }

    /// <summary>Adds at most <see cref="MostAdded"/> samples; what is older than the reach of the slowest step is forgotten.</summary>
    public void Add(ReadOnlySpan<float> samples)
    {
        for (int step = 0; step < _steps.Length; step++) _steps[step].KeepLast(_kept[step]);
        samples.CopyTo(_steps[0].Grow(samples.Length));
        for (int step = 1; step < _steps.Length; step++)
        {
            SampleBuffer from = _steps[step - 1];
            SampleBuffer to = _steps[step];
            if (to.Count == 0) to.BeginAt(FirstOf(step));
            long next = to.End;
            // The last output needs input 2m + Reach.
            long last = (from.End - 1 - HalfBand.Reach) >> 1;
            int count = (int)(last - next + 1);
            if (count <= 0) return;
            _halvers[step].Run(from.From((2 * next) - HalfBand.Reach), to.Grow(count));
        }
    }
}
