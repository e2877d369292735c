using OilWatch.Live;

namespace OilWatch.Hosting;

/// <summary>Remembers when bytes came last, and passes them on.</summary>
/// <param name="inner">Takes them, or null.</param>
/// <param name="time">Says when.</param>
internal sealed class Heartbeat(ILiveTap? inner, TimeProvider time) : ILiveTap
{
    private long _at = time.GetTimestamp();

    /// <summary>How long nothing has come.</summary>
    public TimeSpan Silence => time.GetElapsedTime(Volatile.Read(ref _at));

    public void Write(ReadOnlySpan<byte> bytes)
    {
        Volatile.Write(ref _at, time.GetTimestamp());
        inner?.Write(bytes);
    }

    public void Note(string text) => inner?.Note(text);
}
