namespace OilWatch.Vibration;

/// <summary>The Kaiser window and the ideal low-pass it is laid over.</summary>
internal static class Kaiser
{
    /// <summary>sin(πx)/(πx).</summary>
    public static double Sinc(double x) => Math.Abs(x) < 1e-12 ? 1 : Math.Sin(Math.PI * x) / (Math.PI * x);

    /// <summary>The window at a place from -1 to 1; 0 outside.</summary>
    public static double Weight(double place, double beta)
    {
        double inside = 1 - (place * place);
        return inside <= 0 ? 0 : Bessel0(beta * Math.Sqrt(inside)) / Bessel0(beta);
    }

    /// <summary>Modified Bessel function of the first kind, order 0, by its power series.</summary>
    private static double Bessel0(double x)
    {
        double term = 1, sum = 1;
        for (int k = 1; k < 60 && term > 1e-17 * sum; k++)
        {
            double half = x / (2 * k);
            term *= half * half;
            sum += term;
        }
        return sum;
    }
}
