namespace OilWatch.Causes;

/// <summary>The sums of one stretch of the run, by engine speed and load.</summary>
internal sealed class StretchSums
{
    /// <summary>The first bin that counts as fast: 2500 rpm.</summary>
    public const int FirstFastBin = 10;

    private const int LeastInCell = 4;
    private const int LeastForScatter = 10;
    private readonly SignatureTally.Cell[] _cells = new SignatureTally.Cell[SignatureTally.Bins * SignatureTally.Loads];

    /// <summary>The cell of a bin of engine speed and a class of load.</summary>
    public ref SignatureTally.Cell this[int bin, int load] => ref _cells[(bin * SignatureTally.Loads) + load];

    /// <summary>Adds another stretch.</summary>
    public void Add(StretchSums other)
    {
        for (int i = 0; i < _cells.Length; i++) _cells[i].Add(in other._cells[i]);
    }

    /// <summary>Standard deviation of the calm ratio at equal engine speed above 2500 rpm; NaN where there is too little.</summary>
    public double Scatter()
    {
        double squares = 0, degrees = 0;
        for (int bin = FirstFastBin; bin < SignatureTally.Bins; bin++)
        {
            ref SignatureTally.Cell calm = ref this[bin, 0];
            if (calm.Count < LeastInCell) continue;
            squares += Math.Max(0, calm.Ratio2 - (calm.Ratio * calm.Ratio / calm.Count));
            degrees += calm.Count - 1;
        }
        return degrees >= LeastForScatter ? Math.Sqrt(squares / degrees) : double.NaN;
    }

    /// <summary>The sums over a range of bins and classes.</summary>
    public SignatureTally.Cell Over(int fromBin, int toBin, int fromLoad, int toLoad)
    {
        SignatureTally.Cell sum = default;
        for (int bin = fromBin; bin < toBin; bin++)
            for (int load = fromLoad; load < toLoad; load++) sum.Add(in this[bin, load]);
        return sum;
    }
}
