using System.Collections.Immutable;

namespace OilWatch.Cars;

/// <summary>One <c>[limits.…]</c> section of the car file: the thresholds of one options record, reached without reflection.</summary>
internal abstract class LimitSection
{
    /// <summary>Its name after <c>limits.</c>, such as <c>pressure_drop</c>.</summary>
    public abstract string Name { get; }

    /// <summary>Its thresholds.</summary>
    public abstract ImmutableArray<Limit> Limits { get; }

    /// <summary>The value of a threshold.</summary>
    public abstract double Get(AnalysisOptions options, int limit);

    /// <summary>The options with a threshold changed.</summary>
    public abstract AnalysisOptions With(AnalysisOptions options, int limit, double value);

    /// <summary>Every problem of the section, thresholds in the wrong order included.</summary>
    public abstract IEnumerable<string> Problems(AnalysisOptions options);

    /// <summary>A section out of what every options record has.</summary>
    public static LimitSection Of<TOptions>(
        string name, ImmutableArray<LimitOf<TOptions>> limits, Func<AnalysisOptions, TOptions> get,
        Func<AnalysisOptions, TOptions, AnalysisOptions> with, Func<TOptions, IEnumerable<string>> problems) =>
        new Typed<TOptions>(name, limits, get, with, problems);

    private sealed class Typed<TOptions>(
        string name, ImmutableArray<LimitOf<TOptions>> limits, Func<AnalysisOptions, TOptions> get,
        Func<AnalysisOptions, TOptions, AnalysisOptions> with, Func<TOptions, IEnumerable<string>> problems) : LimitSection
    {
        public override string Name => name;

        public override ImmutableArray<Limit> Limits { get; } = ImmutableArray<Limit>.CastUp(limits);

        public override double Get(AnalysisOptions options, int limit) => limits[limit].Get(get(options));

        public override AnalysisOptions With(AnalysisOptions options, int limit, double value) =>
            with(options, limits[limit].With(get(options), value));

        public override IEnumerable<string> Problems(AnalysisOptions options) => problems(get(options));
    }
}
