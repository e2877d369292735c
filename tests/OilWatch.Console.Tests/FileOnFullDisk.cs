namespace OilWatch.Console.Tests;

/// <summary>A file on a disk that other files fill up as well.</summary>
internal sealed class FileOnFullDisk(string path, Func<long> room, Action<int> use)
    : FileStream(path, FileMode.CreateNew, FileAccess.Write, FileShare.None, bufferSize: 0)
{
    public override void Write(ReadOnlySpan<byte> buffer)
    {
        if (buffer.Length > room())
        {
            int fits = (int)room();
            use(fits);
            base.Write(buffer[..fits]);
            throw new IOException("No space left on device");
        }
        use(buffer.Length);
        base.Write(buffer);
    }
}
