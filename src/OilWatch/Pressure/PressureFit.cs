using System.Buffers;
using OilWatch.Results;

namespace OilWatch.Pressure;

/// <summary>Fits healthy pressure to what a run showed, robustly: the calm part of a run is not clean.</summary>
/// <remarks>
/// Readings are gathered into cells of engine speed and viscosity (or time, where oil temperature is not known). Each cell
/// gives a quantile a little above its median, so that starved readings among healthy ones do not pull it down. The curve is
/// fitted to the cells by damped least squares with redescending weights and mild priors; then the drift of the gain along the run,
/// what is left over by engine speed, the lag and the spread are estimated from the readings themselves, in turn, three times over.
/// </remarks>
internal static class PressureFit
{
    private const int Parameters = 6;
    private const double CellRpm = 150;
    private const double CellQuantile = 0.55;
    private const int LeastInCell = 4;
    private const double AgreeingShare = 0.04;
    private const int Rounds = 3;
    private const int EarlySamples = 8_000;
    private const int LastSamples = 20_000;
    private const double PoorShare = 0.055;
    private const double HigherRatio = 1.1;
    private const double SlightlyHigherRatio = 1.05;
    private const double FarHigherRatio = 1.2;
    private const double LeastCalmShare = 1 / 3.0;       // of what is asked for while the run goes on
    private const double PartS = 12;
    private const double LargestCorrection = 0.4;
    private const double LeastScaleKpa = 4;
    private const double LargestFallOff = 0.65;
    private const double TopShare = 0.75;                // of the highest engine speed that calm running covered
    private const int LeastAtTop = 12;
    private const double LargestThicknessCorrection = 0.12;
    private const double FromOpeningCost = 2;            // in the logarithm of likelihood: the simpler kind of plateau where the run does not tell
    private const double WarmUpShare = 0.85;             // of the loss without a warm-up: less of a gain is no proof of one

    private static readonly double[] WarmUpHeights = [0, 0.4, 0.8, 1.2, 1.6, 2.0];
    private static readonly double[] WarmUpTimesS = [60, 120, 240];

    // Priors of the six parameters: centre and standard deviation. They only matter where the run does not show a parameter.
    // log gain from the cells; power 0.6 (multigrade, part orifice); offset 0; relief from the cells; slope and knee from common practice, no source.
    private static readonly double[] PriorSigma = [1.0, 0.25, 15, 150, 10, 0.8];

    /// <summary>Fits; null when there is too little calm running.</summary>
    /// <param name="samples">What the run showed, in order of time.</param>
    /// <param name="calmS">Seconds of calm running behind them.</param>
    /// <param name="options">Thresholds.</param>
    /// <param name="wholeRun">True when the run is over: the drift is then smoothed backwards too.</param>
    public static HealthyPressure? Fit(ReadOnlySpan<PressureSample> samples, double calmS, PressureModelOptions options, bool wholeRun)
    {
        HealthyPressure? model = FitTo(samples, calmS, options, wholeRun);
        double spread = model is null ? double.PositiveInfinity : model.SpreadKpa / model.TypicalKpa;
        if (!wholeRun) return model;
        // What came before a sudden fall is healthy, and so is where its drift had come to: followed further it would go down with the fall.
        if (model is not null && SuddenFall.In(samples, model.Lag, !model.UsesTemperature) is > 0 and var first
            && !HigherReadings.StandAtTwoLevels(samples[first..], model.Lag) && Before(first, samples, calmS, options) is { } sound) return sound;
        if (model is not null && HigherReadings.Of(samples, model, out double above) is { } high && FitTo(high, calmS * high.Length / samples.Length, options, wholeRun) is { } higher
            && IsGood(higher) && HigherReadings.Above(samples, higher).Share < 0.5 * above) return higher;
        // So is what came before a fall over minutes by more than warmer oil takes, which a curve of the whole run, or its drift, would buy.
        if (model is { UsesTemperature: true } && Before(LastingFall.In(samples, model.Lag), samples, calmS, options) is { UsesTemperature: true } level) return level;
        if (spread < PoorShare && model is not null && !BeganHigher(samples, model)) return WithoutFallen(samples, model, calmS, options) ?? model;
        // A poor fit may be two engines in one run: the healthy one, and the one after something broke. The healthy one came first.
        for (double share = 0.75; share > 0.2; share -= 0.125)
        {
            int count = (int)(share * samples.Length);
            if (FitTo(samples[..count], calmS * share, options, wholeRun) is not { } early) continue;
            if (early.SpreadKpa / early.TypicalKpa > Math.Min(0.6 * spread, PoorShare) && spread >= PoorShare) continue;
            if (BeganHigher(samples[..count], early)) continue;
            GainTrack gain = Follow(samples, early, Math.Max(10, (samples[^1].AtS - samples[0].AtS) / 400), wholeRun);
            early.Gain = gain;
            return early;
        }
        return model;
    }

