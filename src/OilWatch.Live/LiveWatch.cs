using OilWatch.Alerts;
using OilWatch.Analysis;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Reading;
using OilWatch.Results;

namespace OilWatch.Live;

/// <summary>Judges a stream as it comes: the same way as a log is replayed as live, so that the same bytes give the same alerts.</summary>
/// <remarks>
/// The source has a thread of its own and so has the analysis; between them is a buffer of fixed size. What the stream is and which channel plays which
/// role is decided by its first moments (<see cref="ReaderOptions.FirstMomentsS"/> of its own time); judging begins when that is known, with the first byte.
/// </remarks>
public static class LiveWatch
{
    private const int PatienceMs = 2000;
    private const int SmallestBuffer = 1024 * 1024;
    private const int LargestBuffer = 1024 * 1024 * 1024;

    /// <summary>Watches a source until it is over or stopped.</summary>
    /// <param name="source">Where the bytes come from.</param>
    /// <param name="request">How, and who is told; the defaults when null.</param>
    /// <param name="stop">Ends the source; what came until then is judged to its end and is the result.</param>
    /// <returns>What was found.</returns>
    /// <exception cref="InputException">Nothing could be read; the message says what and why.</exception>
    public static async Task<SessionResult> RunAsync(ILiveSource source, LiveRequest? request = null, CancellationToken stop = default)
    {
        ArgumentNullException.ThrowIfNull(source);
        request ??= LiveRequest.Default;
        ArgumentOutOfRangeException.ThrowIfLessThan(request.BufferBytes, SmallestBuffer, nameof(request));
        ArgumentOutOfRangeException.ThrowIfGreaterThan(request.BufferBytes, LargestBuffer, nameof(request));
        using var buffer = new LiveBuffer(request.BufferBytes, source.CanWait ? PatienceMs : 0);
        var inlet = new Inlet(buffer, request);
        using var over = CancellationTokenSource.CreateLinkedTokenSource(stop);
        // Not every source can be woken (a read of standard input cannot): the buffer ends whether or not the source has noticed.
        using CancellationTokenRegistration ending = over.Token.Register(buffer.End);
        Exception? failure = null;
        var reading = new Thread(() =>
        {
            try
            {
                source.Run(inlet, over.Token);
            }
            catch (Exception error) when (!over.IsCancellationRequested)
            {
                failure = error;
            }
            catch (Exception error) when (error is IOException or ObjectDisposedException or OperationCanceledException or InvalidOperationException)
            {
                // It was being ended.
            }
            finally
            {
                buffer.End();
            }
        })
        { IsBackground = true, Name = "source" };
        reading.Start();
        try
        {
            var log = new LogSource(source.Name, buffer.Open);
            SessionResult result = await OnAThread(() => AnalyseAsync(log, request, sink => sink, reader => buffer.Release(MarkFor(reader)), inlet.CheckDrops)).ConfigureAwait(false);
            if (failure is not null) inlet.Say(new LiveNotice(Severity.Advisory, $"{source.Name}: ended: {failure.Message}"));
            return result;
        }
        catch (InputException) when (failure is not null)
        {
            throw new InputException($"{source.Name}: {failure.Message}", failure);
        }
        finally
        {
            await over.CancelAsync().ConfigureAwait(false);
        }
    }

    /// <summary>Plays a log as if it came now, for rehearsal.</summary>
    /// <param name="log">Where its bytes come from.</param>
    /// <param name="pace">How many times as fast as it was; infinity for as fast as can be. Greater than 0.</param>
    /// <param name="request">How, and who is told; the defaults when null.</param>
    /// <param name="stop">Ends it; what came until then is the result.</param>
    /// <returns>What was found.</returns>
    /// <exception cref="InputException">Nothing could be read; the message says what and why.</exception>
    public static Task<SessionResult> PlayAsync(LogSource log, double pace, LiveRequest? request = null, CancellationToken stop = default)
    {
        ArgumentNullException.ThrowIfNull(log);
        if (pace is not > 0) throw new ArgumentOutOfRangeException(nameof(pace), pace, "greater than 0 is allowed");
        LiveRequest how = request ?? LiveRequest.Default;
        LogSource stoppable = log with { Open = () => new StoppableStream(log.Open(), stop) };
        return OnAThread(() => AnalyseAsync(
            stoppable, how, sink => double.IsInfinity(pace) ? sink : new PacedSink(sink, pace, how.Time, stop), static _ => { }, static () => { }));
    }

