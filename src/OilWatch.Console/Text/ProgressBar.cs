using System.Globalization;

namespace OilWatch.Console.Text;

/// <summary>One line on a terminal that says how far the run is; wiped before anything else is written.</summary>
internal sealed class ProgressBar
{
    private const int BarColumns = 30;
    private static readonly TimeSpan Pace = TimeSpan.FromMilliseconds(100);

    private readonly Lock _lock = new();
    private readonly TextWriter? _terminal;
    private readonly TimeProvider _time;
    private readonly long[] _lengths;
    private readonly long[] _done;
    private int _finished;
    private long _drawnAt;
    private int _shown;

    /// <param name="terminal">Where to draw, or null to draw nothing.</param>
    /// <param name="time">Paces the drawing.</param>
    /// <param name="lengths">Bytes of each log.</param>
    public ProgressBar(TextWriter? terminal, TimeProvider time, IEnumerable<long> lengths)
    {
        _terminal = terminal;
        _time = time;
        _lengths = [.. lengths];
        _done = new long[_lengths.Length];
        _drawnAt = time.GetTimestamp();
    }

    /// <summary>Says how many bytes of a log are read; null when nothing is drawn. More than its length (packed logs, second passes) counts as all.</summary>
    public Action<long>? Of(int log) => _terminal is null
        ? null
        : bytes =>
        {
            lock (_lock)
            {
                _done[log] = Math.Clamp(bytes, 0, _lengths[log]);
                Draw();
            }
        };

    /// <summary>A log is done.</summary>
    public void Finished(int log)
    {
        lock (_lock)
        {
            _done[log] = _lengths[log];
            _finished++;
        }
    }

    /// <summary>Writes something else where the bar is.</summary>
    public void Around(Action write)
    {
        lock (_lock)
        {
            Wipe();
            write();
        }
    }

    private void Draw()
    {
        long now = _time.GetTimestamp();
        if (_terminal is null || _time.GetElapsedTime(_drawnAt, now) < Pace) return;
        _drawnAt = now;
        double share = _done.Sum() / Math.Max(1.0, _lengths.Sum());
        int filled = (int)(share * BarColumns);
        string line = string.Create(CultureInfo.InvariantCulture,
            $"{(int)(share * 100),3} % [{new string('=', filled)}{new string(' ', BarColumns - filled)}] {_finished} of {_lengths.Length} done");
        _terminal.Write("\r" + line.PadRight(_shown));
        _terminal.Flush();
        _shown = line.Length;
    }

    private void Wipe()
    {
        if (_terminal is null || _shown == 0) return;
        _terminal.Write("\r" + new string(' ', _shown) + "\r");
        _terminal.Flush();
        _shown = 0;
    }
}
