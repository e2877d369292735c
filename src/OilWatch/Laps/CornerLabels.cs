using OilWatch.Alerts;

namespace OilWatch.Laps;

/// <summary>Which corner an instant belongs to, out of the corners that the car went through.</summary>
public sealed class CornerLabels
{
    /// <summary>Visits kept at most; later ones have no label.</summary>
    public const int MaxVisits = 200_000;

    /// <summary>This long after leaving a corner something still belongs to it, s: oil takes that long to come back.</summary>
    public const double AfterS = 1.5;

    /// <summary>Braking this long before a corner belongs to it, s.</summary>
    public const double BeforeS = 3;

    private readonly List<Visit> _visits = [];
    private int _index = -1;

    /// <summary>The label of the corner that something at an instant belongs to, or null.</summary>
    /// <param name="at">When it began.</param>
    /// <param name="direction">Which way the load acted.</param>
    /// <remarks>
    /// The corner in which the instant lies, unless the load acted the other way and the corner just left fits it; else the corner left
    /// at most <see cref="AfterS"/> before; else, under braking, the corner entered at most <see cref="BeforeS"/> after. The last needs the
    /// frames after the instant: ask again when the event is over.
    /// </remarks>
    public string? LabelFor(LogTime at, LoadDirection direction)
    {
        int low = 0, high = _visits.Count;     // the first visit entered after the instant
        while (low < high)
        {
            int middle = (low + high) / 2;
            if (_visits[middle].Entry <= at) low = middle + 1;
            else high = middle;
        }

        Visit? current = null, left = null;
        for (int i = low - 1; i >= 0 && i >= low - 2; i--)
        {
            Visit visit = _visits[i];
            double after = at.SecondsSince(visit.Exit);
            if (after <= 0) current ??= visit;
            else if (after <= AfterS) left ??= visit;
        }

        bool lateral = direction is LoadDirection.Left or LoadDirection.Right;
        if (current is { } inside && (!lateral || inside.Corner.Direction == direction)) return inside.Corner.Label;
        if (left is { } behind && (!lateral || behind.Corner.Direction == direction || current is null)
            && (current is null || lateral)) return behind.Corner.Label;
        if (current is { } here) return here.Corner.Label;
        return direction == LoadDirection.Braking && low < _visits.Count && _visits[low].Entry.SecondsSince(at) <= BeforeS
            ? _visits[low].Corner.Label
            : null;
    }

    /// <summary>Notes where the car is.</summary>
    internal void Step(LogTime at, int index, CircuitMap? map)
    {
        if (index >= 0 && map is not null)
        {
            if (index == _index) _visits[^1] = _visits[^1] with { Exit = at };
            else if (_visits.Count < MaxVisits) _visits.Add(new Visit(map.Corners[index], at, at));
            else index = -1;
        }

        _index = index;
    }

    private readonly record struct Visit(Corner Corner, LogTime Entry, LogTime Exit);
}
