using System.Collections.Immutable;
using System.Globalization;
using OilWatch.Channels;

namespace OilWatch.Reading.Nmea;

/// <summary>A log with the positions of a side file put in among its own records, in order of time.</summary>
/// <remarks>What the side file holds from before the log's first record and after its last is left out. The side file is read along with the log, not kept.</remarks>
internal sealed class PositionedLog : ILogReader
{
    private static readonly ImmutableArray<Role> Possible = [Role.Latitude, Role.Longitude, Role.VehicleSpeed];

    private readonly ILogReader _log;
    private readonly PositionSource _source;
    private readonly ImmutableArray<(Role Role, int Index)> _added;
    private string _told;

    private PositionedLog(ILogReader log, PositionSource source)
    {
        _log = log;
        _source = source;
        int next = log.Channels.Count == 0 ? 0 : log.Channels.Max(channel => channel.Index) + 1;
        _added = [.. Possible.Where(role => source.Fills.Contains(role)).Select((role, place) => (role, next + place))];
        Channels =
        [
            .. log.Channels,
            .. _added.Select(added => new LogChannel(added.Index, added.Role.Key(), added.Role.Unit(), source.File.Name)),
        ];
        _told = $"Positions come from {source.File.Name} (NMEA 0183).";
    }

    public string Name => _log.Name;

    public string FormatName => _log.FormatName;

    public IReadOnlyList<LogChannel> Channels { get; }

    public IReadOnlyList<string> Assumptions => [.. _log.Assumptions, _told];

    /// <summary>Puts a side file beside a log.</summary>
    /// <exception cref="InputException">The side file cannot be read, or holds no sentence.</exception>
    public static PositionedLog Open(ILogReader log, PositionSource source)
    {
        using var track = Track(source);
        _ = track.TryNext(out _);
        if (track.Fixes + track.WithoutFix > 0) return new PositionedLog(log, source);
        string why = track.Problems is [var first, ..] ? $" (line {first.Line.ToString(CultureInfo.InvariantCulture)}: {first.Text})" : "";
        throw new InputException($"{source.File.Name}: no NMEA 0183 sentence with a position in it{why}; GGA, RMC, GLL and VTG are read, as in $GPRMC,...*6A");
    }

    public async ValueTask<ReadingReport> ReadAsync(IReadOnlyCollection<int> selected, IReadingSink sink, CancellationToken cancellationToken = default)
    {
        using NmeaTrack track = Track(_source);
        var merged = new Merged(sink, track, [.. _added.Select(added => selected.Contains(added.Index) ? added.Index : -1)], [.. _added.Select(added => added.Role)]);
        ReadingReport report = await _log.ReadAsync([.. selected.Where(index => !_added.Any(added => added.Index == index))], merged, cancellationToken).ConfigureAwait(false);
        merged.Finish();
        _told = Told(track, merged);
        ImmutableArray<ReadingProblem> own = report.Problems.IsDefault ? [] : report.Problems;
        return report with { ProblemCount = report.ProblemCount + track.ProblemCount, Problems = [.. own, .. track.Problems] };
    }

    private static NmeaTrack Track(PositionSource source) => new(source.File.Name, LogBytes.Decoded(source.File).Open(), source.StartS);

    private string Told(NmeaTrack track, Merged merged)
    {
        string lines = string.Create(CultureInfo.InvariantCulture,
            $"{track.Lines} lines, {track.Fixes} with a fix, {track.WithoutFix} without one, {track.Others} of other kinds, {track.Empty} empty, {track.Damaged} damaged; {track.OutOfOrder} out of order");
        string span = merged is { First: { } first, Last: { } last }
            ? string.Create(CultureInfo.InvariantCulture, $"it runs from {first.Seconds:0.###} to {last.Seconds:0.###} s of log time, {merged.Given} instants of it within the log")
            : "it bears no times";
        string none = merged.Given == 0 ? $"; set start_s beside file = \"{_source.File.Name}\" to the log time of its first sentence" : "";
        return $"Positions come from {_source.File.Name} (NMEA 0183: {lines}); {span}{none}.";
    }

    /// <summary>Gives what the side file says up to a record's time before the record.</summary>
    private sealed class Merged(IReadingSink sink, NmeaTrack track, int[] index, Role[] role) : IReadingSink
    {
        private const double LeapS = 10;               // one damaged stamp must not pull the whole side file along
        private bool _inRecord;
        private bool _begun;
        private LogTime _last;
        private LogTime? _leap;
        private NmeaEpoch _next;
        private bool _hasNext;

        /// <summary>The side file's first instant.</summary>
        public LogTime? First { get; private set; }

        /// <summary>The last instant that was looked at.</summary>
        public LogTime? Last { get; private set; }

        /// <summary>Instants given.</summary>
        public long Given { get; private set; }

        public void Add(LogTime at, int channel, double value)
        {
            if (!_inRecord) GiveUpTo(at);
            _inRecord = true;
            sink.Add(at, channel, value);
        }

        public void EndRecord(LogTime at)
        {
            if (!_inRecord) GiveUpTo(at);
            _inRecord = false;
            sink.EndRecord(at);
        }

        public void DataLost(LogTime at) => sink.DataLost(at);

        public void StampedBehind(LogTime at, double seconds) => sink.StampedBehind(at, seconds);

        /// <summary>The log is over: the rest is looked through for its counts only.</summary>
        public void Finish()
        {
            if (!_begun) _hasNext = Next();
            while (_hasNext) _hasNext = Next();
        }

        private void GiveUpTo(LogTime at)
        {
            if (!_begun)
            {
                _begun = true;
                _last = at;
                _hasNext = Next();
                while (_hasNext && _next.At < at) _hasNext = Next();
            }
            if (at < _last) return;
            if (at.SecondsSince(_last) > LeapS && !(_leap is { } leap && at >= leap && at.SecondsSince(leap) <= LeapS))
            {
                _leap = at;
                return;
            }
            // The record that the log went on with after a pause was passed on before it was known to be no damaged stamp: nothing may come from before it now.
            if (_leap is { } resumed && at.SecondsSince(_last) > LeapS)
                while (_hasNext && _next.At < resumed) _hasNext = Next();
            _leap = null;
            _last = at;
            while (_hasNext && _next.At <= at)
            {
                for (int i = 0; i < index.Length; i++)
                {
                    if (index[i] < 0) continue;
                    sink.Add(_next.At, index[i], role[i] switch { Role.Latitude => _next.LatitudeDeg, Role.Longitude => _next.LongitudeDeg, _ => _next.SpeedKmh });
                }
                sink.EndRecord(_next.At);
                Given++;
                _hasNext = Next();
            }
        }

        private bool Next()
        {
            if (!track.TryNext(out _next)) return false;
            First ??= _next.At;
            Last = _next.At;
            return true;
        }
    }
}
