using OilWatch.Synthesiser.Maths;

namespace OilWatch.Synthesiser.Circuits;

/// <summary>Draws random closed circuits.</summary>
/// <remarks>
/// A random polygon, some of its sides broken by a chicane, whose corners are rounded by clothoid, arc and clothoid.
/// Rounding a corner symmetrically keeps both its sides, so the circuit closes exactly.
/// </remarks>
public static class CircuitBuilder
{
    private const double SmallestRadiusM = 13;

    /// <summary>A circuit of 8 to 16 bends, with at least two real bends each way.</summary>
    /// <param name="random">Where its numbers come from.</param>
    public static Circuit Build(SeededRandom random)
    {
        while (true)
        {
            List<(double X, double Y)> corners = Polygon(random);
            if (TryRound(corners, random, out List<Rounded>? rounded)) return Trace(corners, rounded);
        }
    }

    private static List<(double X, double Y)> Polygon(SeededRandom random)
    {
        int count = random.Whole(7, 12);
        double stretch = random.Range(1.0, 1.7);
        var corners = new List<(double X, double Y)>();
        for (int i = 0; i < count; i++)
        {
            double angle = 2 * Math.PI * (i + random.Range(-0.3, 0.3)) / count;
            double radius = random.Range(0.4, 1.0);
            corners.Add((radius * stretch * Math.Cos(angle), radius * Math.Sin(angle)));
        }

        double scale = random.Range(1500, 4200) / Perimeter(corners);
        double mirror = random.Chance(0.5) ? 1 : -1;
        for (int i = 0; i < count; i++) corners[i] = (corners[i].X * scale, corners[i].Y * scale * mirror);

        for (int chicanes = random.Whole(0, 2); chicanes > 0; chicanes--) AddChicane(corners, random);
        return corners;
    }

    private static void AddChicane(List<(double X, double Y)> corners, SeededRandom random)
    {
        int longest = LongestSide(corners);
        (double X, double Y) a = corners[longest];
        (double X, double Y) b = corners[(longest + 1) % corners.Count];
        double length = Distance(a, b);
        if (length < 320) return;
        double along = random.Range(0.55, 0.65) * length;
        double half = random.Range(22, 40);
        double aside = random.Range(18, 36) * (random.Chance(0.5) ? 1 : -1);
        double ux = (b.X - a.X) / length;
        double uy = (b.Y - a.Y) / length;
        corners.Insert(longest + 1, (a.X + (ux * (along - half)), a.Y + (uy * (along - half))));
        corners.Insert(longest + 2, (a.X + (ux * (along + half)) - (uy * aside), a.Y + (uy * (along + half)) + (ux * aside)));
    }

    private static bool TryRound(List<(double X, double Y)> corners, SeededRandom random, out List<Rounded> rounded)
    {
        int n = corners.Count;
        rounded = new List<Rounded>(n);
        double[] turn = [.. Enumerable.Range(0, n).Select(i => Turn(corners, i))];
        if (turn.Any(t => Math.Abs(t) > 2.6)) return false;
        if (turn.Count(t => t > 0.9) < 2 || turn.Count(t => t < -0.9) < 2) return false;

        for (int i = 0; i < n; i++)
        {
            double size = Math.Abs(turn[i]);
            double clothoidShare = random.Range(0.3, 0.65);
            double tangentPerRadius = TangentPerRadius(size, clothoidShare);
            double room = Math.Min(Room(i, (i + n - 1) % n), Room(i, (i + 1) % n));
            double largest = room / tangentPerRadius;
            double wanted = random.Chance(0.45) ? random.Range(0.75, 1) * largest : random.Range(18, 110);
            double radius = Math.Clamp(wanted, Math.Min(SmallestRadiusM, largest), Math.Min(largest, 260));
            if (radius < SmallestRadiusM) return false;
            rounded.Add(new Rounded(turn[i], radius, clothoidShare, radius * tangentPerRadius, random.Range(0.82, 1)));
        }

        return true;

        double Room(int i, int other)
        {
            double mine = Math.Tan(Math.Abs(turn[i]) / 2);
            double theirs = Math.Tan(Math.Abs(turn[other]) / 2);
            double side = Distance(corners[i], corners[other]);
            return 0.94 * side * Math.Max(mine, 0.05) / (Math.Max(mine, 0.05) + Math.Max(theirs, 0.05));
        }
    }

    // Distance from the corner to where the rounding begins, for an arc of radius 1: integrate to the middle of the
    // bend, then follow the bisector back to the side.
    private static double TangentPerRadius(double turn, double clothoidShare)
    {
        double clothoid = clothoidShare * turn;
        double half = clothoid + (turn * (1 - clothoidShare) / 2);
        const int Steps = 400;
        double x = 0, y = 0;
        for (int i = 0; i < Steps; i++)
        {
            double s = (i + 0.5) * half / Steps;
            double heading = s < clothoid ? s * s / (2 * clothoid) : (clothoid / 2) + (s - clothoid);
            x += Math.Cos(heading) * half / Steps;
            y += Math.Sin(heading) * half / Steps;
        }

        return x + (y * Math.Tan(turn / 2));
    }

