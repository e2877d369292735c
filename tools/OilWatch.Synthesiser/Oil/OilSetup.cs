using OilWatch.Synthesiser.Maths;

namespace OilWatch.Synthesiser.Oil;

/// <summary>One engine's oil system: oil, pump and valve, lags, and a lasting problem where it has one.</summary>
public sealed record OilSetup
{
    /// <summary>The oil as it is in the engine.</summary>
    public required WaltherOil Oil { get; init; }

    /// <summary>The oil as its data sheet says, where the engine's is another by now; null where they are the same.</summary>
    public WaltherOil? DataSheet { get; init; }

    /// <summary>Pump, leaks and relief valve.</summary>
    public required OilCircuit Circuit { get; init; }

    /// <summary>Viscosity in the clearances goes with this power of the oil's: bearings warm their own oil, so under 1.</summary>
    public required double ViscosityPower { get; init; }

    /// <summary>Time constant with which the gallery follows the pump, s.</summary>
    public required double GalleryLagS { get; init; }

    /// <summary>Time constant of the line to the sensor, s.</summary>
    public required double LineLagS { get; init; }

    /// <summary>Time constant of the sensor, s.</summary>
    public required double SensorLagS { get; init; }

    /// <summary>Time that a dry gallery takes to fill, s.</summary>
    public required double PrimeS { get; init; }

    /// <summary>A lasting problem.</summary>
    public OilCondition Condition { get; init; }

    /// <summary>When the problem begins, s.</summary>
    public double ConditionFromS { get; init; }

    /// <summary>Over how long it grows to its full size, s; 0 is a step.</summary>
    public double ConditionRampS { get; init; }

    /// <summary>Its full size, 0 to 1; what that is a share of depends on the problem.</summary>
    public double ConditionSize { get; init; }

    /// <summary>How far the problem has grown, 0 to 1.</summary>
    public double SeverityAt(double timeS) => Condition switch
    {
        OilCondition.None or OilCondition.Worn or OilCondition.ThinOil => 0,
        _ when timeS < ConditionFromS => 0,
        _ => ConditionRampS > 0 ? Math.Min(1, (timeS - ConditionFromS) / ConditionRampS) : 1,
    };

    /// <summary>Viscosity in the clearances, Pa·s.</summary>
    public double ViscosityPaS(double celsius)
    {
        double at100 = Oil.DynamicPaS(100);
        return at100 * Math.Pow(Oil.DynamicPaS(celsius) / at100, ViscosityPower);
    }

    /// <summary>The circuit with its problem grown so far.</summary>
    public OilCircuit Changed(double severity) => Condition == OilCondition.ReliefOpen
        ? Circuit with { ReliefKpa = Circuit.ReliefKpa * (1 - (ConditionSize * severity)) }
        : Circuit;

    /// <summary>Share of the pump's flow that is left.</summary>
    public double Delivery(double severity) => Condition == OilCondition.PumpFailing ? 1 - (ConditionSize * severity) : 1;

    /// <summary>An engine's oil system, without any problem.</summary>
    public static OilSetup Draw(SeededRandom random, double redlineRpm)
    {
        double at100 = random.Range(9.5, 24);
        double at40 = at100 * random.Range(5.6, 7.6);
        var oil = new WaltherOil(at40, at100);
        double displacement = random.Range(9, 16);
        double efficiency = random.Range(0.85, 0.95);
        double relief = random.Range(350, 600);
        double reliefFromRpm = random.Range(0.32, 0.72) * redlineRpm;
        double leak = displacement * 1e-6 * reliefFromRpm / 60 * efficiency * oil.DynamicPaS(100) / (relief * 1000);
        bool hard = random.Chance(0.55);
        bool cavitates = random.Chance(0.3);
        bool coldValve = random.Chance(0.3);
        return new OilSetup
        {
            Oil = oil,
            Circuit = new OilCircuit
            {
                DisplacementCm3 = displacement,
                Efficiency = efficiency,
                LeakM3 = leak,
                ReliefKpa = relief,
                ReliefFlow = hard ? random.Range(7e-9, 2e-8) : random.Range(2.5e-9, 6e-9),
                ReliefSoftnessKpa = hard ? 0 : random.Range(8, 40),
                ColdReliefKpa = coldValve ? relief * random.Range(1.25, 1.5) : double.PositiveInfinity,
                CavitationFromRpm = cavitates ? redlineRpm * random.Range(0.75, 0.9) : double.PositiveInfinity,
                CavitationLoss = cavitates ? random.Range(0.08, 0.3) : 0,
            },
            ViscosityPower = random.Range(0.55, 1.0),
            GalleryLagS = random.Range(0.02, 0.06),
            LineLagS = random.Range(0.01, 0.05),
            SensorLagS = random.Range(0.02, 0.16),
            PrimeS = random.Range(0.4, 1.2),
        };
    }
}
