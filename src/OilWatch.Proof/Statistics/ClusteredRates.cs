using MathNet.Numerics.Distributions;

namespace OilWatch.Proof.Statistics;

/// <summary>Two event rates over strata, with limits that know that laps and sessions hang together.</summary>
/// <remarks>
/// <para>Four things are put together. (1) Within a stratum the share of events has the beta distribution that belongs to its counts (Jeffreys' limits; L. D. Brown, T. T. Cai,
/// A. DasGupta, Statist. Sci. 16 (2001) 101), one half pseudo-event shared out over the strata of a group, a whole one where a group saw no event, which makes the upper limit Garwood's. (2)
/// Passes of one lap hang together: counts are divided by the lap's design effect, estimated from products of residuals. (3) Sessions differ: their scatter on the log odds is
/// weighed on a grid by how well it explains the sessions seen (score of each session against its group, DerSimonian and Laird's statistic), times what is expected
/// beforehand (scaled inverse χ²), because two sessions alone cannot tell. (4) Rates are standardised with Mantel-Haenszel weights and their ratio taken draw by draw.</para>
/// <para>The share of draws beyond 1 gives the p-value, so that p below 0.05 and limits without 1 are the same thing. Coverage is measured in docs/proof.md.</para>
/// </remarks>
public sealed class ClusteredRates
{
    private const int GridPoints = 40;
    private const int FewestOwn = 4;

    private readonly ClusteredRatesOptions _options;
    private readonly int _strata;
    private readonly double[][] _trials;          // [group][stratum]
    private readonly double[][] _events;
    private readonly double[] _weights;           // Mantel-Haenszel, by stratum
    private readonly Cell[][] _cells;             // [group], what is drawn
    private readonly double[] _sessionsWorth = new double[2];
    private readonly double[] _grid;
    private readonly double[] _gridCumulative;

    /// <summary>Estimates both rates.</summary>
    /// <param name="trials">Trials; strata without trials in both groups are refused.</param>
    /// <param name="options">Null for the defaults.</param>
    /// <exception cref="ArgumentException">A stratum that only one group has, no trials, or bad options.</exception>
    public ClusteredRates(IReadOnlyList<ClusteredTrial> trials, ClusteredRatesOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(trials);
        _options = options ?? ClusteredRatesOptions.Default;
        if (_options.Problems().ToList() is { Count: > 0 } problems) throw new ArgumentException(string.Join("; ", problems), nameof(options));
        if (trials.Count == 0) throw new ArgumentException("There is at least one trial in each group.", nameof(trials));

        _strata = trials.Max(t => t.Stratum) + 1;
        _trials = [new double[_strata], new double[_strata]];
        _events = [new double[_strata], new double[_strata]];
        foreach (ClusteredTrial t in trials)
        {
            _trials[t.Group][t.Stratum]++;
            if (t.Event) _events[t.Group][t.Stratum]++;
        }
        _weights = new double[_strata];
        for (int h = 0; h < _strata; h++)
        {
            if (_trials[0][h] == 0 != (_trials[1][h] == 0)) throw new ArgumentException("Every stratum has trials in both groups.", nameof(trials));
            double all = _trials[0][h] + _trials[1][h];
            _weights[h] = all > 0 ? _trials[0][h] * _trials[1][h] / all : 0;
        }

        LapDesignEffect = LapEffect(trials);
        _cells = [Cells(0), Cells(1)];
        _grid = Grid(_options);
        _gridCumulative = Cumulative(SessionEvidence(trials));
        for (int g = 0; g < 2; g++) _sessionsWorth[g] = SessionsWorth(trials.Where(t => t.Group == g));
        Estimate();
    }

    /// <summary>How much more a lap's total varies than independent passes would; 1 or more.</summary>
    public double LapDesignEffect { get; }

    /// <summary>Median of the scatter between sessions after seeing the data, standard deviation of the log odds.</summary>
    public double SessionScatter { get; private set; }

