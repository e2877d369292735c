namespace OilWatch.Vibration;

/// <summary>The latest samples of one rate, addressed by their index since the beginning.</summary>
internal sealed class SampleBuffer(int capacity)
{
    private readonly float[] _samples = new float[capacity];

    /// <summary>Index of the first sample held.</summary>
    public long First { get; private set; }

    /// <summary>How many are held.</summary>
    public int Count { get; private set; }

    /// <summary>Index after the last sample held.</summary>
    public long End => First + Count;

    /// <summary>How many more fit.</summary>
    public int Room => _samples.Length - Count;

    /// <summary>Begins at an index; only while nothing is held.</summary>
    public void BeginAt(long first) => First = first;

    /// <summary>From an index to the end.</summary>
    public ReadOnlySpan<float> From(long index) => _samples.AsSpan((int)(index - First), (int)(End - index));

    /// <summary>Room at the end for samples that the caller writes.</summary>
    public Span<float> Grow(int count)
    {
        Span<float> room = _samples.AsSpan(Count, count);
        Count += count;
        return room;
    }

    /// <summary>Forgets all but the latest <paramref name="kept"/>.</summary>
    public void KeepLast(int kept)
    {
        int drop = Count - kept;
        if (drop <= 0) return;
        _samples.AsSpan(drop, kept).CopyTo(_samples);
        First += drop;
        Count = kept;
    }
}
