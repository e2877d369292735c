namespace OilWatch.Synthesiser.Circuits;

/// <summary>A closed circuit as a table along its distance.</summary>
/// <remarks>Heading turns anticlockwise with positive curvature, so a positive curvature is a left-hand corner.</remarks>
public sealed class Circuit
{
    /// <summary>Distance between entries of the tables, m.</summary>
    public const double StepM = 1;

    private readonly double[] _curvature;
    private readonly double[] _x;
    private readonly double[] _y;

    internal Circuit(double lengthM, double[] curvature, double[] x, double[] y, double headingRad, double closureM, IReadOnlyList<Bend> bends)
    {
        LengthM = lengthM;
        _curvature = curvature;
        _x = x;
        _y = y;
        StartHeadingRad = headingRad;
        ClosureErrorM = closureM;
        Bends = bends;
    }

    /// <summary>Length of a lap, m.</summary>
    public double LengthM { get; }

    /// <summary>Direction of travel at the start line, rad anticlockwise from east.</summary>
    public double StartHeadingRad { get; }

    /// <summary>By how much the integrated path missed its start before that was spread over the lap, m.</summary>
    public double ClosureErrorM { get; }

    /// <summary>The bends in order of distance.</summary>
    public IReadOnlyList<Bend> Bends { get; }

    /// <summary>Curvature, 1/m, positive to the left.</summary>
    /// <param name="distanceM">Distance since the line, m; any number of laps.</param>
    public double CurvatureAt(double distanceM) => At(_curvature, distanceM);

    /// <summary>Metres east of the start line.</summary>
    public double EastAt(double distanceM) => At(_x, distanceM);

    /// <summary>Metres north of the start line.</summary>
    public double NorthAt(double distanceM) => At(_y, distanceM);

    private double At(double[] table, double distanceM)
    {
        double lap = distanceM - (Math.Floor(distanceM / LengthM) * LengthM);
        double place = lap / LengthM * table.Length;
        int below = Math.Min((int)place, table.Length - 1);
        double after = table[below + 1 == table.Length ? 0 : below + 1];
        return table[below] + ((after - table[below]) * (place - below));
    }
}