    /// <summary>Limits of each group's rate over its own mix of strata: 0 before, 1 after. Shares, 0 to 1.</summary>
    public Limits[] RateLimits { get; } = new Limits[2];

    /// <summary>Variance of each group's rate against that of as many independent trials with the same mean; below 1 where strata explain much.</summary>
    public double[] DesignEffects { get; } = new double[2];

    /// <summary>Mantel-Haenszel standardised rates: 0 before, 1 after. Shares.</summary>
    public double[] StandardRates { get; } = new double[2];

    /// <summary>After over before, standardised; infinite when before had no event, NaN when neither had.</summary>
    public double Ratio { get; private set; }

    /// <summary>95 % limits of <see cref="Ratio"/>.</summary>
    public Limits RatioLimits { get; private set; }

    /// <summary>Two-sided p for equal rates.</summary>
    public double PValue { get; private set; }

    /// <summary>95 % one-sided upper limit of the after rate over its own mix, a share.</summary>
    public double AfterUpperBound { get; private set; }

    /// <summary>Before's rate over after's mix of strata, a share.</summary>
    public double BeforeRateAtAfterMix { get; private set; }

    /// <summary>Mantel-Haenszel weight of each stratum.</summary>
    internal IReadOnlyList<double> Weights => _weights;

    /// <summary>95 % one-sided upper limit of a rate from so many sessions without any event, times their exposures: 2.996 for independent trials, more under clustering.</summary>
    /// <param name="sessions">How many sessions, 1 or more.</param>
    public double ZeroEventNumerator(double sessions)
    {
        var random = new SeededRandom(_options.Seed ^ 0x5EED);
        var draws = new double[_options.Draws];
        for (int i = 0; i < draws.Length; i++)
            draws[i] = random.NextGamma(1) * Math.Exp(-random.NextNormal() * DrawScatter(random) / Math.Sqrt(sessions));
        Array.Sort(draws);
        return LapDesignEffect * Bca.Quantile(draws, 0.95);
    }

    private void Estimate()
    {
        var random = new SeededRandom(_options.Seed);
        int n = _options.Draws;
        double[][] own = [new double[n], new double[n]], standard = [new double[n], new double[n]];
        var bound = new double[n];
        for (int i = 0; i < n; i++)
        {
            double scatter = DrawScatter(random);
            for (int g = 0; g < 2; g++)
            {
                double shift = random.NextNormal() * scatter / Math.Sqrt(_sessionsWorth[g]);
                bool none = _events[g].Sum() == 0, all = _events[g].Sum() == _trials[g].Sum();
                (own[g][i], standard[g][i]) = DrawRates(random, g, shift, none ? 1 : 0.5, all ? 1 : 0.5);
                if (g == 1) bound[i] = none ? own[1][i] : DrawRates(random, 1, shift, 1, 0.5).Own;
            }
        }

        for (int g = 0; g < 2; g++)
        {
            double x = _events[g].Sum(), t = _trials[g].Sum(), rate = x / t;
            double[] sorted = [.. own[g].Order()];
            RateLimits[g] = new(x == 0 ? 0 : Bca.Quantile(sorted, 0.025), x == t ? 1 : Bca.Quantile(sorted, 0.975));
            double mean = own[g].Average();
            DesignEffects[g] = own[g].Sum(r => (r - mean) * (r - mean)) / n * t / (mean * (1 - mean));
            StandardRates[g] = Standardised(g, _weights);
        }
        Array.Sort(bound);
        AfterUpperBound = _events[1].Sum() == _trials[1].Sum() ? 1 : Bca.Quantile(bound, 0.95);
        BeforeRateAtAfterMix = Standardised(0, _trials[1]);
        SessionScatter = _grid[Array.FindIndex(_gridCumulative, c => c >= 0.5)];
        Compare(standard);
    }

