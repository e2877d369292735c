namespace OilWatch.Pressure;

/// <summary>The normal equations of a least-squares fit.</summary>
internal static class NormalEquations
{
    /// <summary>Solves them, damped, by Cholesky's method; null when they are not positive definite.</summary>
    public static double[]? Solve(double[,] normal, double[] gradient, double damping)
    {
        int count = gradient.Length;
        var lower = new double[count, count];
        for (int i = 0; i < count; i++)
        {
            for (int j = 0; j <= i; j++)
            {
                double sum = normal[i, j] * (i == j ? 1 + damping : 1);
                for (int k = 0; k < j; k++) sum -= lower[i, k] * lower[j, k];
                if (i != j) { lower[i, j] = sum / lower[j, j]; continue; }
                if (sum <= 0) return null;
                lower[i, i] = Math.Sqrt(sum);
            }
        }
        var solution = new double[count];
        for (int i = 0; i < count; i++)
        {
            double sum = gradient[i];
            for (int k = 0; k < i; k++) sum -= lower[i, k] * solution[k];
            solution[i] = sum / lower[i, i];
        }
        for (int i = count - 1; i >= 0; i--)
        {
            double sum = solution[i];
            for (int k = i + 1; k < count; k++) sum -= lower[k, i] * solution[k];
            solution[i] = sum / lower[i, i];
        }
        return solution;
    }
}