    /// <summary>A model of the first readings alone; null for none of them, or where they give no good one.</summary>
    private static HealthyPressure? Before(int count, ReadOnlySpan<PressureSample> samples, double calmS, PressureModelOptions options) =>
        count > 0 && FitTo(samples[..count], calmS * count / samples.Length, options, wholeRun: true) is { } before && IsGood(before) ? before : null;

    private static bool IsGood(HealthyPressure model) => model.SpreadKpa < PoorShare * model.TypicalKpa;

    /// <summary>The same without the speeds at which pressure fell for good during the run; null where none did, or where what is left does not say so.</summary>
    private static HealthyPressure? WithoutFallen(
        ReadOnlySpan<PressureSample> samples, HealthyPressure model, double calmS, PressureModelOptions options)
    {
        FallenSpeeds fallen = FallenSpeeds.In(samples, model);
        if (!fallen.Any) return null;
        PressureSample[] kept = fallen.Without(samples, model.Lag);
        return FitTo(kept, calmS * kept.Length / samples.Length, options, wholeRun: true) is { } before && before.SpreadKpa <= 1.1 * model.SpreadKpa ? before : null;
    }

    /// <summary>True when the run's first part lies well above a model that fits what came after: the model has taken the broken engine for the healthy one.</summary>
    private static bool BeganHigher(ReadOnlySpan<PressureSample> samples, HealthyPressure model)
    {
        // Short enough that the moments before and after a break stand apart: over a longer part a warm-up can pass for it.
        double startS = samples[0].AtS, lengthS = Math.Max(samples[^1].AtS - startS, 1e-3);
        int parts = Math.Clamp((int)(lengthS / PartS), 12, 60);
        double partS = lengthS / parts;
        var ratios = new List<double>[parts];
        for (int i = 0; i < parts; i++) ratios[i] = [];
        foreach (ref readonly PressureSample sample in samples)
        {
            double speed = sample.SpeedRpm[model.Lag];
            if (!sample.Calm || speed < 2500 || Math.Abs(sample.SlopeRpmS) > 2000) continue;
            double expected = model.Steady(speed, sample.ViscosityRatio, model.Gain!.At(sample.AtS));
            if (expected > 20) ratios[Math.Min((int)((sample.AtS - startS) / partS), parts - 1)].Add(sample.PressureKpa / expected);
        }
        double highest = 0;
        foreach (List<double> part in ratios)
        {
            if (part.Count < 20) continue;
            double middle = Robust.Quantile(System.Runtime.InteropServices.CollectionsMarshal.AsSpan(part), 0.5);
            if (highest > HigherRatio && middle < highest / HigherRatio) return true;
            // A break during the warm-up is half taken for the heat: the first part then lies only a little above, and what follows far below it.
            if (highest > SlightlyHigherRatio && middle < highest / FarHigherRatio) return true;
            highest = Math.Max(highest, middle);
        }
        return false;
    }

    private static HealthyPressure? FitTo(ReadOnlySpan<PressureSample> samples, double calmS, PressureModelOptions options, bool wholeRun)
    {
        // After the run loaded readings have their say too: healthy ones of one speed agree, starved ones scatter.
        if (calmS < options.LeastCalmS * (wholeRun ? LeastCalmShare : 1) || samples.Length < 100) return null;
        bool usesTemperature = KnowsTemperature(samples);
        double binS = Math.Max(10, (samples[^1].AtS - samples[0].AtS) / 400);
        // Borrowed: live, the fit is made anew all along and must not leave its litter behind.
        PressureSample[] few = ArrayPool<PressureSample>.Shared.Rent(EarlySamples), many = ArrayPool<PressureSample>.Shared.Rent(LastSamples);
        try
        {
            return FitTo(Thinned(samples, few.AsSpan(0, EarlySamples)), Thinned(samples, many.AsSpan(0, LastSamples)), usesTemperature, binS, calmS, wholeRun);
        }
        finally
        {
            ArrayPool<PressureSample>.Shared.Return(few);
            ArrayPool<PressureSample>.Shared.Return(many);
        }
    }

    private static HealthyPressure? FitTo(ReadOnlySpan<PressureSample> few, ReadOnlySpan<PressureSample> many, bool usesTemperature, double binS, double calmS, bool wholeRun)
    {
        int lag = SpeedLags.Usual;
        HealthyPressure? model = null;
        WarmUp warmUp = default;
        for (int round = 0; round < Rounds; round++)
        {
            // Fewer readings settle the shape as well; only the last round needs many.
            ReadOnlySpan<PressureSample> samples = round < Rounds - 1 ? few : many;
            List<Cell> cells = Gather(samples, lag, usesTemperature, model?.Gain);
            if (cells.Count < 6) return null;
            if (round == 0 && !usesTemperature) warmUp = FindWarmUp(cells);
            PressureCurve curve = FitCurve(round == 0 ? Warmed(cells, warmUp) : cells, usesTemperature, model?.Curve, out double cellError);
            model = Refine(samples, curve, lag, usesTemperature, cellError, binS, wholeRun, calmS, warmUp);
            int better = BestLag(samples, model);
            if (better != lag)
            {
                lag = better;
                model = Refine(samples, curve, lag, usesTemperature, cellError, binS, wholeRun, calmS, warmUp);
            }
        }
        return model is { } fitted && IsUsable(fitted) ? fitted : null;
    }

