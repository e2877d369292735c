using System.Buffers;
using OilWatch.Alerts;
using OilWatch.Live;

namespace OilWatch.Mqtt.Spooling;

/// <summary>Messages that have to arrive, in order, until the broker has taken them: in a file where there is one, in memory as far as there is room otherwise.</summary>
/// <remarks>
/// <para>A message is in the file, though not flushed to the disk, before <see cref="Append"/> is back: killing the program does not lose it. <see cref="Flush"/> makes it survive a power cut.</para>
/// <para>When the file would grow past its limit, the oldest of the least rank go. What cannot be written, because the disk is full or fails, is kept in memory up to a limit of its own by
/// the same rule, and goes into the file when it can be written again.</para>
/// Calls may come from several threads.
/// </remarks>
internal sealed class Spool : IDisposable
{
    private const long MaxFileBytes = 256L * 1024 * 1024;
    private const int SmallFileBytes = 64 * 1024;
    private static readonly TimeSpan RetryAfter = TimeSpan.FromSeconds(5);

    private readonly Lock _gate = new();
    private readonly ISpoolStore? _store;
    private readonly long _limit;
    private readonly long _memoryLimit;
    private readonly TimeProvider _time;
    private readonly Action<LiveNotice> _say;
    private readonly List<Entry> _waiting = [];
    private readonly ArrayBufferWriter<byte> _block = new(4096);
    private Stream? _file;
    private long _end;
    private long _waitingBytes;
    private long _memoryBytes;
    private long _leftOut;
    private bool _failing;
    private long _failedAt;
    private bool _unflushed;
    private bool _saidLeftOut;
    private bool _loaded;
    private bool _mustReload;
    private int _loadedCount;

    /// <summary>Opens the spool; what an earlier run left in it waits first.</summary>
    /// <param name="store">Where the file is; null to keep messages in memory only.</param>
    /// <param name="limit">Bytes of messages in the file at most.</param>
    /// <param name="memoryLimit">Bytes of messages in memory at most, while the file cannot be written or where there is none.</param>
    /// <param name="time">Paces the tries after a failure.</param>
    /// <param name="say">Told what is lost and what fails.</param>
    public Spool(ISpoolStore? store, long limit, long memoryLimit, TimeProvider time, Action<LiveNotice> say)
    {
        _store = store;
        _limit = limit;
        _memoryLimit = memoryLimit;
        _time = time;
        _say = say;
        lock (_gate) TryOpen();
    }

    /// <summary>How many messages wait.</summary>
    /// <remarks>Like the other figures it is read without the lock: who asks must not wait for a disk that hangs.</remarks>
    public int Count => _waiting.Count;

    /// <summary>Bytes of the messages that wait.</summary>
    public long Bytes => Interlocked.Read(ref _waitingBytes);

    /// <summary>Messages that were given up because there was no more room.</summary>
    public long LeftOut => Interlocked.Read(ref _leftOut);

    /// <summary>True while messages are in a file.</summary>
    public bool IsOnDisk => _file is not null && !_failing;

    /// <summary>Takes a message behind the others.</summary>
    public void Append(SpooledMessage message)
    {
        lock (_gate)
        {
            var entry = new Entry(message, Measure(message));
            _waiting.Add(entry);
            _waitingBytes += entry.Length;
            _memoryBytes += entry.Length;
            if (_store is not null && (!_failing || _time.GetElapsedTime(_failedAt) >= RetryAfter)) WriteHeld();
            if (_memoryBytes > _memoryLimit) MakeRoom(_memoryLimit, inMemoryOnly: true);
        }
    }

    /// <summary>The first message, which stays until it is <see cref="Done"/>.</summary>
    public bool TryPeek(out SpooledMessage? message)
    {
        lock (_gate)
        {
            message = null;
            if (!_loaded && !TryOpen() && _mustReload) return false;   // what is in the file comes first
            while (_waiting.Count > 0)
            {
                Entry first = _waiting[0];
                message = first.Held;
                if (message is not null) return true;
                if (_file is null && !TryOpen()) return false;         // it is there and will be given back
                message = ReadBack(first);
                if (message is not null) return true;
                Remove(0);
                LeaveOut(1, $"{_store!.Name}: a message cannot be read back and is left out; the files hold every alert");
            }
            message = null;
            return false;
        }
    }