    private static Circuit Trace(List<(double X, double Y)> corners, List<Rounded> rounded)
    {
        int n = corners.Count;
        int first = LongestStraight(corners, rounded);
        var pieces = new List<(double Length, double From, double To)>();
        var bends = new List<Bend>();
        double longest = Straight(first);
        double at = 0.6 * longest;
        pieces.Add((at, 0, 0));
        for (int k = 1; k <= n; k++)
        {
            int i = (first + k) % n;
            Rounded r = rounded[i];
            double curvature = Math.Sign(r.TurnRad) / r.RadiusM;
            double clothoid = r.ClothoidShare * Math.Abs(r.TurnRad) * r.RadiusM;
            double arc = (1 - r.ClothoidShare) * Math.Abs(r.TurnRad) * r.RadiusM;
            pieces.Add((clothoid, 0, curvature));
            pieces.Add((arc, curvature, curvature));
            pieces.Add((clothoid, curvature, 0));
            double bendLength = (2 * clothoid) + arc;
            bends.Add(new Bend(at, at + bendLength, r.TurnRad, r.RadiusM, r.GripShare));
            at += bendLength;
            double straight = k == n ? 0.4 * longest : Straight(i);
            pieces.Add((straight, 0, 0));
            at += straight;
        }

        (double X, double Y) from = corners[first];
        (double X, double Y) to = corners[(first + 1) % n];
        return Integrate(pieces, at, Math.Atan2(to.Y - from.Y, to.X - from.X), bends);

        double Straight(int i) => StraightAfter(corners, rounded, i);
    }

    private static Circuit Integrate(List<(double Length, double From, double To)> pieces, double length, double heading, List<Bend> bends)
    {
        int count = (int)Math.Round(length / Circuit.StepM);
        double step = length / count;
        const int Fine = 8;
        double ds = step / Fine;
        double[] curvature = new double[count];
        double[] x = new double[count];
        double[] y = new double[count];
        double px = 0, py = 0, pieceStart = 0, startHeading = heading;
        int piece = 0;
        for (int i = 0; i < count * Fine; i++)
        {
            if (i % Fine == 0)
            {
                curvature[i / Fine] = Curvature(i * ds);
                x[i / Fine] = px;
                y[i / Fine] = py;
            }

            double middle = Curvature((i + 0.5) * ds);
            double midHeading = heading + (middle * ds / 2);
            px += Math.Cos(midHeading) * ds;
            py += Math.Sin(midHeading) * ds;
            heading += middle * ds;
        }

        for (int i = 0; i < count; i++)
        {
            x[i] -= px * i / count;
            y[i] -= py * i / count;
        }

        return new Circuit(length, curvature, x, y, startHeading, Math.Sqrt((px * px) + (py * py)), bends);

        double Curvature(double s)
        {
            while (piece < pieces.Count - 1 && s >= pieceStart + pieces[piece].Length) pieceStart += pieces[piece++].Length;
            (double pieceLength, double from, double to) = pieces[piece];
            return pieceLength <= 0 ? to : from + ((to - from) * Math.Clamp((s - pieceStart) / pieceLength, 0, 1));
        }
    }

    private static double Turn(List<(double X, double Y)> corners, int i)
    {
        int n = corners.Count;
        (double X, double Y) a = corners[(i + n - 1) % n], b = corners[i], c = corners[(i + 1) % n];
        double turn = Math.Atan2(c.Y - b.Y, c.X - b.X) - Math.Atan2(b.Y - a.Y, b.X - a.X);
        return turn - (2 * Math.PI * Math.Round(turn / (2 * Math.PI)));
    }

    private static double StraightAfter(List<(double X, double Y)> corners, List<Rounded> rounded, int i)
    {
        int next = (i + 1) % corners.Count;
        return Distance(corners[i], corners[next]) - rounded[i].TangentM - rounded[next].TangentM;
    }

    private static int LongestStraight(List<(double X, double Y)> corners, List<Rounded> rounded) =>
        Enumerable.Range(0, corners.Count).MaxBy(i => StraightAfter(corners, rounded, i));

    private static int LongestSide(List<(double X, double Y)> corners) =>
        Enumerable.Range(0, corners.Count).MaxBy(i => Distance(corners[i], corners[(i + 1) % corners.Count]));

    private static double Perimeter(List<(double X, double Y)> corners) =>
        Enumerable.Range(0, corners.Count).Sum(i => Distance(corners[i], corners[(i + 1) % corners.Count]));

    private static double Distance((double X, double Y) a, (double X, double Y) b) =>
        Math.Sqrt(((a.X - b.X) * (a.X - b.X)) + ((a.Y - b.Y) * (a.Y - b.Y)));

    private sealed record Rounded(double TurnRad, double RadiusM, double ClothoidShare, double TangentM, double GripShare);
}