    private void Compare(double[][] draws)
    {
        bool before = _events[0].Sum() > 0, after = _events[1].Sum() > 0;
        if (!before && !after)
        {
            (Ratio, RatioLimits, PValue) = (double.NaN, new(0, double.PositiveInfinity), 1);
            return;
        }
        double[] ratios = [.. draws[1].Zip(draws[0], (a, b) => b > 0 ? a / b : double.PositiveInfinity).Order()];
        double above = ratios.Count(r => r >= 1), below = ratios.Count(r => r <= 1);
        Ratio = before ? StandardRates[1] / StandardRates[0] : double.PositiveInfinity;
        RatioLimits = new(after ? Bca.Quantile(ratios, 0.025) : 0, before ? Bca.Quantile(ratios, 0.975) : double.PositiveInfinity);
        PValue = Math.Min(1, 2 * (Math.Min(above, below) + 1) / (ratios.Length + 1));
    }

    private (double Own, double Standard) DrawRates(SeededRandom random, int g, double shift, double pseudoEvents, double pseudoClears)
    {
        double ease = Math.Exp(-shift), own = 0, standard = 0;
        foreach (Cell cell in _cells[g])
        {
            double hit = random.NextGamma((cell.Events * cell.Worth) + (pseudoEvents * cell.ShareOfClears));
            double miss = random.NextGamma((cell.Clears * cell.Worth) + (pseudoClears * cell.ShareOfEvents));
            double share = hit > 0 ? hit * ease / ((hit * ease) + miss) : 0;
            own += share * (cell.Events + cell.Clears);
            standard += share * cell.Weight;
        }
        return (own / _trials[g].Sum(), standard / _weights.Sum());
    }

    /// <summary>The strata of a group as they are drawn: those with few trials as one, because they cannot show their own scatter.</summary>
    private Cell[] Cells(int g)
    {
        double[] trials = _trials[g], events = _events[g];
        double allEvents = events.Sum(), allClears = trials.Sum() - allEvents;
        int[] used = [.. Enumerable.Range(0, _strata).Where(h => trials[h] > 0)];
        List<int[]> drawn = [.. used.Where(h => trials[h] >= FewestOwn).Select(h => new[] { h })];
        if (used.Where(h => trials[h] < FewestOwn).ToArray() is { Length: > 0 } few) drawn.Add(few);
        return [.. drawn.Select(strata =>
        {
            double x = strata.Sum(h => events[h]), n = strata.Sum(h => trials[h]);
            // A share of n trials has variance p(1 − p)·D/(n − 1) by what is seen, and a beta with counts scaled by k has p(1 − p)/(kn + 1): k makes the two equal.
            double worth = x > 0 && x < n ? Math.Max(0.2 / LapDesignEffect, (n - 1 - LapDesignEffect) / n / LapDesignEffect) : 1 / LapDesignEffect;
            return new Cell(x, n - x, worth, allClears > 0 ? (n - x) / allClears : 0, allEvents > 0 ? x / allEvents : 0, strata.Sum(h => _weights[h]));
        })];
    }

    private double DrawScatter(SeededRandom random)
    {
        int place = Array.BinarySearch(_gridCumulative, random.NextShare());
        return _grid[Math.Min(place < 0 ? ~place : place, GridPoints - 1)];
    }

    private double Standardised(int g, double[] weights)
    {
        double sum = 0;
        for (int h = 0; h < _strata; h++) sum += _trials[g][h] > 0 ? weights[h] * _events[g][h] / _trials[g][h] : 0;
        return sum / weights.Sum();
    }

