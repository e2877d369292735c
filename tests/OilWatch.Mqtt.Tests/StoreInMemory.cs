using System.Diagnostics.CodeAnalysis;
using OilWatch.Mqtt.Spooling;

namespace OilWatch.Mqtt.Tests;

/// <summary>A disk that the test fills, tears and looks into.</summary>
[SuppressMessage("Design", "CA1001:Types that own disposable fields should be disposable", Justification = "Nothing but memory, and a killed program disposes of nothing.")]
internal sealed class StoreInMemory : ISpoolStore
{
    private byte[] _bytes;
    private FileInMemory? _main;

    public StoreInMemory(byte[]? bytes = null) => _bytes = bytes ?? [];

    /// <summary>Bytes that can still be written before the disk is full.</summary>
    public long Room { get; set; } = long.MaxValue;

    /// <summary>True for a file that another process has open.</summary>
    public bool IsTaken { get; set; }

    /// <summary>True for a disk on which nothing can be given another name.</summary>
    public bool CannotReplace { get; set; }

    public int Replacements { get; private set; }

    public int Flushes { get; private set; }

    /// <summary>What a power cut or a killed program leaves.</summary>
    public byte[] Bytes
    {
        get { lock (this) return _main?.ToArray() ?? [.. _bytes]; }
    }

    public string Name => "spool";

    public Stream Open()
    {
        if (IsTaken) throw new IOException("another process has it");
        lock (this)
        {
            if (_main is not null) throw new IOException("it is open already");
            return _main = new FileInMemory(this, _bytes);
        }
    }

    public Stream Begin() => new FileInMemory(this, []);

    public Stream Replace(Stream old, Stream fresh)
    {
        byte[] written = ((FileInMemory)fresh).ToArray();
        fresh.Dispose();
        old.Dispose();
        if (CannotReplace) throw new IOException("it cannot be renamed");
        lock (this) _bytes = written;
        Replacements++;
        return Open();
    }

    public void Flush(Stream file) => Flushes++;

    private sealed class FileInMemory : MemoryStream
    {
        private readonly StoreInMemory _store;

        public FileInMemory(StoreInMemory store, byte[] bytes)
        {
            _store = store;
            base.Write(bytes, 0, bytes.Length);
            Position = 0;
        }

        public override void Write(ReadOnlySpan<byte> buffer)
        {
            lock (_store)
            {
                int count = (int)Math.Min(buffer.Length, _store.Room);
                base.Write(buffer.ToArray(), 0, count);               // what the system still takes
                if (_store.Room != long.MaxValue) _store.Room -= count;
                if (count < buffer.Length) throw new IOException("No space left on device");
            }
        }

        public override void Write(byte[] buffer, int offset, int count) => Write(buffer.AsSpan(offset, count));

        public override void SetLength(long value)
        {
            lock (_store) base.SetLength(value);
        }

        protected override void Dispose(bool disposing)
        {
            lock (_store)
            {
                if (_store._main == this) (_store._bytes, _store._main) = (ToArray(), null);
            }
            base.Dispose(disposing);
        }
    }
}