    private static async ValueTask<SessionResult> AnalyseAsync(
        LogSource log, LiveRequest request, Func<IReadingSink, IReadingSink> pace, Action<ILogReader> planned, Action look)
    {
        ILogReader reader = await LogFile.OpenAsync(log, request.Readers with { AsLive = true }, CancellationToken.None).ConfigureAwait(false);
        ChannelPlan plan = await RoleSampling.PlanAsync(reader, request.Options.Car, asLive: true, CancellationToken.None).ConfigureAwait(false);
        planned(reader);
        request.Planned?.Invoke(reader, plan);
        Action<EngineFrame>? judged = request.Counts is { } counts ? (_ => counts.AddFrame()) + request.Judged : request.Judged;
        var analysis = new AnalysisRequest { Options = request.Options, Readers = request.Readers, AsLive = true, Changed = request.Changed, LapEnded = request.LapEnded, Judged = judged };
        var followed = new FollowedReader(reader, sink => new TickingSink(pace(sink), at =>
        {
            look();
            request.Ticked?.Invoke(at);
        }, request.Counts));
        return await SessionAnalysis.RunAsync(followed, plan, analysis, CancellationToken.None).ConfigureAwait(false);
    }

    /// <summary>What stands in the place of dropped bytes: the end of a line, and the words with which the form says that frames were lost.</summary>
    private static ReadOnlySpan<byte> MarkFor(ILogReader reader) => reader.FormatName switch
    {
        "CAN text log" => "\nDROPCOUNT: dropped CAN frames, more came than could be judged\n"u8,
        "SLCAN log" => "\re1o\r"u8,
        _ => "\n"u8,
    };

    private static Task<SessionResult> OnAThread(Func<ValueTask<SessionResult>> work)
    {
        var done = new TaskCompletionSource<SessionResult>(TaskCreationOptions.RunContinuationsAsynchronously);
        var thread = new Thread(() =>
        {
            try
            {
                done.SetResult(work().AsTask().GetAwaiter().GetResult());
            }
            catch (Exception error)
            {
                done.SetException(error);
            }
        })
        { IsBackground = true, Name = "analysis" };
        thread.Start();
        return done.Task;
    }

    /// <summary>Hands what a source gives to the tap and the buffer.</summary>
    private sealed class Inlet(LiveBuffer buffer, LiveRequest request) : ILiveInlet
    {
        private byte _last = (byte)'\n';
        private long _saidDrops;

        public void Write(ReadOnlySpan<byte> bytes)
        {
            if (bytes.IsEmpty) return;
            _last = bytes[^1];
            request.Counts?.AddSourceBytes(bytes.Length);
            request.Tap?.Write(bytes);
            buffer.Write(bytes);
        }

        public void Break()
        {
            request.Counts?.AddBreak();
            if (_last is not ((byte)'\n' or (byte)'\r')) Write("\n"u8);
        }

        public void Say(LiveNotice notice)
        {
            request.Tap?.Note(notice.Text);
            request.Said?.Invoke(notice);
        }

        /// <summary>Says when bytes were dropped since the last look.</summary>
        public void CheckDrops()
        {
            if (buffer.Drops == _saidDrops) return;
            _saidDrops = buffer.Drops;
            request.Counts?.SetDroppedBytes(buffer.Dropped);
            Say(new LiveNotice(Severity.Advisory, FormattableString.Invariant(
                $"more came than could be judged: {buffer.Dropped} bytes dropped so far; give the program more of the machine")));
        }
    }
}