    /// <summary>The first message has arrived. Nothing happens when it has been given up meanwhile.</summary>
    public void Done(SpooledMessage message)
    {
        lock (_gate)
        {
            if (_waiting.Count == 0 || !_waiting[0].Is(message.Run, message.Sequence)) return;
            Remove(0);
            if (_waiting.Count == 0) _saidLeftOut = false;
            if (_file is null) return;
            try
            {
                if (_waiting.Count == 0)
                {
                    _file.SetLength(0);
                    _end = 0;
                }
                else if (!_failing)
                {
                    _block.ResetWrittenCount();
                    SpoolBlock.WriteDone(_block, message.Run, message.Sequence);
                    WriteAtEnd();
                }
            }
            catch (Exception error) when (IsOfTheDisk(error))
            {
                Fail(error);                                           // it may arrive twice after a crash; nothing is lost
            }
        }
    }

    /// <summary>Sees that what waits is on the disk itself.</summary>
    public void Flush()
    {
        lock (_gate)
        {
            if (_file is null || !_unflushed) return;
            try
            {
                _store!.Flush(_file);
                _unflushed = false;
            }
            catch (Exception error) when (IsOfTheDisk(error))
            {
                Fail(error);
            }
        }
    }

    /// <summary>Closes the file; what waits in it is sent by the next run.</summary>
    public void Dispose()
    {
        lock (_gate)
        {
            Flush();
            _file?.Dispose();
            _file = null;
        }
    }

    private static bool IsOfTheDisk(Exception error) => error is IOException or UnauthorizedAccessException or NotSupportedException;

    /// <summary>Reads the messages that an earlier run left; drops a torn end, leaps over damage.</summary>
    private void Load()
    {
        _loadedCount = 0;
        long size = _file!.Length;
        if (size > MaxFileBytes) throw new IOException($"{_store!.Name}: is larger than a spool can be; remove it");
        var bytes = new byte[(int)size];
        _file.Position = 0;
        _file.ReadExactly(bytes);
        long damaged = 0;
        int at = 0, wholeUntil = 0;
        while (at < bytes.Length)
        {
            if (SpoolBlock.TryMeasure(bytes.AsSpan(at), out int length))
            {
                damaged += at - wholeUntil;
                if (SpoolBlock.TryRead(bytes.AsMemory(at, length), out SpooledMessage? message, out var done)) Take(message, done, at, length);
                at += length;
                wholeUntil = at;
                continue;
            }
            int next = bytes.AsSpan(at + 1).IndexOf(SpoolBlock.Mark);
            if (next < 0) break;
            at += 1 + next;
        }
        _loaded = true;
        _end = wholeUntil;
        if (wholeUntil < bytes.Length) _file.SetLength(wholeUntil);
        if (damaged > 0) _say(new LiveNotice(Severity.Advisory, FormattableString.Invariant($"{_store!.Name}: {damaged} bytes were damaged, so messages of an earlier run may be missing")));
    }

    private void Take(SpooledMessage? message, (string Run, long Sequence) done, int at, int length)
    {
        if (message is not null)
        {
            _waiting.Insert(_loadedCount++, new Entry(message, length) { Offset = at, Held = null });
            _waitingBytes += length;
            return;
        }
        int last = _waiting.FindLastIndex(_loadedCount - 1, entry => entry.Is(done.Run, done.Sequence));
        for (; last >= 0; last--, _loadedCount--) Remove(0);
    }

    private SpooledMessage? ReadBack(Entry entry)
    {
        try
        {
            byte[] block = ReadBlock(entry);
            return SpoolBlock.TryMeasure(block, out _) && SpoolBlock.TryRead(block, out SpooledMessage? message, out _) ? message : null;
        }
        catch (Exception error) when (IsOfTheDisk(error))
        {
            return null;
        }
    }

    private byte[] ReadBlock(Entry entry)
    {
        var block = new byte[entry.Length];
        _file!.Position = entry.Offset;
        _file.ReadExactly(block);
        return block;
    }

    private int Measure(SpooledMessage message)
    {
        _block.ResetWrittenCount();
        SpoolBlock.WriteMessage(_block, message);
        return _block.WrittenCount;
    }

    /// <summary>Writes whatever is in memory only, in order, behind what is in the file.</summary>
    private void WriteHeld()
    {
        try
        {
            if (_file is null && !TryOpen()) return;
            if (_waitingBytes > _limit) MakeRoom(_limit, inMemoryOnly: false);
            if (IsWorthWritingAnew)
            {
                Rewrite();
            }
            else
            {
                if (_failing) _file!.SetLength(_end);                  // half a block may be behind it
                for (int i = _waiting.FindIndex(entry => entry.Held is not null); i >= 0 && i < _waiting.Count; i++)
                {
                    Entry entry = _waiting[i];
                    Measure(entry.Held!);
                    entry.Offset = _end;
                    WriteAtEnd();
                    entry.Held = null;
                    _memoryBytes -= entry.Length;
                }
            }
            if (_failing) _say(new LiveNotice(null, $"{_store!.Name}: can be written again; what waits for the broker is in it"));
            _failing = false;
        }
        catch (Exception error) when (IsOfTheDisk(error))
        {
            Fail(error);
        }
    }

