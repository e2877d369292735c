using OilWatch.Mqtt.Spooling;

namespace OilWatch.Mqtt.Tests;

/// <summary>A disk that the test fills, tears and looks into.</summary>
internal sealed class StoreInMemory : ISpoolStore
{
    private byte[] _bytes;
    private int _opened;

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
        get { lock (this) return [.. _bytes]; }
    }

    public string Name => "spool";

    public Stream Open()
    {
        if (IsTaken) throw new IOException("another process has it");
        if (Interlocked.Exchange(ref _opened, 1) == 1) throw new IOException("it is open already");
        return new FileInMemory(this, isMain: true, Bytes);
    }

    public Stream Begin() => new FileInMemory(this, isMain: false, []);

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
        private readonly bool _isMain;

        public FileInMemory(StoreInMemory store, bool isMain, byte[] bytes)
        {
            (_store, _isMain) = (store, isMain);
            base.Write(bytes, 0, bytes.Length);
            Position = 0;
        }

        public override void Write(ReadOnlySpan<byte> buffer)
        {
            if (buffer.Length > _store.Room)
            {
                base.Write(buffer.ToArray(), 0, (int)_store.Room);    // what the system still took
                _store.Room = 0;
                Keep();
                throw new IOException("No space left on device");
            }
            if (_store.Room != long.MaxValue) _store.Room -= buffer.Length;
            base.Write(buffer.ToArray(), 0, buffer.Length);
            Keep();
        }

        public override void Write(byte[] buffer, int offset, int count) => Write(buffer.AsSpan(offset, count));

        public override void SetLength(long value)
        {
            base.SetLength(value);
            Keep();
        }

        protected override void Dispose(bool disposing)
        {
            if (_isMain) Interlocked.Exchange(ref _store._opened, 0);
            base.Dispose(disposing);
        }

        private void Keep()
        {
            if (!_isMain) return;
            lock (_store) _store._bytes = ToArray();
        }
    }
}
