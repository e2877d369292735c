namespace OilWatch.Live.Sources;

/// <summary>Any stream, such as standard input: read until it ends.</summary>
/// <param name="name">What it is called in messages.</param>
/// <param name="open">Opens it.</param>
public sealed class StreamSource(string name, Func<Stream> open) : ILiveSource
{
    /// <inheritdoc/>
    public string Name => name;

    /// <summary>Standard input, called <c>-</c>.</summary>
    public static StreamSource StandardInput() => new("-", Console.OpenStandardInput);

    /// <inheritdoc/>
    public void Run(ILiveInlet inlet, CancellationToken stop)
    {
        ArgumentNullException.ThrowIfNull(inlet);
        using Stream stream = open();
        var buffer = new byte[Coalescing.BufferBytes];
        while (!stop.IsCancellationRequested)
        {
            int count = stream.Read(buffer, 0, buffer.Length);
            if (count == 0) return;
            inlet.Write(buffer.AsSpan(0, count));
            Coalescing.AfterReading(count);
        }
    }
}
