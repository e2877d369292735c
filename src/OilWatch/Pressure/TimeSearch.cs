namespace OilWatch.Pressure;

/// <summary>Finds an instant among readings in order of time.</summary>
internal static class TimeSearch
{
    /// <summary>The first reading that is not before an instant; their number where all are.</summary>
    /// <param name="readings">In order of time.</param>
    /// <param name="atS">The instant, s.</param>
    /// <param name="timeOf">When a reading was, s.</param>
    public static int From<T>(ReadOnlySpan<T> readings, double atS, Func<T, double> timeOf)
    {
        int low = 0, high = readings.Length;
        while (low < high)
        {
            int middle = (low + high) / 2;
            if (timeOf(readings[middle]) < atS) low = middle + 1;
            else high = middle;
        }
        return low;
    }
}
