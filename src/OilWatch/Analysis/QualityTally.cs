using System.Collections.Immutable;
using OilWatch.Channels;
using OilWatch.Detectors;
using OilWatch.Frames;
using OilWatch.Results;

namespace OilWatch.Analysis;

/// <summary>Adds up how good each used channel was.</summary>
internal sealed class QualityTally
{
    private const double HoldS = 1;
    private readonly double[] _min = new double[Roles.Count];
    private readonly double[] _max = new double[Roles.Count];
    private readonly double[] _maskedS = new double[Roles.Count];
    private LogTime _last;
    private bool _begun;

    public QualityTally()
    {
        Array.Fill(_min, double.PositiveInfinity);
        Array.Fill(_max, double.NegativeInfinity);
    }

    /// <summary>First instant seen.</summary>
    public LogTime? First { get; private set; }

    /// <summary>Last instant seen.</summary>
    public LogTime? Last => _begun ? _last : null;

    /// <summary>Takes a frame that the guard has seen.</summary>
    public void Step(in EngineFrame frame)
    {
        double step = _begun ? Math.Min(frame.At.SecondsSince(_last), HoldS) : 0;
        First ??= frame.At;
        _last = frame.At;
        _begun = true;
        for (int i = 0; i < Roles.Count; i++)
        {
            if ((frame.Masked & (1u << i)) != 0) _maskedS[i] += step;
            double value = frame[(Role)i];
            if (!double.IsFinite(value)) continue;
            if (value < _min[i]) _min[i] = value;
            if (value > _max[i]) _max[i] = value;
        }
    }

    /// <summary>The rows for the channels of a plan.</summary>
    public ImmutableArray<ChannelQuality> Rows(ChannelPlan plan, FrameAligner aligner, SensorGuard guard)
    {
        double runS = _begun && First is { } first ? _last.SecondsSince(first) : 0;
        return
        [
            .. plan.Choices.Select(choice =>
            {
                int i = (int)choice.Role;
                double interval = aligner.IntervalS(choice.Role);
                double lostS = _maskedS[i] + aligner.GapS(choice.Role);
                long samples = aligner.Samples(choice.Role);
                return new ChannelQuality
                {
                    Role = choice.Role,
                    Source = choice.Channel.Name,
                    RateHz = interval > 0 ? 1 / interval : null,
                    Samples = samples,
                    Min = double.IsFinite(_min[i]) ? _min[i] : null,
                    Max = double.IsFinite(_max[i]) ? _max[i] : null,
                    GapS = aligner.GapS(choice.Role),
                    MaskedS = _maskedS[i],
                    SpikesRemoved = guard.WildReadings(choice.Role),
                    Quality = samples == 0 || lostS > 0.2 * runS ? "bad" : lostS > Math.Max(1, 0.01 * runS) || guard.Faults(choice.Role) > 0 ? "suspect" : "good",
                };
            }),
        ];
    }
}