    /// <summary>Every so many-th of the readings, as many as there is room for at most.</summary>
    private static ReadOnlySpan<PressureSample> Thinned(ReadOnlySpan<PressureSample> samples, Span<PressureSample> room)
    {
        int stride = Math.Max(1, (samples.Length + room.Length - 1) / room.Length);
        Span<PressureSample> thinned = room[..((samples.Length + stride - 1) / stride)];
        for (int i = 0; i < thinned.Length; i++) thinned[i] = samples[i * stride];
        return thinned;
    }

    /// <summary>A quantile of what a reading gives; NaN gives nothing.</summary>
    private static double Quantile(ReadOnlySpan<PressureSample> samples, double share, Func<PressureSample, double> of)
    {
        (double quantile, _) = Quantiles(samples, share, null, of);
        return quantile;
    }

    /// <summary>Two of them at once; the second is NaN where it is not asked for.</summary>
    private static (double First, double Second) Quantiles(ReadOnlySpan<PressureSample> samples, double share, double? second, Func<PressureSample, double> of)
    {
        double[] values = ArrayPool<double>.Shared.Rent(samples.Length);
        int count = 0;
        foreach (ref readonly PressureSample sample in samples)
            if (of(sample) is var value && !double.IsNaN(value)) values[count++] = value;
        Span<double> known = values.AsSpan(0, count);
        (double, double) found = (Robust.Quantile(known, share), second is { } other ? Robust.Quantile(known, other) : double.NaN);
        ArrayPool<double>.Shared.Return(values);
        return found;
    }

    private static bool IsUsable(HealthyPressure model) =>
        double.IsFinite(model.SpreadKpa) && model.TypicalKpa > 20 && model.SpreadKpa < 0.25 * model.TypicalKpa
        && model.CoveredHighRpm - model.CoveredLowRpm > 800;

    private static bool KnowsTemperature(ReadOnlySpan<PressureSample> samples)
    {
        int known = 0;
        foreach (ref readonly PressureSample sample in samples)
            if (sample.ViscosityRatio > 0) known++;
        return known > 0.9 * samples.Length;
    }

    /// <summary>What kind of curve is looked for.</summary>
    private readonly record struct Form(bool UsesTemperature, bool FromOpening);

    /// <summary>One cell: where it lies, its pressure and how much it counts.</summary>
    private readonly record struct Cell(double AtS, double SpeedRpm, double ViscosityRatio, double Gain, double PressureKpa, double Weight);

    private static List<Cell> Gather(ReadOnlySpan<PressureSample> samples, int lag, bool usesTemperature, GainTrack? gain)
    {
        var groups = new SortedDictionary<(int Speed, int Other), List<int>>();
        for (int i = 0; i < samples.Length; i++)
        {
            ref readonly PressureSample sample = ref samples[i];
            if (Math.Abs(sample.SlopeRpmS) > 3000 || (usesTemperature && !(sample.ViscosityRatio > 0))) continue;
            // A step of 0.08 in the logarithm of viscosity is about three degrees; without temperature, half a minute of drift.
            int other = usesTemperature ? (int)Math.Floor(Math.Log(sample.ViscosityRatio) / 0.08) : (int)(sample.AtS / 30);
            var key = ((int)(sample.SpeedRpm[lag] / CellRpm), other);
            if (!groups.TryGetValue(key, out List<int>? members)) groups[key] = members = [];
            members.Add(i);
        }
        var cells = new List<Cell>(groups.Count);
        foreach (List<int> members in groups.Values)
        {
            if (CellOf(samples, members, lag, usesTemperature, gain, calm: true) is { } calm) cells.Add(calm);
            else if (CellOf(samples, members, lag, usesTemperature, gain, calm: false) is { } loaded) cells.Add(loaded);
        }
        return cells;
    }

    private static Cell? CellOf(ReadOnlySpan<PressureSample> samples, List<int> members, int lag, bool usesTemperature, GainTrack? gain, bool calm)
    {
        var pressures = new double[members.Count];
        int count = 0;
        double speed = 0, ratio = 0, at = 0;
        foreach (int i in members)
        {
            ref readonly PressureSample sample = ref samples[i];
            if (calm && !sample.Calm) continue;
            pressures[count++] = sample.PressureKpa;
            speed += sample.SpeedRpm[lag];
            ratio += usesTemperature ? sample.ViscosityRatio : 1;
            at += sample.AtS;
        }
        if (count < (calm ? LeastInCell : 3 * LeastInCell)) return null;
        Span<double> sorted = pressures.AsSpan(0, count);
        double pressure = Robust.Quantile(sorted, calm ? CellQuantile : 0.7);
        double weight = Math.Sqrt(Math.Min(count, 60));
        if (!calm)
        {
            // Under load the readings of a cell say what is healthy only if they agree: starved ones scatter with depth.
            double apart = (Robust.Quantile(sorted, 0.8) - Robust.Quantile(sorted, 0.4)) / Math.Max(pressure, 1);
            weight *= apart < AgreeingShare ? 0.4 : 0.04;
        }
        return new Cell(at / count, speed / count, ratio / count, gain?.At(at / count) ?? 1, pressure, weight);
    }

