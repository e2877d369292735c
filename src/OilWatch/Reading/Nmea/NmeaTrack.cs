using System.Collections.Immutable;
using OilWatch.Positions;

namespace OilWatch.Reading.Nmea;

/// <summary>Reads a file of NMEA 0183 sentences instant by instant: lines of the same time of day are one. Memory does not grow with the file.</summary>
/// <remarks>
/// Sentences bear a time of day, some a date as well. Time goes on from one to the next: a time of day that falls back by more than half a day is the next day, by less is out of
/// order and left out. A date that is later than that by whole days moves the days on.
/// </remarks>
internal sealed class NmeaTrack : IDisposable
{
    /// <summary>Problems kept in full.</summary>
    public const int MostProblems = 20;

    private const int MostLinesBefore = 10_000;        // the first sentence with a position comes before, or the file is something else
    private const double FurthestS = 9e9;              // what nanoseconds hold, and a little less
    private const double DayS = 86_400;
    private const double HalfDayS = 43_200;
    private const int BufferBytes = 64 * 1024;

    private readonly string _name;
    private readonly double _startS;
    private readonly Stream _stream;
    private readonly byte[] _buffer = new byte[BufferBytes];
    private readonly ImmutableArray<ReadingProblem>.Builder _problems = ImmutableArray.CreateBuilder<ReadingProblem>();
    private int _from;
    private int _to;
    private bool _over;
    private bool _skipping;
    private double? _originS;
    private double _nowS;
    private DateOnly? _date;
    private long _dateDay;
    private bool _hasEpoch;
    private double _epochS;
    private NmeaFix _epoch = new();

    /// <param name="name">The file's name, for messages.</param>
    /// <param name="stream">Its bytes, decoded; disposed with this.</param>
    /// <param name="startS">Log time of the first sentence that bears a time, s.</param>
    public NmeaTrack(string name, Stream stream, double startS)
    {
        _name = name;
        _stream = stream;
        _startS = startS;
    }

    /// <summary>Lines so far. Each is in exactly one of the counts below.</summary>
    public long Lines { get; private set; }

    /// <summary>Lines with a position or a speed.</summary>
    public long Fixes { get; private set; }

    /// <summary>Lines by which the receiver said that it had no fix.</summary>
    public long WithoutFix { get; private set; }

    /// <summary>Whole sentences of other kinds.</summary>
    public long Others { get; private set; }

    /// <summary>Lines of nothing but white space.</summary>
    public long Empty { get; private set; }

    /// <summary>Lines that are damaged.</summary>
    public long Damaged { get; private set; }

    /// <summary>Sentences left out because their time had gone back.</summary>
    public long OutOfOrder { get; private set; }

    /// <summary>The first problems, in full.</summary>
    public ImmutableArray<ReadingProblem> Problems => _problems.ToImmutable();

    /// <summary>Problems in all.</summary>
    public long ProblemCount { get; private set; }

    /// <summary>Reads on to the next instant; false at the end of the file.</summary>
    /// <param name="epoch">What is said of it; never earlier than the one before.</param>
    /// <exception cref="InputException">The stream failed.</exception>
    public bool TryNext(out NmeaEpoch epoch)
    {
        while (!IsHopeless && TryLine(out ReadOnlySpan<byte> line))
            if (Take(line, out epoch)) return true;
        bool last = _hasEpoch;
        epoch = last ? Epoch() : default;
        _hasEpoch = false;
        return last;
    }

    public void Dispose() => _stream.Dispose();

    private bool IsHopeless => Fixes + WithoutFix == 0 && Lines >= MostLinesBefore;

