using OilWatch.Synthesiser.Circuits;
using OilWatch.Synthesiser.Maths;

namespace OilWatch.Synthesiser.Driving;

/// <summary>Drives a car round a circuit: the quasi-steady lap simulation of a point mass in a grip ellipse.</summary>
/// <remarks>
/// Corner speed from lateral grip, then a forward pass limited by power and traction and a backward pass limited by
/// brakes, each with what the ellipse leaves beside the lateral load. The usual textbook method.
/// </remarks>
public sealed class LapSimulation(Circuit circuit, Car car)
{
    private const double G = 9.80665;
    private const double NodeM = 1;

    /// <summary>Time of a flying lap at full pace, s.</summary>
    public double FlyingLapS()
    {
        int count = (int)Math.Round(2 * circuit.LengthM / NodeM);
        double[] speed = Speeds(count, 0, BendGrip, _ => car.TopSpeedMs);
        double time = 0;
        for (int i = count / 2; i < count - 1; i++) time += 2 * NodeM / (speed[i] + speed[i + 1]);
        return time;
    }

    /// <summary>Speed on a flying lap at full pace at each metre after the line, m/s.</summary>
    public double[] FlyingLapSpeeds()
    {
        int lap = (int)Math.Round(circuit.LengthM / NodeM);
        return Speeds(2 * lap, 0, BendGrip, _ => car.TopSpeedMs)[lap..];
    }

    /// <summary>A whole session: standing in the pits, out lap, timed laps, in lap, standing in the pits.</summary>
    /// <param name="laps">Timed laps, &gt;= 1.</param>
    /// <param name="stops">Stops on the way, in any order.</param>
    /// <param name="idleBeforeS">Standing before the out lap, s.</param>
    /// <param name="idleAfterS">Standing after the in lap, s.</param>
    /// <param name="stepS">Step of the result, s.</param>
    /// <param name="random">The driver's small differences.</param>
    public Drive Run(int laps, IReadOnlyList<Stop> stops, double idleBeforeS, double idleAfterS, double stepS, SeededRandom random)
    {
        double length = circuit.LengthM;
        double fromM = 40;
        double toM = ((laps + 2) * length) - 140;
        int count = (int)((toM - fromM) / NodeM) + 1;

        double[] lapPace = new double[laps + 2];
        double[][] bendPace = new double[laps + 2][];
        for (int lap = 0; lap < lapPace.Length; lap++)
        {
            bool timed = lap > 0 && lap <= laps;
            lapPace[lap] = timed ? random.Range(0.955, 1.0) : random.Range(0.6, 0.75);
            bendPace[lap] = new double[circuit.Bends.Count];
            for (int b = 0; b < bendPace[lap].Length; b++) bendPace[lap][b] = Math.Clamp(1 + (0.015 * random.Normal()), 0.95, 1.03);
        }

        double[] speed = Speeds(count, fromM, Pace, Cap);
        return Resample(speed, fromM, stops, idleBeforeS, idleAfterS, stepS, random);

        double Pace(double at)
        {
            int lap = Math.Clamp((int)(at / length), 0, lapPace.Length - 1);
            int bend = NextBend(at - (lap * length));
            return lapPace[lap] * bendPace[lap][bend] * circuit.Bends[bend].GripShare;
        }

        double Cap(double at)
        {
            double cap = car.TopSpeedMs;
            if (at < fromM + 120 || at > toM - 150) cap = Math.Min(cap, 16);
            foreach (Stop stop in stops)
            {
                double away = at - stop.DistanceM;
                if (!stop.IsSpin && away is > -200 and < 150) cap = Math.Min(cap, 16);
                if (Math.Abs(away) <= NodeM * 0.75) cap = 0.3;
            }

            return at <= fromM + NodeM || at >= toM - NodeM ? Math.Min(cap, 0.3) : cap;
        }
    }

    private double BendGrip(double at) => circuit.Bends[NextBend(at - (Math.Floor(at / circuit.LengthM) * circuit.LengthM))].GripShare;

    // The bend at a place, or the one that comes next.
    private int NextBend(double inLap)
    {
        int bend = 0;
        while (bend < circuit.Bends.Count - 1 && circuit.Bends[bend].ToM < inLap) bend++;
        return bend;
    }