    /// <summary>The warm-up that lets one curve fit all of a run without a temperature best, or none where none does so clearly better.</summary>
    private static WarmUp FindWarmUp(List<Cell> cells)
    {
        double startS = cells.Min(cell => cell.AtS);
        var tried = new List<(WarmUp WarmUp, List<Cell> Cells, PressureCurve Curve, double Error)>();
        foreach (double height in WarmUpHeights)
        {
            foreach (double timeS in height == 0 ? [1.0] : WarmUpTimesS)
            {
                var warmUp = new WarmUp(height, timeS, startS);
                List<Cell> warmed = Warmed(cells, warmUp);
                tried.Add((warmUp, warmed, FitCurve(warmed, usesTemperature: false, null, out double error), error));
            }
        }
        double common = Math.Max(LeastScaleKpa, tried.Min(one => one.Error));
        double[] losses = [.. tried.Select(one => LossOf(one.Cells, one.Curve, common))];
        int best = Array.IndexOf(losses, losses.Min());
        return losses[best] < WarmUpShare * losses[0] ? tried[best].WarmUp : default;
    }

    /// <summary>What a curve leaves of cells without a temperature, its own parameters taken for granted.</summary>
    private static double LossOf(List<Cell> cells, PressureCurve curve, double scale)
    {
        double[] at = Vector(curve, curve.SlopeFromOpening);
        return Loss(cells, at, at, new Form(UsesTemperature: false, curve.SlopeFromOpening), scale);
    }

    private static List<Cell> Warmed(List<Cell> cells, WarmUp warmUp) =>
        warmUp.Height == 0 ? cells : [.. cells.Select(cell => cell with { Gain = cell.Gain * Math.Exp(warmUp.At(cell.AtS)) })];

    private static PressureCurve FitCurve(List<Cell> cells, bool usesTemperature, PressureCurve? start, out double error)
    {
        double[] centre = Centre(cells, usesTemperature);
        var found = new List<(double[] At, double Scale, Form Form)>(6);
        foreach (bool fromOpening in (ReadOnlySpan<bool>)[false, true])
        {
            var form = new Form(usesTemperature, fromOpening);
            // The relief plateau decides which valley the search falls into; three starts cover none, some and all cells on it.
            foreach (double relief in start is null ? [1.0, 0.8, 1.5] : new[] { double.NaN })
            {
                double[] at = start is { } curve ? Vector(curve, fromOpening) : [.. centre];
                if (start is null) at[3] = centre[3] * relief;
                Search(cells, at, centre, form, out double scale);
                found.Add((at, scale, form));
            }
        }
        // Held against one scale: by its own, wide one a curve that fits nothing would look good.
        double common = Math.Max(LeastScaleKpa, found.Min(one => one.Scale));
        (double[] bestAt, error, Form best) = found.MinBy(one => Loss(cells, one.At, centre, one.Form, common) + (one.Form.FromOpening ? FromOpeningCost : 0));
        return Curve(bestAt, best);
    }

    private static double[] Centre(List<Cell> cells, bool usesTemperature)
    {
        var pressures = cells.Select(cell => cell.PressureKpa).ToArray();
        double top = Robust.Quantile(pressures, 0.9);
        var gains = cells.Where(cell => cell.PressureKpa < 0.75 * top)
            .Select(cell => cell.PressureKpa / (cell.SpeedRpm / 1000) / (usesTemperature ? Math.Pow(cell.ViscosityRatio, 0.6) : 1)).ToArray();
        double gain = gains.Length > 3 ? Robust.Quantile(gains, 0.5) : top / 4;
        return [Math.Log(Math.Max(gain, 5)), usesTemperature ? 0.6 : 0, 10, top, 6, Math.Log(50)];
    }

    /// <summary>The parameters of a curve, for a search among curves of either kind.</summary>
    private static double[] Vector(PressureCurve curve, bool fromOpening)
    {
        // At the speed at which hot oil opens the valve the two kinds are one.
        double opening = curve.ReliefSlopeKpa * (curve.ReliefKpa - curve.OffsetKpa) / curve.GainKpa;
        double relief = curve.ReliefKpa + (curve.SlopeFromOpening == fromOpening ? 0 : fromOpening ? opening : -opening);
        return [Math.Log(curve.GainKpa), curve.ViscosityPower, curve.OffsetKpa, relief, curve.ReliefSlopeKpa, Math.Log(curve.KneeKpa)];
    }

