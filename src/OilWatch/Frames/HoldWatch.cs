using System.Runtime.CompilerServices;

namespace OilWatch.Frames;

/// <summary>Tells readings from repeats: a logger that writes a slow channel on every row of a faster table repeats each reading until the next.</summary>
/// <remarks>
/// Of such a channel no value ever stands for a single record only. A repeat is no reading: taken for one, the step to the next reading seems to come between two rows. The same value read
/// again counts as a reading once as many records have passed as it is usually held for.
/// </remarks>
internal struct HoldWatch
{
    private const int Window = 32;                  // changes that are looked at together
    private const int Longest = 12;                 // records; what stands longer is a slow quantity, not a slow channel
    private const int Exceptions = 1;
    private Counts _counts;
    private double _value;
    private int _run;
    private int _changes;
    private int _hold;
    private int _shorter;

    /// <summary>How many records a reading is usually repeated for, its own with them; 0 where none is.</summary>
    public readonly int Records => _hold;

    /// <summary>Takes the value of a record; true when it is no reading of its own.</summary>
    public bool IsRepeat(double value)
    {
        if (value == _value)
        {
            _run++;
            return _hold > 0 && (_run - 1) % _hold != 0;
        }
        if (double.IsNaN(value)) return false;          // says that there is none; how long values are held is as it was
        if (_run > 0) Learn(_run);
        _value = value;
        _run = 1;
        return false;
    }

    /// <summary>The short way for a value unlike the last of a channel that brings another with each record: a reading. False, with nothing done, where more has to be asked.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public bool TryTakeOther(double value)
    {
        if (!(value < _value || value > _value) || _run != 1 || _hold != 0 || _changes >= Window - 1) return false;
        _counts[1]++;
        _changes++;
        _value = value;
        return true;
    }

    private void Learn(int run)
    {
        _counts[Math.Min(run, Longest + 1)]++;
        if (_hold > 0 && run < _hold - 1 && ++_shorter > Exceptions) _hold = 0;
        if (++_changes < Window) return;
        int shortest = 1;
        for (int seen = _counts[1]; shortest <= Longest && seen <= Exceptions; seen += _counts[shortest]) shortest++;
        // A channel whose interval is no whole number of records is held for one more now and then.
        _hold = shortest is > 1 and <= Longest ? 4 * _counts[shortest + 1] >= Window ? shortest + 1 : shortest : 0;
        _counts = default;
        _changes = 0;
        _shorter = 0;
    }

    [InlineArray(Longest + 2)]
    private struct Counts
    {
        private int _first;
    }
}