    /// <summary>Products of residuals within laps against their squares, residuals from the mean of session and stratum.</summary>
    private static double LapEffect(IReadOnlyList<ClusteredTrial> trials)
    {
        double squares = 0, totals = 0;
        var laps = new Dictionary<int, double>();
        foreach (IGrouping<(int, int), ClusteredTrial> cell in trials.GroupBy(t => (t.Session, t.Stratum)))
        {
            double n = cell.Count(), mean = cell.Count(t => t.Event) / n;
            if (n < 2) continue;
            double scale = Math.Sqrt(n / (n - 1));
            foreach (ClusteredTrial t in cell)
            {
                double residual = ((t.Event ? 1 : 0) - mean) * scale;
                squares += residual * residual;
                laps[t.Lap] = laps.GetValueOrDefault(t.Lap) + residual;
            }
        }
        foreach (double total in laps.Values) totals += total * total;
        return squares > 0 ? Math.Max(1, totals / squares) : 1;
    }

    private static double SessionsWorth(IEnumerable<ClusteredTrial> trials)
    {
        double[] sizes = [.. trials.GroupBy(t => t.Session).Select(s => (double)s.Count())];
        return sizes.Sum() * sizes.Sum() / sizes.Sum(s => s * s);
    }

    private static double[] Grid(ClusteredRatesOptions options)
    {
        var grid = new double[GridPoints];
        for (int i = 0; i < GridPoints; i++)
        {
            double tail = 1 - ((i + 0.5) / GridPoints);
            grid[i] = options.SessionScatter * Math.Sqrt(options.SessionScatterWeight / ChiSquared.InvCDF(options.SessionScatterWeight, tail));
        }
        return grid;
    }

    /// <summary>For each group with two sessions or more: Q, its degrees of freedom, and what a scatter of one adds to its mean.</summary>
    private List<(double Q, double Freedom, double Gain)> SessionEvidence(IReadOnlyList<ClusteredTrial> trials)
    {
        var evidence = new List<(double, double, double)>();
        foreach (IGrouping<int, ClusteredTrial> group in trials.GroupBy(t => t.Group))
        {
            double q = 0, information = 0, squares = 0;
            int sessions = 0;
            foreach (IGrouping<int, ClusteredTrial> session in group.GroupBy(t => t.Session))
            {
                double score = 0, mass = 0;
                foreach (ClusteredTrial t in session)
                {
                    double n = _trials[t.Group][t.Stratum], share = _events[t.Group][t.Stratum] / n;
                    score += (t.Event ? 1 : 0) - share;
                    mass += share * (1 - share) * (n > 1 ? n / (n - 1) : 0);
                }
                mass /= LapDesignEffect;
                if (mass < 1e-9) continue;
                sessions++;
                q += score * score / (mass * LapDesignEffect * LapDesignEffect);
                information += mass;
                squares += mass * mass;
            }
            if (sessions >= 2) evidence.Add((q, sessions - 1, information - (squares / information)));
        }
        return evidence;
    }

    private double[] Cumulative(List<(double Q, double Freedom, double Gain)> evidence)
    {
        var logs = new double[GridPoints];
        for (int i = 0; i < GridPoints; i++)
        {
            foreach ((double q, double freedom, double gain) in evidence)
            {
                double inflation = 1 + (_grid[i] * _grid[i] * gain / freedom);
                logs[i] -= (freedom / 2 * Math.Log(inflation)) + (q / (2 * inflation));
            }
        }
        double top = logs.Max(), sum = 0;
        var cumulative = new double[GridPoints];
        for (int i = 0; i < GridPoints; i++) cumulative[i] = sum += Math.Exp(logs[i] - top);
        for (int i = 0; i < GridPoints; i++) cumulative[i] /= sum;
        return cumulative;
    }

    /// <summary>What is drawn as one share.</summary>
    /// <param name="Events">Seen.</param>
    /// <param name="Clears">Trials without.</param>
    /// <param name="Worth">What a trial counts for.</param>
    /// <param name="ShareOfClears">Of the group's; pseudo-events are shared out by it.</param>
    /// <param name="ShareOfEvents">Of the group's; pseudo-clears are shared out by it.</param>
    /// <param name="Weight">In the standardised rate.</param>
    private sealed record Cell(double Events, double Clears, double Worth, double ShareOfClears, double ShareOfEvents, double Weight);
}
