using System.Collections.Immutable;
using System.Globalization;
using System.Reactive.Disposables;
using OilWatch.Alerts;
using OilWatch.Cars;
using OilWatch.Causes;
using OilWatch.Channels;
using OilWatch.Crankcase;
using OilWatch.Detectors;
using OilWatch.Frames;
using OilWatch.Laps;
using OilWatch.Oil;
using OilWatch.Pressure;
using OilWatch.Reading;
using OilWatch.Results;
using OilWatch.Vibration;

namespace OilWatch.Analysis;

/// <summary>Bytes to results: the whole way for one log.</summary>
/// <remarks>
/// After a run two looks are taken: the first learns the circuit, the channels' habits and this engine's healthy pressure; the second finds the alerts,
/// causally, frame by frame. As the pit saw it there is only the second, and everything is learned as it comes.
/// </remarks>
public static class SessionAnalysis
{
    private const int LeastLate = 100;
    private const double LeastBlindS = 5;                // shorter than that, a gap of engine speed is named among the faults only
    private const double PartOfLog = 0.02;

    private static readonly Role[] RolesThatMatter =
        [Role.OilPressure, Role.EngineSpeed, Role.LateralG, Role.LongitudinalG, Role.OilTemperature];

    /// <summary>Analyses one log.</summary>
    /// <param name="log">Where its bytes come from.</param>
    /// <param name="request">How; the defaults when null.</param>
    /// <param name="cancellationToken">Stops between two blocks.</param>
    /// <exception cref="InputException">Nothing could be read; the message says what and why.</exception>
    public static async ValueTask<SessionResult> RunAsync(
        LogSource log, AnalysisRequest? request = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(log);
        request ??= AnalysisRequest.Default;
        LogSource counted = request.Progress is { } progress ? log with { Open = () => new CountingStream(log.Open(), progress) } : log;
        ILogReader reader = await LogFile.OpenAsync(counted, request.AsLive ? request.Readers with { AsLive = true } : request.Readers, cancellationToken).ConfigureAwait(false);
        ChannelPlan plan = await RoleSampling.PlanAsync(reader, request.Options.Car, request.AsLive, cancellationToken).ConfigureAwait(false);
        return await RunAsync(reader, plan, request, cancellationToken).ConfigureAwait(false);
    }

    /// <summary>Analyses a log that is open already, its channels' roles being known. It is read once.</summary>
    /// <param name="reader">The opened log.</param>
    /// <param name="plan">Which channel plays which role.</param>
    /// <param name="request">How.</param>
    /// <param name="cancellationToken">Stops between two blocks.</param>
    /// <exception cref="InputException">The log, or the waveform beside it, cannot be read; the message says why.</exception>
    public static async ValueTask<SessionResult> RunAsync(
        ILogReader reader, ChannelPlan plan, AnalysisRequest request, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(reader);
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(request);
        using WaveInput? input = request.Waveform is { } source
            ? await WaveInput.OpenAsync(source, request.OpenScratch, cancellationToken).ConfigureAwait(false) : null;
        WaveStage? waveform = input is null ? null : new WaveStage(input, request.Options);
        return await RunAsync(reader, plan, request, waveform, cancellationToken).ConfigureAwait(false);
    }