    private static PressureCurve Curve(double[] at, Form form) => new(
        Math.Exp(Math.Clamp(at[0], 0.5, 6)), form.UsesTemperature ? Math.Clamp(at[1], 0, 1.3) : 0, Math.Clamp(at[2], -120, 200),
        Math.Clamp(at[3], 40, 1500), Math.Clamp(at[4], form.FromOpening ? 0 : -30, 60), Math.Exp(Math.Clamp(at[5], 1, 6)))
    {
        SlopeFromOpening = form.FromOpening,
    };

    /// <summary>Damped Gauss-Newton with weights renewed at each step. Source: D. W. Marquardt, J. SIAM 11 (1963) 431.</summary>
    private static void Search(List<Cell> cells, double[] at, double[] centre, Form form, out double scale)
    {
        double damping = 1e-2;
        scale = Scale(cells, at, form);
        double loss = Loss(cells, at, centre, form, scale);
        var normal = new double[Parameters, Parameters];
        var gradient = new double[Parameters];
        var slopes = new double[Parameters];
        for (int step = 0; step < 40; step++)
        {
            scale = Math.Max(scale * 0.7, Scale(cells, at, form));
            loss = Loss(cells, at, centre, form, scale);
            Normal(cells, at, centre, form, scale, normal, gradient, slopes);
            double[]? move = NormalEquations.Solve(normal, gradient, damping);
            if (move is null) break;
            var tried = new double[Parameters];
            for (int i = 0; i < Parameters; i++) tried[i] = at[i] + move[i];
            double triedLoss = Loss(cells, tried, centre, form, scale);
            if (triedLoss < loss)
            {
                double gained = loss - triedLoss;
                tried.CopyTo(at, 0);
                damping = Math.Max(damping * 0.3, 1e-6);
                if (gained < 1e-7 * (1 + loss)) break;
            }
            else
            {
                damping *= 4;
                if (damping > 1e6) break;
            }
        }
        scale = Scale(cells, at, form);
    }

    private static double Scale(List<Cell> cells, double[] at, Form form)
    {
        PressureCurve curve = Curve(at, form);
        var apart = new double[cells.Count];
        for (int i = 0; i < cells.Count; i++) apart[i] = Math.Abs(cells[i].PressureKpa - curve.At(cells[i].SpeedRpm, cells[i].ViscosityRatio, cells[i].Gain));
        return Math.Max(3, Robust.MadToSigma * Robust.Quantile(apart, 0.5));
    }

    private static double Loss(List<Cell> cells, double[] at, double[] centre, Form form, double scale)
    {
        PressureCurve curve = Curve(at, form);
        double loss = 0;
        foreach (Cell cell in cells)
        {
            double residual = cell.PressureKpa - curve.At(cell.SpeedRpm, cell.ViscosityRatio, cell.Gain);
            // The loss whose derivative the biweight is: rises to a ceiling, so that a far cell stops mattering.
            double width = (residual < 0 ? 3.2 : 5.0) * scale;
            double u = Math.Min(1, residual * residual / (width * width));
            loss += cell.Weight * width * width / 6 * (1 - ((1 - u) * (1 - u) * (1 - u)));
        }
        loss /= scale * scale;
        for (int i = 0; i < Parameters; i++) loss += 0.5 * Math.Pow((at[i] - centre[i]) / PriorSigma[i], 2);
        return loss;
    }

    private static void Normal(
        List<Cell> cells, double[] at, double[] centre, Form form, double scale, double[,] normal, double[] gradient, double[] slopes)
    {
        Array.Clear(normal);
        Array.Clear(gradient);
        PressureCurve curve = Curve(at, form);
        Span<double> steps = [0.002, 0.002, 0.2, 0.5, 0.05, 0.01];
        var moved = new PressureCurve[Parameters];
        for (int i = 0; i < Parameters; i++)
        {
            double keep = at[i];
            at[i] = keep + steps[i];
            moved[i] = Curve(at, form);
            at[i] = keep;
        }
        foreach (Cell cell in cells)
        {
            double value = curve.At(cell.SpeedRpm, cell.ViscosityRatio, cell.Gain);
            double residual = cell.PressureKpa - value;
            double weight = cell.Weight * Robust.Weight(residual, scale) / (scale * scale);
            if (weight == 0) continue;
            for (int i = 0; i < Parameters; i++)
                slopes[i] = (moved[i].At(cell.SpeedRpm, cell.ViscosityRatio, cell.Gain) - value) / steps[i];
            for (int i = 0; i < Parameters; i++)
            {
                gradient[i] += weight * slopes[i] * residual;
                for (int j = 0; j <= i; j++) normal[i, j] += weight * slopes[i] * slopes[j];
            }
        }
        for (int i = 0; i < Parameters; i++)
        {
            double information = 1 / (PriorSigma[i] * PriorSigma[i]);
            normal[i, i] += information;
            gradient[i] += information * (centre[i] - at[i]);
            for (int j = 0; j < i; j++) normal[j, i] = normal[i, j];
        }
    }

