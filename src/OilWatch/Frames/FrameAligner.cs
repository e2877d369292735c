using System.Runtime.CompilerServices;
using OilWatch.Channels;
using OilWatch.Reading;

namespace OilWatch.Frames;

/// <summary>Turns readings of many channels at many rates into frames: every role at one instant.</summary>
/// <remarks>
/// One role sets the pace (oil pressure where there is one): a record that carries it makes a frame. Records within a tick of it,
/// such as the messages that a control unit sends at once, are of the same instant whatever their order, so the frame waits for the first stamp beyond the tick;
/// where records come alone, as the rows of a table do, it does not wait.
/// The other roles give their mean since the last frame where they are faster, and their last reading where they are
/// slower, until it is stale. Where the pace role falls silent while others go on, frames are made without it, so that its
/// absence can be seen. Everything follows from the log's own time stamps.
/// </remarks>
internal sealed class FrameAligner : IRowSink
{
    private const double FastestFrameS = 0.0135;       // up to 74 readings a second each make a frame
    private const double FastPaceFrameS = 0.0385;      // faster ones are taken together: 25 frames a second, quicker than oil pressure can move
    private const double OddSpreads = 6;               // readings taken together that lie further apart than this many usual spreads are no noise
    private const double RaggedTimes = 4.5;              // a level goes with its own size
    private const double BlankS = 0.1;                 // a channel written on every record that is on none for so long has no value, however slow it is
    private const double BlankRecords = 2.5;           // and for so many records
    private const double SilentFrameS = 0.1;           // pace of the frames made while the pace channel is silent
    private const double JumpS = 60;                   // a leap this far forward must be confirmed by the next record
    private const long JumpNanoseconds = (long)JumpS * LogTime.NanosecondsPerSecond;
    private const long TickNanoseconds = IReadingSink.TickNanoseconds;
    private const int AloneFrames = 50;                // frames in a row with no two records in one tick: from then on records come alone
    private const long NoFrameWaits = long.MaxValue;

    private readonly IFrameSink _sink;
    private readonly AlignOptions _options;
    private readonly int[] _roleOfChannel;
    private readonly double[] _scale;
    private readonly double[] _offset;
    private readonly Track[] _tracks = new Track[Roles.Count];
    private readonly Role _pace;
    private FeedOf[] _feeds = [];
    private int[]? _fed;
    private readonly long _disorder;
    private uint _fresh;
    private bool _begun;
    private bool _paceTicked;
    private LogTime _now;
    private LogTime _lastFrame;
    private LogTime? _leap;
    private LogTime _waiting;
    private long _waitsUntil = NoFrameWaits;
    private long _record = long.MinValue / 2;
    private int _alone;
    private long _stepNanoseconds;
    private double _stepS;

    public FrameAligner(ChannelPlan plan, AlignOptions options, IFrameSink sink)
    {
        _sink = sink;
        _options = options;
        _disorder = (long)(options.DisorderS * LogTime.NanosecondsPerSecond);
        int channels = plan.Choices.IsEmpty ? 0 : plan.Choices.Max(choice => choice.Channel.Index) + 1;
        _roleOfChannel = new int[channels];
        _scale = new double[channels];
        _offset = new double[channels];
        Array.Fill(_roleOfChannel, -1);
        foreach (ChannelChoice choice in plan.Choices)
        {
            _roleOfChannel[choice.Channel.Index] = (int)choice.Role;
            _scale[choice.Channel.Index] = choice.Scale;
            _offset[choice.Channel.Index] = choice.Offset;
        }
        for (int i = 0; i < _tracks.Length; i++) _tracks[i].Value = double.NaN;
        _pace = PaceOf(plan);
    }

    /// <summary>Readings dropped because their time stamp was too far behind.</summary>
    public long DroppedBehind { get; private set; }

    /// <summary>Records dropped because their time stamp leapt forward and nothing followed it there.</summary>
    public long DroppedLeaps { get; private set; }

    /// <summary>Times that the source said it lost data.</summary>
    public long LostNotices { get; private set; }

    /// <summary>Frames made.</summary>
    public long Frames { get; private set; }

    /// <summary>Readings taken of a role.</summary>
    public long Samples(Role role) => _tracks[(int)role].Samples;