    /// <summary>Half of the file or more is of no use, or it would outgrow its limit by much.</summary>
    private bool IsWorthWritingAnew =>
        _end + _memoryBytes > SmallFileBytes && _end + _memoryBytes > Math.Min(2 * _waitingBytes, _limit + (_limit / 4));

    private void WriteAtEnd()
    {
        _file!.Position = _end;
        _file.Write(_block.WrittenSpan);
        _end += _block.WrittenCount;
        _unflushed = true;
    }

    private bool TryOpen()
    {
        if (_store is null || (_failing && _time.GetElapsedTime(_failedAt) < RetryAfter)) return false;
        try
        {
            _file = _store.Open();
            if (!_loaded) Load();
            return true;
        }
        catch (Exception error) when (IsOfTheDisk(error))
        {
            _file?.Dispose();
            _file = null;
            Fail(error);
            return false;
        }
    }

    /// <summary>Gives up the oldest of the least rank until what is left has room.</summary>
    private void MakeRoom(long room, bool inMemoryOnly)
    {
        room -= room / 8;                                              // some at once: one hole is better than a hundred
        long count = 0;
        for (int rank = 0; rank <= 2; rank++)
        {
            for (int i = 0; i < _waiting.Count && (inMemoryOnly ? _memoryBytes : _waitingBytes) > room;)
            {
                if (_waiting[i].Rank != rank || (inMemoryOnly && _waiting[i].Held is null))
                {
                    i++;
                    continue;
                }
                Remove(i);
                count++;
            }
        }
        if (count > 0) LeaveOut(count, $"mqtt: {(inMemoryOnly ? "there is no more room in memory" : "the spool is full")}: the oldest laps and advisories are left out first; the files hold every alert");
    }

    private void LeaveOut(long count, string said)
    {
        _leftOut += count;
        if (!_saidLeftOut) _say(new LiveNotice(Severity.Advisory, said));
        _saidLeftOut = true;
    }

    private void Remove(int index)
    {
        Entry entry = _waiting[index];
        _waiting.RemoveAt(index);
        _waitingBytes -= entry.Length;
        if (entry.Held is not null) _memoryBytes -= entry.Length;
    }

    private void Rewrite()
    {
        Stream fresh = _store!.Begin();
        var places = new List<(Entry Entry, long Offset)>();
        long end = 0;
        try
        {
            var held = new ArrayBufferWriter<byte>();
            foreach (Entry entry in _waiting)
            {
                if (entry.Held is { } message)
                {
                    held.ResetWrittenCount();
                    SpoolBlock.WriteMessage(held, message);
                    fresh.Write(held.WrittenSpan);
                }
                else
                {
                    fresh.Write(ReadBlock(entry));
                }
                places.Add((entry, end));
                end += entry.Length;
            }
            _store.Flush(fresh);
        }
        catch
        {
            fresh.Dispose();
            throw;
        }
        Stream old = _file!;
        _file = null;
        try
        {
            _file = _store.Replace(old, fresh);
        }
        catch
        {
            // Which of the two is in its place shows when it is read: what was in the file is forgotten here and taken from there.
            for (int i = _waiting.Count - 1; i >= 0; i--) if (_waiting[i].Held is null) Remove(i);
            _loaded = false;
            _mustReload = true;
            throw;
        }
        foreach ((Entry entry, long offset) in places)
        {
            entry.Offset = offset;
            if (entry.Held is not null) _memoryBytes -= entry.Length;
            entry.Held = null;
        }
        _end = end;
    }

    /// <summary>The file cannot be written for now; what is in it can still be read.</summary>
    private void Fail(Exception error)
    {
        _failedAt = _time.GetTimestamp();
        if (_failing) return;
        _failing = true;
        string why = error.Message.TrimEnd('.');
        _say(new LiveNotice(Severity.Advisory, FormattableString.Invariant(
            $"{_store!.Name}: cannot be written: {why}; what comes for the broker is kept in memory meanwhile, up to {_memoryLimit / 1024} KiB, and would not survive the program")));
    }

    private sealed class Entry
    {
        private readonly string _run;
        private readonly long _sequence;

        public Entry(SpooledMessage message, int length)
        {
            (_run, _sequence, Rank, Length) = (message.Run, message.Sequence, message.Rank, length);
            Held = message;
        }

        public int Rank { get; }

        /// <summary>Of its block.</summary>
        public int Length { get; }

        public long Offset { get; set; }

        /// <summary>The message where it is in no file.</summary>
        public SpooledMessage? Held { get; set; }

        public bool Is(string run, long sequence) => _sequence == sequence && string.Equals(_run, run, StringComparison.Ordinal);
    }
}
