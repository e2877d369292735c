using OilWatch.Synthesiser.Maths;

namespace OilWatch.Synthesiser.Driving;

/// <summary>What the car can do, as a point mass.</summary>
public sealed record Car
{
    /// <summary>Largest lateral acceleration, g.</summary>
    public required double GripG { get; init; }

    /// <summary>Largest deceleration, g.</summary>
    public required double BrakingG { get; init; }

    /// <summary>Largest acceleration that the driven tyres carry, g.</summary>
    public required double TractionG { get; init; }

    /// <summary>Engine power over mass, W/kg.</summary>
    public required double PowerPerMass { get; init; }

    /// <summary>Speed at which drag takes all the power, m/s.</summary>
    public required double TopSpeedMs { get; init; }

    /// <summary>Engine speed not to be passed, rpm.</summary>
    public required double RedlineRpm { get; init; }

    /// <summary>Engine speed at which the driver changes up, rpm.</summary>
    public required double ShiftRpm { get; init; }

    /// <summary>Idle, rpm.</summary>
    public required double IdleRpm { get; init; }

    /// <summary>Road speed of each gear at the redline, m/s, first gear first.</summary>
    public required IReadOnlyList<double> GearTopMs { get; init; }

    /// <summary>How long a gear change takes, s.</summary>
    public required double ShiftS { get; init; }

    /// <summary>Share of engine speed that wheelspin adds under full power in the low gears.</summary>
    public required double Wheelspin { get; init; }

    /// <summary>Drag over mass and speed squared, 1/m: what balances the power at the top speed.</summary>
    public double DragPerMass => PowerPerMass / (TopSpeedMs * TopSpeedMs * TopSpeedMs);

    /// <summary>A car of the usual club-racing kind: 0.9 to 1.8 g, 5 or 6 gears.</summary>
    public static Car Draw(SeededRandom random)
    {
        double grip = random.Range(0.95, 1.8);
        double top = random.Range(56, 76);
        double redline = 100 * random.Whole(64, 86);
        int gears = random.Whole(5, 6);
        double first = random.Range(17, 24);
        double[] tops = new double[gears];
        for (int i = 0; i < gears; i++)
        {
            // Steps get closer towards the top, as in most gearboxes.
            double share = i / (gears - 1.0);
            tops[i] = first * Math.Pow(top * 1.04 / first, Math.Pow(share, 0.85));
        }

        return new Car
        {
            GripG = grip,
            BrakingG = Math.Clamp(grip * random.Range(0.75, 1.0), 0.7, 1.4),
            TractionG = grip * random.Range(0.45, 0.7),
            PowerPerMass = random.Range(130, 320),
            TopSpeedMs = top,
            RedlineRpm = redline,
            ShiftRpm = redline - random.Range(100, 500),
            IdleRpm = random.Range(780, 1150),
            GearTopMs = tops,
            ShiftS = random.Range(0.05, 0.3),
            Wheelspin = random.Range(0.0, 0.035),
        };
    }
}