    /// <summary>Typical interval between readings of a role, s; NaN when there were fewer than two.</summary>
    public double IntervalS(Role role) => _tracks[(int)role].Interval is > 0 and double interval ? interval : double.NaN;

    /// <summary>Seconds in which a role had no valid reading while frames went on.</summary>
    public double GapS(Role role) => _tracks[(int)role].GapS;

    public void Add(LogTime at, int channel, double value)
    {
        if ((uint)channel >= (uint)_roleOfChannel.Length) return;
        int role = _roleOfChannel[channel];
        // Mostly of the instant of the reading before, whose stamp was looked at.
        if (role < 0 || (!(at == _now && _begun && _leap is null) && !Accept(ref at))) return;
        Take(role, at, value, _scale[channel], _offset[channel]);
    }

    public void AddRow(LogTime at, int[] channels, ReadOnlySpan<double> values)
    {
        if (_begun && _leap is null && at >= _now && at.Nanoseconds - _now.Nanoseconds <= JumpNanoseconds)
        {
            if (_fed != channels) Feed(channels);
            AddNext(at, values);
        }
        else
        {
            for (int i = 0; i < values.Length; i++)
                if (BitConverter.DoubleToInt64Bits(values[i]) != IRowSink.AbsentBits) Add(at, channels[i], values[i]);
        }
        EndRecord(at);
    }

    public void EndRecord(LogTime at)
    {
        if (!_begun || at < _now) at = _now;
        if (!_begun || at.SecondsSince(_now) > JumpS) return;       // a stamp that leapt ahead makes no frame either
        if (at.Nanoseconds - _record <= TickNanoseconds) _alone = 0;
        _record = at.Nanoseconds;
        if (at.Nanoseconds > _waitsUntil) Release();
        if (_waitsUntil != NoFrameWaits) return;
        double since = at.SecondsSince(_lastFrame);
        if (!(_paceTicked ? since >= FrameS || Frames == 0 : since >= SilentFrameS && PaceIsSilent(at))) return;
        _waiting = at;
        _waitsUntil = at.Nanoseconds + TickNanoseconds;
        if (_alone > AloneFrames) Release();
        else _alone++;
    }

    public void Passed(LogTime at)
    {
        if (at.Nanoseconds > _waitsUntil && at.Nanoseconds - _now.Nanoseconds <= JumpNanoseconds) Release();
    }

    /// <summary>The log is over: a frame that waits for the rest of its tick is made.</summary>
    public void Complete()
    {
        if (_waitsUntil != NoFrameWaits) Release();
    }

    public void DataLost(LogTime at) => LostNotices++;

    public void StampedBehind(LogTime at, double seconds)
    {
        if (!_begun || seconds <= _options.DisorderS) return;
        Complete();
        _sink.OnStampBehind(at, seconds, _pace);
    }

    private static Role PaceOf(ChannelPlan plan)
    {
        ReadOnlySpan<Role> preferred =
            [Role.OilPressure, Role.EngineSpeed, Role.LateralG, Role.CrankcasePressure, Role.Vibration, Role.VehicleSpeed];
        foreach (Role role in preferred)
            if (plan.Has(role)) return role;
        return plan.Choices.IsEmpty ? Role.OilPressure : plan.Choices[0].Role;
    }

    /// <summary>The shortest time between two frames, s.</summary>
    private double FrameS => _tracks[(int)_pace].Interval is > 0 and < FastestFrameS ? FastPaceFrameS : FastestFrameS;

    /// <summary>The values of a row whose stamp needs no looking at.</summary>
    private void AddNext(LogTime at, ReadOnlySpan<double> values)
    {
        if (at.Nanoseconds > _waitsUntil) Release();
        ReadOnlySpan<FeedOf> feeds = _feeds.AsSpan(0, values.Length);
        Track[] tracks = _tracks;
        uint fresh = 0;
        bool any = false;
        for (int i = 0; i < feeds.Length; i++)
        {
            double value = values[i];
            ref readonly FeedOf feed = ref feeds[i];
            if (BitConverter.DoubleToInt64Bits(value) == IRowSink.AbsentBits || feed.Role < 0) continue;
            any = true;
            ref Track track = ref tracks[feed.Role];
            track.Seen = at;
            double scaled = (value * feed.Scale) + feed.Offset;
            // Mostly a reading like the one before: another value, after the usual interval.
            if (at.Nanoseconds - track.At.Nanoseconds == _stepNanoseconds && _stepS == track.Interval && double.IsFinite(scaled) && track.Held.TryTakeOther(value))
            {
                track.Samples++;
                track.At = at;
                fresh |= 1u << feed.Role;
                track.Take(scaled);
            }
            else
            {
                Take(feed.Role, at, value, feed.Scale, feed.Offset);
            }
        }
        if (any) _now = at;
        _fresh |= fresh;
        _paceTicked |= (fresh & (1u << (int)_pace)) != 0;
    }

