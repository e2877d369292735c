using System.Globalization;
using OilWatch.Proof.Statistics;

namespace OilWatch.Proof;

/// <summary>Numbers as people read them, the same on every machine.</summary>
internal static class Words
{
    /// <summary>Two or three figures that matter: 12.5, 1.56, 0.034.</summary>
    public static string Number(double value) => value switch
    {
        double.PositiveInfinity => "infinity",
        _ when !double.IsFinite(value) => "not known",
        _ => Math.Abs(value) switch
        {
            >= 100 => Fixed(value, 0),
            >= 10 => Fixed(value, 1),
            >= 0.1 => Fixed(value, 2),
            >= 0.01 => Fixed(value, 3),
            0 => "0",
            _ => value.ToString("0.0##e+0", CultureInfo.InvariantCulture),
        },
    };

    public static string Fixed(double value, int digits) => value.ToString("F" + digits.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);

    public static string Whole(long value) => value.ToString(CultureInfo.InvariantCulture);

    public static string Limits(Limits limits) => $"{Number(limits.Low)} to {Number(limits.High)}";

    /// <summary>Below a ten thousandth the digits mean nothing.</summary>
    public static string P(double p) => p < 0.001 ? "below 0.001" : Fixed(p, p < 0.1 ? 3 : 2);

    /// <summary>Such as <c>1 lap</c>, <c>2 laps</c>.</summary>
    public static string Count(long count, string one, string? many = null) => $"{Whole(count)} {(count == 1 ? one : many ?? one + "s")}";
}
