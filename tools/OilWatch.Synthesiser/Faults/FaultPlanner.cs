using OilWatch.Synthesiser.Maths;
using OilWatch.Synthesiser.Truths;

namespace OilWatch.Synthesiser.Faults;

/// <summary>Decides which sensors fail, how and when.</summary>
internal static class FaultPlanner
{
    private static readonly string[] PressureKinds =
        ["dropout-zero", "dropout-empty", "rail-high", "stuck", "spikes-down", "spikes-up", "noisy-connection", "offset"];

    private static readonly string[] EngineSpeedKinds = ["dropout-zero", "spikes-up", "spikes-down", "stuck", "dropout-empty"];
    private static readonly string[] LateralKinds = ["dropout-zero", "stuck", "rail-high", "spikes-up", "dropout-empty"];
    private static readonly string[] LogKinds = ["gap", "time-repeated", "time-backwards"];

    /// <summary>Faults of the given roles, and one of the log as a whole; at least 6 s apart.</summary>
    /// <param name="roles">Roles that fail; one named twice fails more often.</param>
    /// <param name="fromS">Not before, s.</param>
    /// <param name="toS">Not after, s.</param>
    /// <param name="lateralG">True lateral acceleration, g.</param>
    /// <param name="stepS">Its step, s.</param>
    /// <param name="random">Where the numbers come from.</param>
    public static List<TrueFault> Plan(IReadOnlyList<string> roles, double fromS, double toS, double[] lateralG, double stepS, SeededRandom random)
    {
        var faults = new List<TrueFault>();
        foreach (string role in roles)
        {
            List<string> kinds = [.. Kinds(role)];
            int count = roles.Count > 1 ? random.Whole(1, 2) : random.Whole(3, 5);
            for (int i = 0; i < count && kinds.Count > 0; i++)
            {
                string kind = random.Pick(kinds);
                kinds.Remove(kind);
                Place(role, kind, LengthS(kind), OfCornering(role, kind));
            }
        }

        if (roles.Count > 0)
        {
            string kind = random.Pick(LogKinds);
            Place("log", kind, kind is "gap" ? random.Range(0.5, 8) : random.Range(0.3, 1.5), 0);
        }

        return [.. faults.OrderBy(fault => fault.StartS)];

        double LengthS(string kind) => kind.StartsWith("spikes", StringComparison.Ordinal) || kind is "noisy-connection" ? random.Range(2, 20)
            : random.Chance(0.5) ? random.Range(0.3, 3) : random.Range(3, 20);

        void Place(string role, string kind, double length, double leastG)
        {
            for (int tries = 0; tries < 400; tries++)
            {
                double at = random.Range(fromS, toS - length);
                int sample = Math.Clamp((int)(at / stepS), 0, lateralG.Length - 1);
                if (Math.Abs(lateralG[sample]) < leastG) continue;
                if (faults.Any(other => at < other.EndS + 6 && at + length > other.StartS - 6)) continue;
                faults.Add(new TrueFault(role, kind, at, at + length));
                return;
            }
        }
    }

    // An acceleration that freezes on a straight looks like nothing; the hard case is one frozen in a corner.
    private static double OfCornering(string role, string kind) => role is "lateral_g" && kind is "stuck" ? 0.7 : 0;

    private static string[] Kinds(string role) => role switch
    {
        "oil_pressure" => PressureKinds,
        "engine_speed" => EngineSpeedKinds,
        _ => LateralKinds,
    };
}
