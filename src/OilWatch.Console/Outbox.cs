using System.Threading.Channels;

namespace OilWatch.Console;

/// <summary>Writes what is said live from a thread of its own, so that a terminal or pipe that does not take it never holds up the judging.</summary>
/// <remarks>Keeps the latest lines that wait, up to a limit, and says how many it had to leave out.</remarks>
internal sealed class Outbox : IDisposable
{
    private const int MostWaiting = 4096;
    private static readonly TimeSpan LongestFarewell = TimeSpan.FromSeconds(2);

    private readonly Surroundings _around;
    private readonly Channel<(bool IsProblem, string Text)> _lines;
    private readonly Thread _writer;
    private long _leftOut;

    public Outbox(Surroundings around)
    {
        _around = around;
        _lines = Channel.CreateBounded<(bool, string)>(
            new BoundedChannelOptions(MostWaiting) { FullMode = BoundedChannelFullMode.DropOldest, SingleReader = true },
            _ => Interlocked.Increment(ref _leftOut));
        _writer = new Thread(Write) { IsBackground = true, Name = nameof(Outbox) };
        _writer.Start();
    }

    /// <summary>For standard output, its line ends included.</summary>
    public void Answer(string text) => _lines.Writer.TryWrite((false, text));

    /// <summary>A line for standard error.</summary>
    public void Problem(string text) => _lines.Writer.TryWrite((true, text));

    /// <summary>Waits until everything is written, but not for one that takes nothing.</summary>
    public void Dispose()
    {
        _lines.Writer.TryComplete();
        _writer.Join(LongestFarewell);
        if (Interlocked.Read(ref _leftOut) is > 0 and long count) _around.Say(FormattableString.Invariant($"{count} lines were left out: they were not taken in time"));
    }

    private void Write()
    {
        while (_lines.Reader.WaitToReadAsync().AsTask().GetAwaiter().GetResult())
        {
            while (_lines.Reader.TryRead(out (bool IsProblem, string Text) line))
            {
                try
                {
                    if (line.IsProblem) _around.Say(line.Text);
                    else _around.Out.Write(line.Text);
                    if (!line.IsProblem) _around.Out.Flush();
                }
                catch (IOException)
                {
                    Interlocked.Increment(ref _leftOut);         // nobody reads any more; the judging and the files go on
                }
            }
        }
    }
}
