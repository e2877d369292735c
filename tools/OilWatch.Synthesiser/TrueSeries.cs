namespace OilWatch.Synthesiser;

/// <summary>What truly happened, at an even fine step; every series in its role's unit.</summary>
/// <param name="StepS">Step, s; sample i is at i · step.</param>
/// <param name="ByRole">Series by the role's key, such as <c>oil_pressure</c> (kPa gauge).</param>
/// <param name="HealthyKpa">Oil pressure of the same system with its pickup covered and nothing broken, kPa gauge.</param>
/// <param name="AirShare">Share of the pump's inlet that is air, 0 to 1.</param>
public sealed record TrueSeries(double StepS, IReadOnlyDictionary<string, double[]> ByRole, double[] HealthyKpa, double[] AirShare)
{
    /// <summary>Crankcase pressure of the same engine with its vacuum not lost, kPa gauge.</summary>
    public double[] HealthyCrankcaseKpa { get; init; } = [];

    /// <summary>How many samples.</summary>
    public int Count => HealthyKpa.Length;

    /// <summary>Length, s.</summary>
    public double LengthS => Count * StepS;

    /// <summary>True oil pressure, kPa gauge.</summary>
    public double[] PressureKpa => ByRole["oil_pressure"];

    /// <summary>The value of a role at a time, held between samples.</summary>
    public double At(string role, double timeS) => ByRole[role][Math.Clamp((int)(timeS / StepS), 0, Count - 1)];

    /// <summary>Ratio of true to healthy pressure at a time, held between samples.</summary>
    public double RatioAt(double timeS)
    {
        int i = Math.Clamp((int)(timeS / StepS), 0, Count - 1);
        return HealthyKpa[i] > 1 ? PressureKpa[i] / HealthyKpa[i] : 1;
    }
}