    /// <summary>Drift, correction and spread about a curve.</summary>
    private static HealthyPressure Refine(
        ReadOnlySpan<PressureSample> samples, PressureCurve curve, int lag, bool usesTemperature, double cellError, double binS, bool wholeRun, double calmS, WarmUp warmUp)
    {
        double typical = Quantile(samples, 0.6, static sample => sample.PressureKpa);
        HealthyPressure model = Make(curve, lag, usesTemperature, new double[HealthyPressure.CorrectionBins], new double[HealthyPressure.ThicknessBins], null, Math.Max(cellError, 0.02 * typical), typical, calmS, samples, warmUp);
        for (int pass = 0; pass < 3; pass++)
        {
            GainTrack gain = Follow(samples, model, binS, wholeRun);
            model.Gain = gain;
            double[] correction = LeftOver(samples, model, wholeRun);
            model = Make(curve, lag, usesTemperature, correction, model.ThicknessCorrection, gain, model.SpreadKpa, typical, calmS, samples, warmUp);
            double[] thick = LeftOverByThickness(samples, model);
            model = Make(curve, lag, usesTemperature, correction, thick, gain, model.SpreadKpa, typical, calmS, samples, warmUp);
            model = Make(curve, lag, usesTemperature, correction, thick, gain, Spread(samples, model), typical, calmS, samples, warmUp);
            LocalCorrection local = LeftOverLocally(samples, model);
            model = Make(curve, lag, usesTemperature, correction, thick, gain, model.SpreadKpa, typical, calmS, samples, warmUp, local);
            model = Make(curve, lag, usesTemperature, correction, thick, gain, Spread(samples, model), typical, calmS, samples, warmUp, local);
        }
        model.Seen = Agreement(samples, model);
        return model;
    }

    /// <summary>A new drift, filtered over the bins of the run.</summary>
    public static GainTrack Follow(ReadOnlySpan<PressureSample> samples, HealthyPressure model, double binS, bool wholeRun)
    {
        double startS = samples[0].AtS;
        var gain = new GainTrack(startS, binS, model.UsesTemperature ? 0.05 : 0.3, model.UsesTemperature ? 0.012 : 0.06, model.UsesTemperature ? 0 : 2.5, model.WarmUp);
        int from = 0;
        while (from < samples.Length)
        {
            double endS = startS + ((gain.Count + 1) * binS);
            int to = from;
            while (to < samples.Length && samples[to].AtS < endS) to++;
            gain.Add(samples[from..to], model);
            from = to;
        }
        if (wholeRun) gain.Smooth();
        return gain;
    }

    /// <summary>What the curve leaves over, by engine speed.</summary>
    /// <remarks>
    /// From calm running first. Where there is little of it, from loaded running too: there the healthy readings of a speed agree with each other
    /// and are the highest ones, while starved readings lie below and scatter, so the highest band that holds a fair share of them is taken.
    /// </remarks>
    private static double[] LeftOver(ReadOnlySpan<PressureSample> samples, HealthyPressure model, bool wholeRun)
    {
        const int Bands = 100;
        var sum = new double[HealthyPressure.CorrectionBins];
        var count = new double[HealthyPressure.CorrectionBins];
        var loaded = new int[HealthyPressure.CorrectionBins, Bands];
        var calm = new List<double>[HealthyPressure.CorrectionBins];
        // While the run is still being learned, what is missing at the top may be a loss.
        double topRpm = wholeRun ? TopShare * model.CoveredHighRpm : double.PositiveInfinity;
        double scale = Math.Max(1.5 * model.SpreadKpa, 0.03 * model.TypicalKpa);
        foreach (ref readonly PressureSample sample in samples)
        {
            double steep = Math.Abs(sample.SlopeRpmS);
            if (steep > 6000) continue;
            double speed = sample.SpeedRpm[model.Lag];
            double gain = model.Gain!.At(sample.AtS);
            double curve = model.Steady(speed, sample.ViscosityRatio, gain) / (1 + model.CorrectionAt(speed));
            if (curve < 20) continue;
            double share = (sample.PressureKpa / curve) - 1;
            int bin = Math.Min((int)(speed / HealthyPressure.CorrectionRpm), HealthyPressure.CorrectionBins - 1);
            int band = (int)((share + 0.5) * Bands);
            if (band is >= 0 and < Bands) loaded[bin, band]++;
            if (!sample.Calm) continue;
            if (speed > topRpm) (calm[bin] ??= []).Add(share);
            double weight = Robust.Weight(sample.PressureKpa - (curve * (1 + model.CorrectionAt(speed))), scale) * (steep > 3000 ? 0.3 : 1);
            sum[bin] += weight * share;
            count[bin] += weight;
        }
        double noise = Math.Max(0.02, 1.5 * model.SpreadKpa / model.TypicalKpa);
        for (int bin = 0; bin < HealthyPressure.CorrectionBins; bin++)
        {
            if (calm[bin] is { Count: >= LeastAtTop } shares)
            {
                // A pump that falls off near the top does so by more than a reading's distance from the curve is believed by: there calm readings speak for themselves.
                sum[bin] = shares.Count * Robust.Quantile(System.Runtime.InteropServices.CollectionsMarshal.AsSpan(shares), 0.5);
                count[bin] = shares.Count;
                continue;
            }
            if (HighestBand(loaded, bin, Bands, noise) is not { } band) continue;
            double weight = Math.Min(band.Count, 200) * 0.25;
            sum[bin] += weight * band.Share;
            count[bin] += weight;
        }
        // Ten readings' worth of "no correction" in each bin (near the top: of what the bin below has), and each bin leans on its neighbours.
        var correction = new double[HealthyPressure.CorrectionBins];
        for (int i = 0; i < correction.Length; i++)
        {
            bool top = i * HealthyPressure.CorrectionRpm > topRpm;
            double weighted = top ? 10 * correction[i - 1] : 0, weights = 10;
            for (int j = Math.Max(0, i - 1); j <= Math.Min(correction.Length - 1, i + 1); j++)
            {
                // Near the top a neighbour with far more readings must not outvote the bin's own.
                double share = i == j ? 1 : top && count[j] > 0 ? 0.3 * Math.Min(1, Math.Max(count[i], 10) / count[j]) : 0.3;
                weighted += share * sum[j];
                weights += share * count[j];
            }
            correction[i] = Math.Clamp(weighted / weights, top ? -LargestFallOff : -LargestCorrection, LargestCorrection);
        }
        return correction;
    }