    private static async ValueTask<SessionResult> RunAsync(
        ILogReader reader, ChannelPlan plan, AnalysisRequest request, WaveStage? waveform, CancellationToken cancellationToken)
    {
        AnalysisOptions options = waveform is null
            ? request.Options with { Vibration = request.Options.Vibration with { LevelUnit = plan.UnitOf(Role.Vibration) } } : request.Options;
        Func<double, double> viscosityRatio = ViscosityRatio(options.Car);
        var danger = new DangerLine(options.PressureDrop.DangerKpaPer1000Rpm, options.PressureDrop.DangerAboveRpm);
        ImmutableArray<LapSource> lapSources = LapCounter.SourcesFor(plan, options.Car.Gate);
        int[] selected = [.. plan.Choices.Select(choice => choice.Channel.Index).Distinct()];

        if (request.AsLive)
        {
            var laps = new LapStage(lapSources.IsEmpty ? LapSource.None : lapSources[0], options.Car, options.Laps, options.Corners);
            var expected = new ExpectedPressure(options.PressureModel, viscosityRatio, wholeRun: null, learn: true, danger);
            bool absolute = plan.IsAbsolute(Role.CrankcasePressure);
            var crankcase = new ExpectedCrankcase(options.Crankcase, new CrankcaseZero(absolute), wholeRun: null, learn: true);
            var guard = new SensorGuard(options.SensorGuard, absolute);
            using var judge = new Judge(options, plan, laps, expected, crankcase, guard, asLive: true, heard: true, waveform);
            using CompositeDisposable heard = Listen(judge, request);
            var aligner = new FrameAligner(plan, options.Align, judge);
            ReadingReport report = await reader.ReadAsync(selected, aligner, cancellationToken).ConfigureAwait(false);
            aligner.Complete();
            judge.Complete();
            return Result(reader, plan, request, report, aligner, judge, waveform);
        }
        else
        {
            using var store = new FrameStore(request.OpenScratch, plan.Choices.Select(choice => choice.Role));
            using var look = new FirstLook(options, viscosityRatio, new CircuitSurvey(lapSources, options.Car.Gate, options.Laps, options.Corners), store, plan);
            var aligner = new FrameAligner(plan, options.Align, look);
            using var rows = new RowRelay(aligner);
            ReadingReport report = await reader.ReadAsync(selected, rows, cancellationToken).ConfigureAwait(false);
            rows.Complete();
            aligner.Complete();
            HealthyPressure? healthy = look.Finish();
            var expected = new ExpectedPressure(options.PressureModel, viscosityRatio, healthy, learn: false, danger);
            var guard = new SensorGuard(options.SensorGuard, plan.IsAbsolute(Role.CrankcasePressure));
            guard.LearnFrom(look.Guard, look.Clock);
            guard.LearnFrom(look.Leaps);
            ExpectedCrankcase crankcase = look.Crankcase();
            using var judge = new Judge(options, plan, new LapStage(look.Survey, options.Car, options.Laps, options.Corners), expected, crankcase, guard, asLive: false, heard: request.Changed is not null || request.LapEnded is not null, waveform);
            using CompositeDisposable heard = Listen(judge, request);
            store.Replay(judge, cancellationToken);
            judge.Complete();
            return Result(reader, plan, request, report, aligner, judge, waveform);
        }
    }

    private static CompositeDisposable Listen(Judge judge, AnalysisRequest request)
    {
        var heard = new CompositeDisposable();
        if (request.Changed is { } changed) heard.Add(judge.Changes.Subscribe(changed, Failed));
        if (request.Judged is { } judged) heard.Add(judge.Frames.Subscribe(judged, Failed));
        judge.LapEnded = request.LapEnded;
        return heard;

        static void Failed(Exception error) => throw new InvalidOperationException("the detectors failed", error);
    }

    /// <summary>How thick the oil is against 100 °C; where the car file says nothing, a multigrade of the middle of the field.</summary>
    private static Func<double, double> ViscosityRatio(CarSettings car)
    {
        WaltherViscosity oil = OilCurve.For(car)?.Viscosity ?? WaltherViscosity.Through(105, 16);
        double hot = oil.AtCelsius(100);
        return new RememberedFunction(temperatureC => oil.AtCelsius(Math.Clamp(temperatureC, -30, 220)) / hot).At;
    }