    private void Feed(int[] channels)
    {
        _feeds = new FeedOf[channels.Length];
        for (int i = 0; i < channels.Length; i++)
        {
            int channel = channels[i];
            _feeds[i] = channel < _roleOfChannel.Length ? new FeedOf(_roleOfChannel[channel], _scale[channel], _offset[channel]) : new FeedOf(-1, 0, 0);
        }
        _fed = channels;
    }

    private void Take(int role, LogTime at, double value, double scale, double offset)
    {
        ref Track track = ref _tracks[role];
        track.Seen = at;
        if (track.Held.IsRepeat(value)) return;
        if (++track.Samples > 1) track.Learn(StepS(at.Nanoseconds - track.At.Nanoseconds));
        track.At = at;
        _fresh |= 1u << role;
        if (role == (int)_pace) _paceTicked = true;
        value = (value * scale) + offset;
        if (double.IsFinite(value))
        {
            track.Take(value);
        }
        else
        {
            track.Value = double.NaN;       // the source says that it has no value: the held one is not valid either
            track.Count = 0;
        }
    }

    /// <summary>Nanoseconds as seconds, remembered: the channels of a record mostly come at the same interval.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private double StepS(long nanoseconds)
    {
        if (nanoseconds != _stepNanoseconds)
        {
            _stepNanoseconds = nanoseconds;
            _stepS = nanoseconds / 1e9;
        }
        return _stepS;
    }

    private bool Accept(ref LogTime at)
    {
        if (_begun && at == _now)
        {
            _leap = null;
            return true;
        }
        if (!_begun)
        {
            _begun = true;
            _now = at;
            _lastFrame = at;
            return true;
        }
        if (at < _now)
        {
            if (_now.Nanoseconds - at.Nanoseconds > TickNanoseconds) Complete();
            if (_now.Nanoseconds - at.Nanoseconds > _disorder)
            {
                DroppedBehind++;
                _sink.OnStampBehind(_now, _now.SecondsSince(at), _pace);
                return false;
            }
            at = _now;
            return true;
        }
        if (at.SecondsSince(_now) > JumpS && !Confirms(at)) return false;
        if (at.Nanoseconds > _waitsUntil) Release();
        _leap = null;
        _now = at;
        return true;
    }

    /// <summary>A leap forward counts only when a later record goes on from it: one damaged stamp must not hide the rest of the log.</summary>
    private bool Confirms(LogTime at)
    {
        if (_leap is { } leap && at > leap && at.SecondsSince(leap) <= JumpS)
        {
            DroppedLeaps--;             // a pause, not a damaged stamp: its first record served to tell
            return true;
        }
        if (_leap is null || at != _leap) DroppedLeaps++;
        _leap = at;
        return false;
    }

    private bool PaceIsSilent(LogTime at)
    {
        ref Track pace = ref _tracks[(int)_pace];
        return pace.Samples == 0 || at.SecondsSince(pace.At) > Math.Max(_options.FastStaleS, 3.5 * pace.Interval);
    }

    /// <summary>Makes the frame that waits, of the last instant that it has a reading of.</summary>
    private void Release()
    {
        Emit(_now > _waiting ? _now : _waiting);
        _lastFrame = _waiting;
        _waitsUntil = NoFrameWaits;
    }

