using System.Collections.Immutable;
using System.Diagnostics.CodeAnalysis;
using System.Globalization;

namespace OilWatch.Oil;

/// <summary>An SAE J300 viscosity grade: what the name on the can promises.</summary>
/// <remarks>
/// Limits of SAE J300 (January 2015), second-hand: check-values 1.2. <see cref="Midrange100CCst"/> and
/// <see cref="Typical40CCst"/> are assumptions of ours for when the data sheet is not at hand; the sheet is always better.
/// </remarks>
public sealed record OilGrade
{
    private static readonly ImmutableArray<HotLimits> Hot =
    [
        new(8, 4.0, 6.1, 1.7), new(12, 5.0, 7.1, 2.0), new(16, 6.1, 8.2, 2.3), new(20, 6.9, 9.3, 2.6),
        new(30, 9.3, 12.5, 2.9), new(40, 12.5, 16.3, 3.7), new(50, 16.3, 21.9, 3.7), new(60, 21.9, 26.1, 3.7),
    ];

    // Viscosity at 40 °C over that at 100 °C. Common practice, no standard behind it: what data sheets of today's oils of these
    // winter grades show, give or take a tenth; oils without a winter grade thin the most with heat.
    private static readonly ImmutableArray<WinterLimits> Winter =
    [
        new(0, 3.8, 5.6), new(5, 3.8, 6.0), new(10, 4.1, 6.8), new(15, 5.6, 7.5), new(20, 5.6, 8.5), new(25, 9.3, 9.0),
    ];

    private const double MonogradeRatio = 9.5;

    private OilGrade(WinterLimits? winter, HotLimits hot)
    {
        WinterNumber = winter?.Number;
        HotNumber = hot.Number;
        Min100CCst = Math.Max(hot.Min, winter?.Min100C ?? 0);
        Max100CCst = hot.Max;
        // A 40 with a winter grade of 10W or below is allowed less at high shear.
        MinHighShearMpas = hot.Number == 40 && winter?.Number <= 10 ? 3.5 : hot.HighShearMpas;
        Typical40CCst = Midrange100CCst * (winter?.Ratio ?? MonogradeRatio);
    }

    /// <summary>The number before the W, or null for a grade without one.</summary>
    public int? WinterNumber { get; }

    /// <summary>The number for the hot engine, 8 to 60.</summary>
    public int HotNumber { get; }

    /// <summary>Smallest kinematic viscosity at 100 °C, mm²/s (cSt).</summary>
    public double Min100CCst { get; }

    /// <summary>Kinematic viscosity at 100 °C that must not be reached, mm²/s (cSt).</summary>
    public double Max100CCst { get; }

    /// <summary>Smallest viscosity at 150 °C under high shear, mPa·s.</summary>
    public double MinHighShearMpas { get; }

    /// <summary>The middle of the range at 100 °C, mm²/s (cSt).</summary>
    public double Midrange100CCst => (Min100CCst + Max100CCst) / 2;

    /// <summary>A typical viscosity at 40 °C for the middle of the range, mm²/s (cSt): an assumption, see the remarks of the type.</summary>
    /// <remarks>
    /// <see cref="Midrange100CCst"/> times 5.6 (0W), 6.0 (5W), 6.8 (10W), 7.5 (15W), 8.5 (20W), 9.0 (25W) or 9.5 (no winter grade).
    /// Common practice, no standard behind it. It sets only how fast the oil is taken to thin with heat.
    /// </remarks>
    public double Typical40CCst { get; }

    /// <summary>As it is written on the can, such as <c>5W-50</c> or <c>SAE 30</c>.</summary>
    public string Name => WinterNumber is { } winter
        ? string.Create(CultureInfo.InvariantCulture, $"{winter}W-{HotNumber}")
        : string.Create(CultureInfo.InvariantCulture, $"SAE {HotNumber}");

    /// <summary>Viscosity against temperature, through the typical point at 40 °C and the middle of the range at 100 °C.</summary>
    public WaltherViscosity Viscosity => WaltherViscosity.Through(Typical40CCst, Midrange100CCst);

    /// <summary>Reads a grade such as <c>5W-50</c>, <c>5w50</c>, <c>SAE 10W/40</c>, <c>SAE 30</c> or <c>40</c>.</summary>
    /// <param name="text">The grade as written.</param>
    /// <param name="grade">The grade, or null.</param>
    /// <returns>False when it is no J300 grade with a hot number, or no oil could meet both of its numbers (25W-20).</returns>
    public static bool TryParse([NotNullWhen(true)] string? text, [NotNullWhen(true)] out OilGrade? grade)
    {
        grade = null;
        ReadOnlySpan<char> rest = text.AsSpan().Trim();
        if (rest.StartsWith("SAE", StringComparison.OrdinalIgnoreCase)) rest = rest[3..].TrimStart();

        WinterLimits? winter = null;
        int w = rest.IndexOfAny('W', 'w');
        if (w >= 0)
        {
            if (!TryNumber(rest[..w], out int winterNumber)) return false;
            winter = Winter.FirstOrDefault(limits => limits.Number == winterNumber);
            if (winter is null) return false;
            rest = rest[(w + 1)..].Trim();
            if (!rest.IsEmpty && rest[0] is '-' or '/' or '–') rest = rest[1..].TrimStart();
        }

        if (!TryNumber(rest, out int hotNumber)) return false;
        HotLimits? hot = Hot.FirstOrDefault(limits => limits.Number == hotNumber);
        if (hot is null || winter?.Min100C >= hot.Max) return false;
        grade = new OilGrade(winter, hot);
        return true;
    }

    /// <summary>The grade, without a winter number, that a viscosity at 100 °C falls into.</summary>
    /// <param name="viscosity100C">Kinematic viscosity at 100 °C, mm²/s (cSt).</param>
    /// <returns>The grade; the heaviest that fits where grades overlap (below 9.3); null below 4.0, from 26.1 on and for NaN.</returns>
    public static OilGrade? FromKinematic100C(double viscosity100C)
    {
        HotLimits? hot = Hot.LastOrDefault(limits => viscosity100C >= limits.Min && viscosity100C < limits.Max);
        return hot is null ? null : new OilGrade(winter: null, hot);
    }

    /// <inheritdoc/>
    public override string ToString() => Name;

    private static bool TryNumber(ReadOnlySpan<char> text, out int number)
    {
        number = 0;
        text = text.Trim();
        return text.Length is 1 or 2 && int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out number);
    }

    /// <summary>Kinematic viscosity at 100 °C, mm²/s, and high-shear viscosity at 150 °C, mPa·s.</summary>
    private sealed record HotLimits(int Number, double Min, double Max, double HighShearMpas);

    /// <summary>Smallest kinematic viscosity at 100 °C, mm²/s, and the assumed ratio of 40 °C to 100 °C.</summary>
    private sealed record WinterLimits(int Number, double Min100C, double Ratio);
}
