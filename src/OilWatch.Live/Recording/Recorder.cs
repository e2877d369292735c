using System.Buffers;
using System.Globalization;
using System.Security.Cryptography;
using OilWatch.Alerts;
using OilWatch.Reading;
using OilWatch.Reading.Recording;

namespace OilWatch.Live.Recording;

/// <summary>Keeps everything that comes from a source in append-only files that survive a power cut. Writing is done on a thread of its own.</summary>
/// <remarks>
/// What cannot be written (disk full, or slower than the source) is left out of the recording, with a notice; the source and the judging never wait for it.
/// Another file is tried again and again.
/// </remarks>
public sealed class Recorder : ILiveTap, IDisposable
{
    /// <summary>How the names of recordings end.</summary>
    public const string FileEnding = ".owr";

    private const int MostNotes = 256;
    private const int PieceBytes = 4 * RecordingBlock.MaxPayloadBytes;
    private static readonly TimeSpan LongestFarewell = TimeSpan.FromSeconds(3);

    private readonly Lock _gate = new();
    private readonly ManualResetEventSlim _soon = new();
    private readonly IRecordingStore _store;
    private readonly RecordingOptions _options;
    private readonly TimeProvider _time;
    private readonly string _source;
    private readonly (string Name, byte[] Bytes)[] _databases;
    private readonly Action<LiveNotice> _say;
    private readonly byte[] _id = RandomNumberGenerator.GetBytes(16);
    private readonly string _baseName;
    private readonly ArrayBufferWriter<byte> _blocks = new(256 * 1024);
    private readonly Thread _writer;
    private readonly Queue<string> _notes = new();
    private byte[] _coming;
    private byte[] _going;
    private int _comingCount;
    private long _leftOut;
    private long _written;
    private long _saidLeftOut;
    private bool _closing;
    private Stream? _file;
    private long _fileBytes;
    private int _part;
    private long _sequence;
    private long _lookedAtDisk;
    private long _failedAt;
    private bool _failing;

    /// <summary>Begins a recording. The first file is made when something comes.</summary>
    /// <param name="store">Where its files go.</param>
    /// <param name="source">What is recorded, such as <c>tcp:192.0.2.1:29536</c>.</param>
    /// <param name="databases">The CAN databases that the source is read with; kept in the recording.</param>
    /// <param name="say">Told when something is not recorded and when it is again. From the recorder's thread.</param>
    /// <param name="options">How; the defaults when null.</param>
    /// <param name="time">Paces the writing and stamps it; the system's clock when null.</param>
    /// <exception cref="InputException">A database cannot be read.</exception>
    public Recorder(
        IRecordingStore store, string source, IEnumerable<LogSource> databases, Action<LiveNotice> say, RecordingOptions? options = null, TimeProvider? time = null)
    {
        ArgumentNullException.ThrowIfNull(store);
        ArgumentNullException.ThrowIfNull(source);
        ArgumentNullException.ThrowIfNull(databases);
        ArgumentNullException.ThrowIfNull(say);
        _options = options ?? RecordingOptions.Default;
        ArgumentOutOfRangeException.ThrowIfLessThan(_options.FlushEvery, TimeSpan.FromMilliseconds(1), nameof(options));
        ArgumentOutOfRangeException.ThrowIfGreaterThan(_options.FlushEvery, TimeSpan.FromMilliseconds(250), nameof(options));
        ArgumentOutOfRangeException.ThrowIfLessThan(_options.BufferBytes, RecordingBlock.MaxPayloadBytes, nameof(options));
        ArgumentOutOfRangeException.ThrowIfLessThan(_options.FileBytes, RecordingBlock.MaxPayloadBytes, nameof(options));
        _store = store;
        _source = source;
        _say = say;
        _time = time ?? TimeProvider.System;
        _databases = [.. databases.Select(database => (database.Name, BytesOf(database)))];
        _baseName = _time.GetUtcNow().ToString("'recording-'yyyyMMdd'T'HHmmss'Z-'", CultureInfo.InvariantCulture);
        _coming = new byte[_options.BufferBytes];
        _going = new byte[_options.BufferBytes];
        _writer = new Thread(Write) { IsBackground = true, Name = nameof(Recorder) };
        _writer.Start();
    }

    /// <summary>Bytes that are in no file: the disk was full, failing or too slow.</summary>
    public long LeftOutBytes => Interlocked.Read(ref _leftOut);

    /// <summary>Bytes of the recording that are on the disk.</summary>
    public long WrittenBytes => Interlocked.Read(ref _written);