    /// <summary>The highest band of readings of one speed in which they crowd; null when there are too few.</summary>
    private static (double Share, int Count)? HighestBand(int[,] loaded, int bin, int bands, double noise)
    {
        int total = 0;
        for (int i = 0; i < bands; i++) total += loaded[bin, i];
        if (total < 24) return null;
        int half = Math.Max(1, (int)Math.Round(noise * bands));
        var inside = new int[bands];
        int most = 0;
        for (int i = half; i < bands - half; i++)
        {
            for (int j = i - half; j <= i + half; j++) inside[i] += loaded[bin, j];
            most = Math.Max(most, inside[i]);
        }
        // Coming from above: the first place that is half as crowded as the most crowded one, then on for as long as it fills up.
        int best = bands - 1;
        while (best > 0 && inside[best] < Math.Max(0.5 * most, 0.2 * total)) best--;
        if (best == 0) return null;
        while (best > half && inside[best - 1] >= inside[best]) best--;
        double mean = 0;
        for (int j = best - half; j <= best + half; j++) mean += loaded[bin, j] * (((j + 0.5) / bands) - 0.5);
        return (mean / inside[best], inside[best]);
    }

    private static Evidence Agreement(ReadOnlySpan<PressureSample> samples, HealthyPressure model)
    {
        var evidence = new Evidence();
        double near = Math.Max(2.5 * model.SpreadKpa, 0.03 * model.TypicalKpa);
        foreach (ref readonly PressureSample sample in samples)
        {
            double speed = sample.SpeedRpm[model.Lag];
            double gain = model.Gain!.At(sample.AtS);
            double expected = model.Steady(speed, sample.ViscosityRatio, gain), logarithm = model.LogarithmOf(model.Thickness(sample.ViscosityRatio, gain));
            if (expected > 20 && Math.Abs(sample.SlopeRpmS) < 3000) evidence.AddShare(sample.AtS, speed, logarithm, (sample.PressureKpa / expected) - 1, sample.Calm);
            if (Math.Abs(sample.PressureKpa - expected) <= near) evidence.Add(speed, logarithm, sample.Calm ? 1 : 0.4);
        }
        evidence.Settle();
        return evidence;
    }

    /// <summary>What is left over by how thick the oil is, from calm running.</summary>
    private static double[] LeftOverByThickness(ReadOnlySpan<PressureSample> samples, HealthyPressure model)
    {
        var sum = new double[HealthyPressure.ThicknessBins];
        var count = new double[HealthyPressure.ThicknessBins];
        double scale = Math.Max(2 * model.SpreadKpa, 0.04 * model.TypicalKpa);
        foreach (ref readonly PressureSample sample in samples)
        {
            double speed = sample.SpeedRpm[model.Lag];
            if (!sample.Calm || Math.Abs(sample.SlopeRpmS) > 3000 || speed < 1500) continue;
            double gain = model.Gain!.At(sample.AtS);
            double curve = model.Curve.At(speed, model.RatioOrOne(sample.ViscosityRatio), gain) * (1 + model.CorrectionAt(speed));
            if (curve < 20) continue;
            double weight = Robust.Weight(sample.PressureKpa - curve, scale);
            double place = HealthyPressure.ThicknessBin(model.LogarithmOf(model.Thickness(sample.ViscosityRatio, gain)));
            int bin = (int)(place + 0.5);
            sum[bin] += weight * ((sample.PressureKpa / curve) - 1);
            count[bin] += weight;
        }
        var correction = new double[HealthyPressure.ThicknessBins];
        for (int i = 0; i < correction.Length; i++)
        {
            double weighted = 0, weights = 30;
            for (int j = Math.Max(0, i - 1); j <= Math.Min(correction.Length - 1, i + 1); j++)
            {
                double share = i == j ? 1 : 0.4;
                weighted += share * sum[j];
                weights += share * count[j];
            }
            correction[i] = Math.Clamp(weighted / weights, -LargestThicknessCorrection, LargestThicknessCorrection);
        }
        return correction;
    }

