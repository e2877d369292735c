using OilWatch.Cars;

namespace OilWatch.Fuzz;

/// <summary>Any bytes as a car file: options and problems, never an exception, and every problem in words that a terminal shows as they are.</summary>
internal static class CarFileTarget
{
    public static void Run(ReadOnlySpan<byte> bytes)
    {
        CarFileResult result = CarFile.Parse(bytes, "car.toml");
        foreach (var problem in result.Problems)
        {
            if (problem.ToString().Any(char.IsControl)) throw new InvalidOperationException($"a control character reached a message: {problem.Line}:{problem.Column}");
        }
    }
}