    private void Emit(LogTime at)
    {
        var frame = new EngineFrame(at) { Fresh = _fresh };
        double step = Math.Min(at.SecondsSince(_lastFrame), 1);
        bool paceIsFast = FrameS > FastestFrameS;
        for (int i = 0; i < _tracks.Length; i++)
        {
            ref Track track = ref _tracks[i];
            if (track.Samples == 0) continue;
            var role = (Role)i;
            bool valid = double.IsFinite(track.Value)
                && (track.At == at || at.SecondsSince(track.At) <= Math.Max(_options.StaleS(role), Math.Min(3.5 * track.Interval, 5)));
            if (valid && track.IsBlank(at))
            {
                valid = false;
                frame.Fresh |= 1u << i;                 // as if the source had said so
            }
            if (valid && track.Count > 1)
            {
                if (track.IsRagged(role)) frame.Ragged |= 1u << i;
                frame[role] = track.Together(role, paceIsFast);
            }
            else if (valid)
            {
                frame[role] = track.Value;
            }
            else track.GapS += step;
            if (track.Held.Records > 0) frame.Held |= 1u << i;
            track.Count = 0;
        }
        _fresh = 0;
        _paceTicked = false;
        Frames++;
        _sink.OnFrame(in frame);
    }

    /// <summary>Which role a value of a row feeds, -1 for none, and how.</summary>
    private readonly record struct FeedOf(int Role, double Scale, double Offset);

    /// <summary>What is known of one role between frames.</summary>
    private struct Track
    {
        public double Value;
        public double Sum;
        public double Low;
        public double High;
        public int Count;
        public double UsualSpread;
        public LogTime At;
        public LogTime Seen;
        public long Samples;
        public double Interval;
        public double GapS;
        public HoldWatch Held;

        /// <summary>True where the channel is repeated on every record, and was left out of the latest ones.</summary>
        public readonly bool IsBlank(LogTime at) =>
            Held.Records > 0 && Seen != at && at.SecondsSince(Seen) > Math.Max(BlankS, BlankRecords * Interval / Held.Records);

        /// <summary>Takes a reading for the next frame.</summary>
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public void Take(double value)
        {
            Value = value;
            if (Count++ == 0)
            {
                Sum = Low = High = value;
                return;
            }
            Sum += value;
            Low = double.MinNative(value, Low);         // without a branch, which noise would make a guess of
            High = double.MaxNative(value, High);
        }

        /// <summary>True where the readings since the last frame lie apart as those of one moment cannot: their mean would hide it.</summary>
        public bool IsRagged(Role role)
        {
            double least = role switch { Role.CrankcasePressure or Role.Vibration => 4, Role.Throttle => 40, Role.FuelPressure => 60, _ => double.PositiveInfinity };
            double spread = High - Low;
            if (!(least < double.PositiveInfinity)) return false;
            if (spread > Math.Max(least, OddSpreads * UsualSpread) && (role != Role.Vibration || High > RaggedTimes * Math.Abs(Low))) return true;
            UsualSpread = UsualSpread == 0 ? spread : Math.Max(0.01 * least, UsualSpread * (spread > UsualSpread ? 1.01 : 0.99));       // half of all are larger
            return false;
        }

        /// <summary>What the readings since the last frame stand for.</summary>
        /// <remarks>
        /// Their mean, mostly. Where a fast pace channel is taken together, a mean would hide from those who judge the sensor what does not belong there: readings that lie
        /// apart as noise does not are given as a channel of the frames' own rate would have shown them.
        /// </remarks>
        public double Together(Role role, bool paceIsFast)
        {
            if (role is Role.Lap or Role.Distance or Role.Latitude or Role.Longitude) return Value;
            if (role == Role.Beacon) return High;                   // a pulse may be shorter than a frame
            double mean = High == Low ? Low : Sum / Count;           // the same again must come out the same
            if (!paceIsFast || role is not (Role.OilPressure or Role.EngineSpeed or Role.LateralG or Role.LongitudinalG)) return mean;
            double spread = High - Low;
            bool odd = UsualSpread > 0 && spread > OddSpreads * UsualSpread;
            UsualSpread += UsualSpread > 0 ? 0.02 * (Math.Min(spread, 4 * UsualSpread) - UsualSpread) : spread;
            return !odd ? mean : mean - Low > High - mean ? Low : High;
        }

        /// <summary>Follows the typical interval: a median by small steps, so that a gap hardly moves it.</summary>
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public void Learn(double step)
        {
            if (step > 0 && step != Interval) Follow(step);
        }

        private void Follow(double step)
        {
            if (Interval <= 0) { Interval = step; return; }
            double gain = Samples < 50 ? 0.2 : 0.02;
            Interval += gain * Math.Clamp(step - Interval, -Interval, Interval);
        }
    }
}