    /// <summary>True while nothing can be written; another file is tried again and again.</summary>
    public bool IsFailing => Volatile.Read(ref _failing);

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<byte> bytes)
    {
        lock (_gate)
        {
            int count = Math.Min(bytes.Length, _coming.Length - _comingCount);
            bytes[..count].CopyTo(_coming.AsSpan(_comingCount));
            _comingCount += count;
            if (count < bytes.Length) Interlocked.Add(ref _leftOut, bytes.Length - count);
            if (_comingCount > _coming.Length / 2) _soon.Set();
        }
    }

    /// <inheritdoc/>
    public void Note(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        lock (_gate) if (_notes.Count < MostNotes) _notes.Enqueue(text);
    }

    /// <summary>Writes what is left and closes the file in order.</summary>
    public void Dispose()
    {
        lock (_gate) _closing = true;
        _soon.Set();
        if (_writer.Join(LongestFarewell)) _soon.Dispose();
    }

    private static byte[] BytesOf(LogSource database)
    {
        try
        {
            using Stream stream = database.Open();
            using var bytes = new MemoryStream();
            stream.CopyTo(bytes);
            return bytes.ToArray();
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw new InputException($"{database.Name}: cannot be read: {error.Message}", error);
        }
    }

    private void Write()
    {
        bool closing = false;
        while (!closing)
        {
            WaitForMore();
            int count;
            string[] notes;
            lock (_gate)
            {
                (_coming, _going) = (_going, _coming);
                (count, _comingCount) = (_comingCount, 0);
                notes = [.. _notes];
                _notes.Clear();
                closing = _closing;
            }
            // In pieces, so that one file does not grow far beyond its size when much comes at once.
            for (int at = 0; at == 0 || at < count; at += PieceBytes)
                TryAppend(_going.AsSpan(at, Math.Min(PieceBytes, count - at)), at + PieceBytes >= count ? notes : []);
            SayLeftOut();
        }
        Close(isLast: true);
    }

    private void TryAppend(ReadOnlySpan<byte> bytes, string[] notes)
    {
        try
        {
            Append(bytes, notes);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            Interlocked.Add(ref _leftOut, bytes.Length);
            Fail($"cannot be written: {error.Message.TrimEnd('.')}");
        }
    }

    private void WaitForMore()
    {
        using ITimer timer = _time.CreateTimer(static state => ((ManualResetEventSlim)state!).Set(), _soon, _options.FlushEvery, Timeout.InfiniteTimeSpan);
        _soon.Wait();
        _soon.Reset();
        lock (_gate) if (_closing) _soon.Set();
    }

    private void Append(ReadOnlySpan<byte> bytes, string[] notes)
    {
        if (bytes.IsEmpty && notes.Length == 0) return;
        if (_failing && _time.GetElapsedTime(_failedAt) < _options.RetryAfter)
        {
            Interlocked.Add(ref _leftOut, bytes.Length);
            return;
        }
        if (_file is null || _time.GetElapsedTime(_lookedAtDisk) > TimeSpan.FromSeconds(1))
        {
            _lookedAtDisk = _time.GetTimestamp();
            if (_store.FreeBytes < _options.DiskFloorBytes)
            {
                Interlocked.Add(ref _leftOut, bytes.Length);
                Fail(string.Create(CultureInfo.InvariantCulture, $"stopped: the disk has less than {_options.DiskFloorBytes / (1024 * 1024)} MiB of room left; make room"));
                return;
            }
        }
        _blocks.ResetWrittenCount();
        if (_file is null) Begin();
        long now = NowUs();
        long sequence = _sequence;
        while (!bytes.IsEmpty)
        {
            int count = Math.Min(bytes.Length, RecordingBlock.MaxPayloadBytes);
            RecordingBlock.WriteBytes(_blocks, sequence++, now, bytes[..count]);
            bytes = bytes[count..];
        }
        foreach (string note in notes) RecordingBlock.WriteNote(_blocks, sequence, now, note);
        _file!.Write(_blocks.WrittenSpan);
        _store.Flush(_file);
        _sequence = sequence;
        _fileBytes += _blocks.WrittenCount;
        Interlocked.Add(ref _written, _blocks.WrittenCount);
        if (_failing)
        {
            _failing = false;
            _say(new LiveNotice(null, "recording: goes on in another file"));
        }
        if (_fileBytes >= _options.FileBytes) Close(isLast: false);
    }

    /// <summary>Makes the next file; what stands at its beginning goes with the first bytes in one write.</summary>
    private void Begin()
    {
        int part = _part + 1;
        _file = _store.Create(string.Create(CultureInfo.InvariantCulture, $"{_baseName}{part:D4}{FileEnding}"));
        _part = part;
        _fileBytes = 0;
        RecordingBlock.WriteStart(_blocks, _id, part, NowUs(), _source);
        for (int i = 0; i < _databases.Length; i++)
        {
            (string name, byte[] bytes) = _databases[i];
            for (int at = 0; at == 0 || at < bytes.Length; at += RecordingBlock.MaxPayloadBytes)
                RecordingBlock.WriteDatabase(_blocks, i, name, bytes.AsSpan(at, Math.Min(RecordingBlock.MaxPayloadBytes, bytes.Length - at)));
        }
    }

    private void Close(bool isLast)
    {
        if (_file is null) return;
        try
        {
            _blocks.ResetWrittenCount();
            RecordingBlock.WriteEnd(_blocks, _sequence, NowUs(), isLast);
            _file.Write(_blocks.WrittenSpan);
            _store.Flush(_file);
            _file.Dispose();
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            // What is in it reads without an end as well.
        }
        _file = null;
    }

    private void Fail(string why)
    {
        if (!_failing) _say(new LiveNotice(Severity.Advisory, $"recording: {why}; data are judged but not kept meanwhile"));
        _failing = true;
        _failedAt = _time.GetTimestamp();
        try
        {
            _file?.Dispose();
        }
        catch (IOException)
        {
            // It failed already.
        }
        _file = null;
    }

    private void SayLeftOut()
    {
        long leftOut = LeftOutBytes;
        if (_failing || leftOut == _saidLeftOut) return;
        _saidLeftOut = leftOut;
        string text = string.Create(CultureInfo.InvariantCulture, $"recording: {leftOut} bytes so far were not kept: the disk did not take them in time");
        Note(text);
        _say(new LiveNotice(Severity.Advisory, text));
    }

    private long NowUs() => (_time.GetUtcNow() - DateTimeOffset.UnixEpoch).Ticks / TimeSpan.TicksPerMicrosecond;
}
