using OilWatch.Alerts;
using OilWatch.Proof;
using OilWatch.Proof.Statistics;

namespace OilWatch.ProofStudy;

/// <summary>Two groups of simulated sessions, with the probability behind every exposure.</summary>
internal sealed class SimulatedPair
{
    private const double SlopePerG = 6;          // log odds per g: 0.05 g more makes a drop a third likelier

    private readonly Dictionary<Exposure, double> _truth = new(ReferenceEqualityComparer.Instance);
    private readonly SeededRandom _random;
    private readonly Scenario _scenario;

    public SimulatedPair(Scenario scenario, ulong seed)
    {
        (_scenario, _random) = (scenario, new(seed));
        CornerOfCircuit[] circuit = [.. Enumerable.Range(0, scenario.Corners).Select(Corner)];
        Before = new("before", [.. Enumerable.Range(0, scenario.Before).Select(i => Session($"before-{i + 1}", circuit, 0))]);
        After = new("after", [.. Enumerable.Range(0, scenario.After).Select(i => Session($"after-{i + 1}", circuit, scenario.Effect))]);
    }

    public ProofGroup Before { get; }

    public ProofGroup After { get; }

    /// <summary>Probability of a drop in an exposure like this one, over all sessions and laps there could be.</summary>
    public double Truth(Exposure exposure) => _truth[exposure];

    private CornerOfCircuit Corner(int index)
    {
        bool left = _random.NextShare() < 0.5;
        double logit = _scenario.Problem switch
        {
            Problem.EveryLap => index == 2 ? 2.2 + (0.8 * _random.NextShare()) : -12,
            Problem.Often => index % 3 == 1 ? -1.4 + (1.8 * _random.NextShare()) : -9,
            Problem.Rare => -3.6 + (0.5 * _random.NextNormal()),
            _ => 0.8 * _random.NextNormal(),
        };
        return new(
            $"C{index + 1}{(left ? 'L' : 'R')}", left ? LoadDirection.Left : LoadDirection.Right,
            1.0 + (0.5 * _random.NextShare()), 1.5 + (2.5 * _random.NextShare()), 4500 + (2500 * _random.NextShare()), logit);
    }

    private ProofSession Session(string name, CornerOfCircuit[] circuit, double effect)
    {
        double session = _scenario.SessionScatter * _random.NextNormal(), sessionPace = 0.01 * _random.NextNormal();
        double[] own = [.. circuit.Select(_ => _scenario.CornerScatter * _random.NextNormal())];
        double temperature = 98 + (3 * _random.NextNormal());
        var exposures = new List<Exposure>();
        for (int lap = 1; lap <= _scenario.Laps; lap++)
        {
            double lapEffect = _scenario.LapScatter * _random.NextNormal(), lapPace = 0.015 * _random.NextNormal();
            for (int c = 0; c < circuit.Length; c++)
            {
                CornerOfCircuit corner = circuit[c];
                double load = corner.LoadG + sessionPace + lapPace + (0.025 * _random.NextNormal());
                double known = corner.Logit + effect + (SlopePerG * (load - corner.LoadG));
                bool drop = _random.NextShare() < Share(known + session + own[c] + lapEffect);
                double hold = Math.Max(0.5, corner.HoldS + (0.1 * _random.NextNormal()));
                var exposure = new Exposure
                {
                    Lap = lap,
                    Corner = corner.Label,
                    Direction = corner.Direction,
                    LoadG = load,
                    HoldS = hold,
                    SpeedRpm = corner.SpeedRpm + (60 * _random.NextNormal()),
                    OilTemperatureC = temperature + _random.NextNormal(),
                    MinRatio = drop ? 0.85 - (0.4 * _random.NextShare()) : 0.97 + (0.02 * _random.NextNormal()),
                    TimeToDropS = drop ? hold * (0.3 + (0.7 * _random.NextShare())) : null,
                    Event = drop,
                };
                exposures.Add(exposure);
                _truth[exposure] = Marginal(known);
            }
        }
        return new(name, [], exposures);
    }

    /// <summary>Mean of the probability over the random effects, by the trapezium rule over ±6 standard deviations.</summary>
    private double Marginal(double known)
    {
        double scatter = Math.Sqrt(
            (_scenario.SessionScatter * _scenario.SessionScatter) + (_scenario.CornerScatter * _scenario.CornerScatter) + (_scenario.LapScatter * _scenario.LapScatter));
        double sum = 0, weight = 0;
        for (double z = -6; z <= 6; z += 0.25)
        {
            double w = Math.Exp(-0.5 * z * z);
            sum += w * Share(known + (scatter * z));
            weight += w;
        }
        return sum / weight;
    }

    private static double Share(double logit) => 1 / (1 + Math.Exp(-logit));

    private sealed record CornerOfCircuit(string Label, LoadDirection Direction, double LoadG, double HoldS, double SpeedRpm, double Logit);
}
