namespace OilWatch.Causes;

/// <summary>The sums of one stretch of the run, by engine speed and load.</summary>
internal sealed class StretchSums
{
    private readonly SignatureTally.Cell[] _cells = new SignatureTally.Cell[SignatureTally.Bins * SignatureTally.Loads];

    /// <summary>The cell of a bin of engine speed and a class of load.</summary>
    public ref SignatureTally.Cell this[int bin, int load] => ref _cells[(bin * SignatureTally.Loads) + load];

    /// <summary>Adds another stretch.</summary>
    public void Add(StretchSums other)
    {
        for (int i = 0; i < _cells.Length; i++) _cells[i].Add(in other._cells[i]);
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