    private double[] Speeds(int count, double fromM, Func<double, double> pace, Func<double, double> cap)
    {
        double[] speed = new double[count];
        double[] curvature = new double[count];
        double[] grip = new double[count];
        for (int i = 0; i < count; i++)
        {
            double at = fromM + (i * NodeM);
            double share = pace(at);
            curvature[i] = Math.Abs(circuit.CurvatureAt(at));
            grip[i] = share;
            double corner = Math.Sqrt(share * car.GripG * G / Math.Max(curvature[i], 1e-6));
            speed[i] = Math.Min(corner, cap(at));
        }

        for (int i = 1; i < count; i++)
        {
            double v = speed[i - 1];
            double drive = Math.Min(car.PowerPerMass * Math.Min(1, grip[i] + 0.05) / Math.Max(v, 3), grip[i] * car.TractionG * G * Left(v, i - 1));
            double gain = Math.Max(drive - (car.DragPerMass * v * v), -0.5);
            speed[i] = Math.Min(speed[i], Math.Sqrt(Math.Max((v * v) + (2 * gain * NodeM), 0.09)));
        }

        for (int i = count - 2; i >= 0; i--)
        {
            double v = speed[i + 1];
            double brake = (grip[i] * car.BrakingG * G * Left(v, i + 1)) + (car.DragPerMass * v * v);
            speed[i] = Math.Min(speed[i], Math.Sqrt((v * v) + (2 * brake * NodeM)));
        }

        return speed;

        double Left(double v, int i)
        {
            double used = v * v * curvature[i] / (grip[i] * car.GripG * G);
            return Math.Sqrt(Math.Max(0.03, 1 - (used * used)));
        }
    }

    private Drive Resample(
        double[] speed, double fromM, IReadOnlyList<Stop> stops, double idleBeforeS, double idleAfterS, double stepS, SeededRandom random)
    {
        // Time at which each node is reached, with the standing time of stops put in.
        double[] reached = new double[speed.Length];
        double[] stands = new double[speed.Length];
        var stood = new List<(double FromS, double ToS, bool IsSpin)> { (0, idleBeforeS, false) };
        foreach (Stop stop in stops)
        {
            int node = Math.Clamp((int)Math.Round((stop.DistanceM - fromM) / NodeM), 1, speed.Length - 2);
            stands[node] = stop.ForS;
        }

        reached[0] = idleBeforeS;
        for (int i = 1; i < speed.Length; i++)
        {
            double leave = reached[i - 1] + stands[i - 1];
            if (stands[i - 1] > 0)
            {
                int node = i - 1;
                bool spin = stops.First(s => Math.Abs(s.DistanceM - fromM - (node * NodeM)) <= NodeM).IsSpin;
                stood.Add((reached[i - 1], leave, spin));
            }

            reached[i] = leave + (2 * NodeM / Math.Max(speed[i - 1] + speed[i], 0.3));
        }

        double end = reached[^1] + idleAfterS;
        stood.Add((reached[^1], end, false));
        var drive = new Drive((int)(end / stepS));
        drive.Stood.AddRange(stood);

        var lateralLag = new FirstOrderLag(0.08, stepS);
        var longitudinalLag = new FirstOrderLag(0.07, stepS);
        var corrections = new BandNoise(random, 0.25, stepS);
        var pedals = new BandNoise(random, 0.3, stepS);
        int at = 0;
        for (int i = 0; i < drive.SpeedMs.Length; i++)
        {
            double t = i * stepS;
            while (at < reached.Length - 2 && t >= reached[at + 1]) at++;
            double leave = reached[at] + stands[at];
            double distance, v, along;
            if (t < leave || t >= reached[^1])
            {
                (distance, v, along) = (fromM + ((t >= reached[^1] ? reached.Length - 1 : at) * NodeM), 0, 0);
            }
            else
            {
                double share = (t - leave) / (reached[at + 1] - leave);
                v = speed[at] + ((speed[at + 1] - speed[at]) * share);
                along = ((speed[at + 1] * speed[at + 1]) - (speed[at] * speed[at])) / (2 * NodeM);
                distance = fromM + ((at + share) * NodeM);
            }

            int lap = (int)(distance / circuit.LengthM);
            double lively = Math.Min(v / 15, 1);
            drive.DistanceM[i] = distance;
            drive.SpeedMs[i] = v;
            drive.Lap[i] = lap;
            drive.LapDistanceM[i] = distance - (lap * circuit.LengthM);
            drive.LateralG[i] = lateralLag.Step(v * v * circuit.CurvatureAt(distance) / G) + (0.03 * lively * corrections.Next());
            drive.LongitudinalG[i] = longitudinalLag.Step(Math.Clamp(along / G, -1.6, 1.2)) + (0.015 * lively * pedals.Next());
            drive.EngineRuns[i] = true;
        }

        foreach ((double from, double to, bool spin) in stood)
        {
            if (spin) AddSpin(drive, from, to, stepS, random);
        }

        return drive;
    }

    // Sideways sliding for the last second and a half, then stalled for most of the standing time.
    private static void AddSpin(Drive drive, double from, double to, double stepS, SeededRandom random)
    {
        double turns = random.Range(0.5, 1.2) * (random.Chance(0.5) ? 1 : -1);
        for (int i = (int)((from - 1.5) / stepS); i < (int)(from / stepS); i++)
        {
            double since = (i * stepS) - (from - 1.5);
            drive.LateralG[i] += 0.8 * Math.Sin(2 * Math.PI * turns * since) * Math.Sin(Math.PI * since / 1.5);
        }

        double restarts = from + (0.7 * (to - from));
        for (int i = (int)(from / stepS); i < (int)(restarts / stepS); i++) drive.EngineRuns[i] = false;
    }
}