    private static SessionResult Result(
        ILogReader reader, ChannelPlan plan, AnalysisRequest request, ReadingReport report, FrameAligner aligner, Judge judge, WaveStage? waveform)
    {
        bool canJudge = plan.Has(Role.OilPressure) && plan.Has(Role.EngineSpeed) && judge.JudgedS > 0;
        CauseReading cause = canJudge ? judge.Cause(reader.Name, request.Reference) : CauseReading.NotJudged;
        ImmutableArray<Alert> alerts = judge.Alerts(request.AsLive ? null : cause);
        (ImmutableArray<LapSummary> laps, ImmutableArray<CornerPass> passes, ImmutableArray<CornerHarm> worst) = judge.Laps.Join(alerts);
        ImmutableArray<string> notJudged = NotJudged(plan, report, aligner, judge, canJudge, waveform);
        (Verdict verdict, string headline) = Answer.Of(alerts, laps, worst, canJudge, notJudged, cause);
        EngineHours engine = judge.Laps.Engine;
        return new SessionResult
        {
            LogName = reader.Name,
            FormatName = reader.FormatName,
            CarName = request.Options.Car.Name,
            AsLive = request.AsLive,
            Verdict = verdict,
            Headline = headline,
            Cause = cause,
            Alerts = alerts,
            Laps = laps,
            Corners = judge.Laps.Corners,
            CornerPasses = passes,
            BrakingZones = judge.BrakingZones(alerts),
            WorstCorners = worst,
            First = judge.Quality.First ?? report.First,
            Last = judge.Quality.Last ?? report.Last,
            EngineHours = engine.Hours,
            EngineRevolutions = engine.Known ? engine.Revolutions : null,
            Baseline = canJudge ? judge.Baseline() : null,
            Channels = judge.Quality.Rows(plan, aligner, judge.Guard),
            NotJudged = notJudged,
            HealthIndices = canJudge ? judge.Indices() : [],
            Plan = judge.AsUsed(plan),
            Reading = report,
            Assumptions = [.. reader.Assumptions],
            Limits = LimitTable.Rows(request.Options),
            Waveform = waveform?.Summary(),
            SpeedBands = judge.SpeedBands(),
            Traces = judge.Traces(),
        };
    }

    private static ImmutableArray<string> NotJudged(ChannelPlan plan, ReadingReport report, FrameAligner aligner, Judge judge, bool canJudge, WaveStage? waveform)
    {
        ImmutableArray<string>.Builder notes = ImmutableArray.CreateBuilder<string>();
        if (PartLeftOut(plan, report, aligner) is { } part) notes.Add(part);
        foreach (Role role in RolesThatMatter)
            if (!plan.Has(role)) notes.Add($"No {role.Key()} channel: {LowerFirst(RoleCosts.Of(role))}");
        if (plan.Has(Role.OilPressure) && plan.Has(Role.EngineSpeed) && !canJudge)
            notes.Add("Oil pressure was never judged: the engine did not run above 1500 rpm with both oil pressure and engine speed believed.");
        else if (canJudge && judge.BlindS >= LeastBlindS)
            notes.Add(FormattableString.Invariant($"Oil pressure was not judged for {judge.BlindS:F0} s while the car moved: engine speed was missing or not to be believed."));
        if (judge.Laps.Laps.Count == 0)
            notes.Add("No laps: the log has no lap channel or beacon, and the car file no gate for its positions.");
        if (aligner.DroppedBehind > 0)
            notes.Add(FormattableString.Invariant($"{aligner.DroppedBehind} readings were left out: their time stamps went backwards."));
        if (aligner.DroppedLeaps > 0)
            notes.Add(FormattableString.Invariant($"{aligner.DroppedLeaps} records were left out: their time stamps leapt far ahead and nothing followed them there."));
        if (aligner.LostNotices > 0)
            notes.Add(FormattableString.Invariant($"The recorder said {aligner.LostNotices} times that it lost data."));
        if (waveform?.Note() is { } note) notes.Add(note);
        notes.AddRange(judge.Laps.Notes);
        return notes.ToImmutable();
    }

    /// <summary>Says so where a good part of the log lies before what was read already, as when two logs were joined or the clock began again.</summary>
    private static string? PartLeftOut(ChannelPlan plan, ReadingReport report, FrameAligner aligner)
    {
        long rows = 0, late = 0;
        foreach ((string name, long count) in report.Classes)
        {
            if (name is "rows") rows = count;
            else if (name is "out of order") late = count;
        }
        if (aligner.DroppedBehind > 0)
        {
            rows += plan.Choices.Sum(choice => aligner.Samples(choice.Role));
            late += aligner.DroppedBehind;
        }
        return late < LeastLate || late < PartOfLog * (rows + late)
            ? null
            : string.Create(CultureInfo.InvariantCulture,
                $"{Answer.OnlyPart}: {100.0 * late / (rows + late):F0} % of its readings were left out, because their times lie before those of the readings above them. Where two logs were joined or the clock began again, replay the parts one by one.");
    }

    private static string LowerFirst(string sentence) => char.ToLowerInvariant(sentence[0]) + sentence[1..];
}