    /// <summary>What is left over by speed and thickness together: from calm running, and from loaded running that comes near enough to be healthy.</summary>
    private static LocalCorrection LeftOverLocally(ReadOnlySpan<PressureSample> samples, HealthyPressure model)
    {
        var local = new LocalCorrection();
        double scale = Math.Max(1.5 * model.SpreadKpa, 0.03 * model.TypicalKpa);
        foreach (ref readonly PressureSample sample in samples)
        {
            double speed = sample.SpeedRpm[model.Lag];
            if (Math.Abs(sample.SlopeRpmS) > 5000) continue;
            double gain = model.Gain!.At(sample.AtS);
            double expected = model.Steady(speed, sample.ViscosityRatio, gain);
            if (expected < 20) continue;
            double weight = Robust.Weight(sample.PressureKpa - expected, scale) * (sample.Calm ? 1 : 0.25);
            local.Add(speed, model.LogarithmOf(model.Thickness(sample.ViscosityRatio, gain)), (sample.PressureKpa / expected) - 1, weight);
        }
        local.Settle();
        return local;
    }

    private static double Spread(ReadOnlySpan<PressureSample> samples, HealthyPressure model)
    {
        double mad = Quantile(samples, 0.5, sample => sample.Calm && sample.SpeedRpm[model.Lag] is >= 1500 and var speed
            ? Math.Abs(sample.PressureKpa - model.Steady(speed, sample.ViscosityRatio, model.Gain!.At(sample.AtS)))
            : double.NaN);
        return Math.Max(1, Robust.MadToSigma * mad);
    }

    private static int BestLag(ReadOnlySpan<PressureSample> samples, HealthyPressure model)
    {
        Span<double> losses = stackalloc double[SpeedLags.Count];
        double ceiling = Math.Pow(Math.Max(4 * model.SpreadKpa, 0.1 * model.TypicalKpa), 2);
        int used = 0;
        foreach (ref readonly PressureSample sample in samples)
        {
            if (Math.Abs(sample.SlopeRpmS) < 1200 || sample.SpeedRpm[0] < 1500) continue;
            used++;
            double gain = model.Gain!.At(sample.AtS);
            for (int lag = 0; lag < SpeedLags.Count; lag++)
            {
                double residual = sample.PressureKpa - model.Steady(sample.SpeedRpm[lag], sample.ViscosityRatio, gain);
                losses[lag] += Math.Min(residual * residual, ceiling);
            }
        }
        if (used < 50) return model.Lag;
        int best = 0;
        for (int lag = 1; lag < losses.Length; lag++)
            if (losses[lag] < losses[best]) best = lag;
        return best;
    }

    private static HealthyPressure Make(
        PressureCurve curve, int lag, bool usesTemperature, double[] correction, double[] thick, GainTrack? gain, double spread, double typical, double calmS,
        ReadOnlySpan<PressureSample> samples, WarmUp warmUp, LocalCorrection? local = null)
    {
        (double low, double high) = Covered(samples, lag);
        double share = spread / Math.Max(typical, 1);
        return new HealthyPressure
        {
            Curve = curve,
            Lag = lag,
            UsesTemperature = usesTemperature,
            Correction = correction,
            ThicknessCorrection = thick,
            Local = local,
            Gain = gain,
            WarmUp = warmUp,
            SpreadKpa = spread,
            TypicalKpa = typical,
            CoveredLowRpm = low,
            CoveredHighRpm = high,
            Summary = new BaselineSummary
            {
                Origin = "this-run",
                Confidence = share < 0.04 && calmS > 60 ? "good" : share < 0.08 ? "fair" : "low",
                FitErrorKpa = spread,
                FitErrorRatio = share,
                CalmS = calmS,
                Parameters =
                [
                    ("gain", curve.GainKpa, "kPa per 1000 rpm at 100 °C"),
                    ("viscosity_power", curve.ViscosityPower, ""),
                    ("offset", curve.OffsetKpa, "kPa"),
                    ("relief", curve.ReliefKpa, "kPa"),
                    ("relief_slope", curve.ReliefSlopeKpa, "kPa per 1000 rpm"),
                    ("slope_from_opening", curve.SlopeFromOpening ? 1 : 0, ""),
                    ("knee", curve.KneeKpa, "kPa"),
                    ("delay", SpeedLags.DelayS(lag), "s"),
                    ("lag", SpeedLags.TimeS(lag), "s"),
                ],
                Notes = usesTemperature
                    ? []
                    : ["No oil temperature: the curve follows the run's own drift instead, with a wider spread."],
            },
        };
    }

    private static (double Low, double High) Covered(ReadOnlySpan<PressureSample> samples, int lag) =>
        Quantiles(samples, 0.01, 0.995, sample => sample.Calm ? sample.SpeedRpm[lag] : double.NaN);
}