    /// <summary>Takes a line; true when it begins another instant, and the one before is complete.</summary>
    private bool Take(ReadOnlySpan<byte> line, out NmeaEpoch complete)
    {
        complete = default;
        NmeaLine kind = NmeaSentence.Parse(line, out NmeaFix fix, out string problem);
        switch (kind)
        {
            case NmeaLine.Fix: Fixes++; break;
            case NmeaLine.NoFix: WithoutFix++; break;
            case NmeaLine.Other: Others++; return false;
            case NmeaLine.Empty: Empty++; return false;
            default:
                Damaged++;
                Problem(problem);
                return false;
        }
        bool another = false;
        if (fix.TimeOfDay is { } time)
        {
            double at = At(time.TotalSeconds, fix.Date);
            if (_originS is not null && at < _nowS)
            {
                OutOfOrder++;
                return false;
            }
            _originS ??= at;
            _nowS = at;
            another = _hasEpoch && at > _epochS;
            if (another) complete = Epoch();
            if (another || !_hasEpoch) (_epoch, _epochS, _hasEpoch) = (new NmeaFix(), at, true);
        }
        // A speed of its own (VTG) bears no time: it belongs to the instant under way.
        if (!_hasEpoch || kind != NmeaLine.Fix) return another;
        if (double.IsFinite(fix.LatitudeDeg)) _epoch = _epoch with { LatitudeDeg = fix.LatitudeDeg, LongitudeDeg = fix.LongitudeDeg };
        if (double.IsFinite(fix.SpeedKmh)) _epoch = _epoch with { SpeedKmh = fix.SpeedKmh };
        return another;
    }

    private NmeaEpoch Epoch() =>
        new(LogTime.FromSeconds(Math.Clamp(Math.Round(_startS + _epochS - _originS!.Value, 6), -FurthestS, FurthestS)), _epoch.LatitudeDeg, _epoch.LongitudeDeg, _epoch.SpeedKmh);

    /// <summary>Seconds since the midnight before the first sentence.</summary>
    private double At(double timeOfDayS, DateOnly? date)
    {
        double at = timeOfDayS;
        if (_originS is not null)
        {
            at += DayS * Math.Floor(_nowS / DayS);
            if (at < _nowS - HalfDayS) at += DayS;
            else if (at > _nowS + HalfDayS) at -= DayS;         // a late sentence from before midnight
        }
        if (date is not { } day) return at;
        long here = (long)Math.Floor(at / DayS);
        if (_date is { } known)
        {
            long later = day.DayNumber - known.DayNumber - (here - _dateDay);
            if (later > 0) at += DayS * later;
        }
        (_date, _dateDay) = (day, (long)Math.Floor(at / DayS));
        return at;
    }

    private bool TryLine(out ReadOnlySpan<byte> line)
    {
        while (true)
        {
            ReadOnlySpan<byte> held = _buffer.AsSpan(_from, _to - _from);
            int end = held.IndexOfAny((byte)'\n', (byte)'\r');
            if (end >= 0)
            {
                // CR LF is one line end.
                bool pair = held[end] == '\r' && end + 1 < held.Length && held[end + 1] == '\n';
                if (held[end] == '\r' && end + 1 == held.Length && !_over && Fill()) continue;
                _from += end + (pair ? 2 : 1);
                if (_skipping)
                {
                    _skipping = false;
                    continue;
                }
                Lines++;
                line = held[..end];
                return true;
            }
            if (_skipping) _from = _to;
            else if (held.Length > NmeaSentence.MaxBytes)
            {
                // Longer than any sentence: one damaged line, whatever is left of it.
                Lines++;
                _skipping = true;
                _from = _to;
                line = held[..(NmeaSentence.MaxBytes + 1)];
                return true;
            }
            if (!_over && Fill()) continue;
            line = default;
            held = _buffer.AsSpan(_from, _to - _from);
            if (held.IsEmpty || _skipping) return false;
            _from = _to;
            Lines++;
            line = held;
            return true;
        }
    }

    /// <summary>Reads more behind what is held; false at the end.</summary>
    private bool Fill()
    {
        if (_from > 0)
        {
            _buffer.AsSpan(_from, _to - _from).CopyTo(_buffer);
            (_from, _to) = (0, _to - _from);
        }
        int count;
        try
        {
            count = _stream.Read(_buffer.AsSpan(_to));
        }
        catch (IOException error)
        {
            throw LogBytes.CannotRead(_name, error);
        }
        _to += count;
        if (count > 0) return true;
        _over = true;
        if (_stream is DecodedStream { Damage: { } damage }) Problem(damage, 0);
        return false;
    }

    private void Problem(string text) => Problem(text, Lines);

    private void Problem(string text, long line)
    {
        ProblemCount++;
        if (_problems.Count < MostProblems) _problems.Add(new ReadingProblem(_name, line, 0, text));
    }
}
