using System.Collections.Immutable;
using OilWatch.Channels;

namespace OilWatch.Reading.Can;

/// <summary>The channels that databases and built-in definitions make of a CAN bus, and where each comes from.</summary>
/// <remarks>
/// Order: signals of messages seen in the survey (databases in their order, then SAE J1939, then SAE J1979), then signals of messages not seen,
/// whose group says so. When the survey covers the whole log, what does not occur in it is not offered. Without a survey (live) everything is.
/// <para>
/// Precedence: the first database that defines an id, then the built-in definitions. A message is matched by its whole id; by parameter group
/// where the database says SAE J1939, for the built-in groups, or where none of a database's 29-bit ids occurs but a parameter group of
/// exactly one of its messages does. Where one group comes from several source addresses the one with the most frames is taken;
/// where one message comes on several interfaces, the interface with the most frames of known messages. Both are said.
/// </para>
/// </remarks>
internal sealed class CanCatalog
{
    private const int MaxNamesShown = 5;

    private readonly IReadOnlyList<CanDatabase> _databases;
    private readonly CanSurvey? _survey;
    private readonly List<MatchRule> _rules = [];
    private readonly List<string> _notes = [];
    private readonly Dictionary<uint, List<(uint Id, long Count)>> _surveyGroups = [];
    private readonly ImmutableArray<CanChannelSource>.Builder _sources = ImmutableArray.CreateBuilder<CanChannelSource>();
    private readonly ImmutableArray<LogChannel>.Builder _channels = ImmutableArray.CreateBuilder<LogChannel>();

    private CanCatalog(IReadOnlyList<CanDatabase> databases, CanSurvey? survey)
    {
        _databases = databases;
        _survey = survey;
        foreach ((uint id, long count) in survey?.Frames ?? new Dictionary<uint, long>())
        {
            if (!new CanId(id).IsExtended) continue;
            uint group = new CanId(id).ParameterGroup;
            if (!_surveyGroups.TryGetValue(group, out List<(uint, long)>? ids)) _surveyGroups.Add(group, ids = []);
            ids.Add((id, count));
        }
    }

    /// <summary>The channels.</summary>
    public ImmutableArray<LogChannel> Channels { get; private set; }

    /// <summary>Where each channel comes from, by its index.</summary>
    public ImmutableArray<CanChannelSource> Sources { get; private set; }

    /// <summary>True when a message or answer that makes a channel was seen in the survey.</summary>
    public bool AnySeen { get; private set; }

    /// <summary>What was assumed, a sentence each.</summary>
    public IReadOnlyList<string> Notes => _notes;

    /// <summary>Brings databases, built-in definitions and what a log holds together.</summary>
    /// <param name="databases">The first one wins where ids clash.</param>
    /// <param name="survey">What the log holds, or null when that is not known yet.</param>
    public static CanCatalog Build(IReadOnlyList<CanDatabase> databases, CanSurvey? survey)
    {
        var catalog = new CanCatalog(databases, survey);
        foreach (CanDatabase database in databases) catalog.AddRules(database);
        catalog.AddBuiltInRules();
        catalog.FindSeen();
        catalog.ChooseSources();
        catalog.ChooseInterfaces();
        catalog.AddChannels();
        return catalog;
    }

    private void AddRules(CanDatabase database)
    {
        var earlierIds = _rules.ToDictionary(rule => rule.Message.Id.Value, rule => rule);
        HashSet<uint> earlierGroups = [.. _rules.Where(rule => rule.ByGroup).Select(rule => rule.Message.Id.ParameterGroup)];
        ILookup<uint, CanMessage> byGroup = database.Messages.Where(m => m.Id.IsExtended).ToLookup(m => m.Id.ParameterGroup);
        bool anyWholeId = _survey is null || database.Messages.Any(m => m.Id.IsExtended && _survey.Frames.ContainsKey(m.Id.Value));
        var clashes = new List<string>();
        var fallen = new List<string>();
        foreach (CanMessage message in database.Messages)
        {
            uint group = message.Id.ParameterGroup;
            bool sameGroup = message.IsParameterGroup && earlierGroups.Contains(group);
            if (earlierIds.ContainsKey(message.Id.Value) || sameGroup) { clashes.Add($"'{message.Name}' ({message.Id})"); continue; }
            var rule = new MatchRule(message, database.Name) { ByGroup = message.IsParameterGroup };
            bool alone = message.Id.IsExtended && byGroup[group].Skip(1).FirstOrDefault() is null;
            if (rule.ByGroup && !alone) rule.Source = message.Id.SourceAddress;  // the database tells the senders apart itself
            if (!rule.ByGroup && alone && !anyWholeId && _surveyGroups.ContainsKey(group))
            {
                rule.ByGroup = true;
                fallen.Add($"'{message.Name}'");
            }
            _rules.Add(rule);
        }
        if (clashes.Count > 0)
            _notes.Add($"{database.Name}: {List(clashes)} {(clashes.Count == 1 ? "is" : "are")} defined by an earlier database, which is the one used.");
        if (fallen.Count > 0)
        {
            _notes.Add($"{database.Name}: none of its 29-bit ids occurs in the log as a whole; {List(fallen)} " +
                $"{(fallen.Count == 1 ? "is" : "are")} taken from frames with the same SAE J1939 parameter group, whatever their source address.");
        }
    }

    private void AddBuiltInRules()
    {
        // A database that defines the group under an id that does not occur has no say in it.
        HashSet<uint> defined = [.. _rules
            .Where(rule => rule.Message.Id.IsExtended && (_survey is null || IdsOf(rule).Any()))
            .Select(rule => rule.Message.Id.ParameterGroup)];
        foreach (CanMessage group in ParameterGroups.Known)
            if (!defined.Contains(group.Id.ParameterGroup)) _rules.Add(new MatchRule(group, origin: null) { ByGroup = true });
    }

    private void FindSeen()
    {
        foreach (MatchRule rule in _rules) rule.IsSeen = IdsOf(rule).Any();
    }

    /// <summary>The ids in the survey that a rule takes.</summary>
    private IEnumerable<(uint Id, long Count)> IdsOf(MatchRule rule)
    {
        if (_survey is null) return [];
        if (!rule.ByGroup)
            return _survey.Frames.TryGetValue(rule.Message.Id.Value, out long count) ? [(rule.Message.Id.Value, count)] : [];
        List<(uint Id, long Count)> ids = _surveyGroups.GetValueOrDefault(rule.Message.Id.ParameterGroup) ?? [];
        return rule.Source < 0 ? ids : ids.Where(seen => new CanId(seen.Id).SourceAddress == rule.Source);
    }

    private void ChooseSources()
    {
        foreach (MatchRule rule in _rules)
        {
            if (!rule.ByGroup || rule.Source >= 0) continue;
            (byte Source, long Frames)[] sources = [.. IdsOf(rule)
                .GroupBy(seen => new CanId(seen.Id).SourceAddress, (source, ids) => (source, ids.Sum(seen => seen.Count)))
                .OrderByDescending(source => source.Item2).ThenBy(source => source.source)];
            if (sources.Length < 2) continue;
            rule.Source = sources[0].Source;
            _notes.Add(FormattableString.Invariant($"{rule.Message.Name} comes from {sources.Length} source addresses; ") +
                FormattableString.Invariant($"{sources[0].Source:X2} is used, which sends the most of them."));
        }
    }

    private void ChooseInterfaces()
    {
        if (_survey is null || _survey.Interfaces.Count < 2) return;
        (ulong Key, string Name)[] ranked = [.. _survey.Interfaces.OrderByDescending(
            one => _rules.Sum(rule => IdsOf(rule).Sum(seen => _survey.Count(seen.Id, one.Key))))];
        var colliding = new Dictionary<string, List<string>>(StringComparer.Ordinal);
        foreach (MatchRule rule in _rules.Where(rule => rule.IsSeen))
        {
            (ulong Key, string Name)[] carriers = [.. ranked.Where(one => IdsOf(rule).Any(seen => _survey.Count(seen.Id, one.Key) > 0))];
            if (carriers.Length == 0) continue;
            rule.Interface = carriers[0].Key;                                    // with several interfaces each message keeps to its own
            if (carriers.Length == 1) continue;
            rule.InterfaceName = carriers[0].Name;
            if (!colliding.TryGetValue(carriers[0].Name, out List<string>? names)) colliding.Add(carriers[0].Name, names = []);
            names.Add($"'{rule.Message.Name}'");
        }
        foreach ((string name, List<string> messages) in colliding)
        {
            _notes.Add($"{List(messages)} {(messages.Count == 1 ? "comes" : "come")} on several interfaces; " +
                $"{name} is used, which carries the most frames of known messages.");
        }
    }

    private void AddChannels()
    {
        bool everything = _survey is null;
        foreach (MatchRule rule in _rules) if (rule.IsSeen || everything) AddChannels(rule, rule.Message.Name);
        AddDiagnosticChannels();
        AnySeen = _channels.Count > 0;
        if (_survey is { IsWhole: false })
            foreach (MatchRule rule in _rules) if (!rule.IsSeen && rule.Origin is not null) AddChannels(rule, $"{rule.Message.Name} (not at the start of the log)");
        foreach (CanDatabase database in _databases) NoteUnseen(database);
        Channels = _channels.DrainToImmutable();
        Sources = _sources.DrainToImmutable();
    }

    private void AddChannels(MatchRule rule, string group)
    {
        if (rule.InterfaceName is { } name) group = $"{group} on {name}";
        foreach (CanSignal signal in rule.Message.Signals)
            Add(new CanChannelSource(rule, signal, null, 0), signal.Name, signal.Unit, group);
    }

    private void AddDiagnosticChannels()
    {
        HashSet<uint> defined = [.. _rules.SelectMany(IdsOf).Select(seen => seen.Id)];
        foreach (DiagnosticParameter parameter in DiagnosticParameters.Known)
        {
            uint responder = 0;
            if (_survey is not null)
            {
                uint[] answering = [.. _survey.Responders
                    .Where(one => one.Value.Contains(parameter.Pid) && !defined.Contains(one.Key))
                    .Select(one => one.Key)];
                if (answering.Length == 0) continue;
                responder = answering[0];
                if (answering.Length > 1)
                    _notes.Add($"{parameter.Name} is answered by several control units; that of {new CanId(responder)} is used, the lowest id.");
            }
            Add(new CanChannelSource(null, null, parameter, responder), parameter.Name, parameter.Unit, DiagnosticParameters.Group);
        }
    }

    private void Add(CanChannelSource source, string name, string? unit, string group)
    {
        _channels.Add(new LogChannel(_channels.Count, name, unit, group));
        _sources.Add(source);
    }

    private void NoteUnseen(CanDatabase database)
    {
        if (_survey is null) return;
        string[] unseen = [.. _rules.Where(rule => !rule.IsSeen && string.Equals(rule.Origin, database.Name, StringComparison.Ordinal)).Select(rule => $"'{rule.Message.Name}'")];
        if (unseen.Length == 0) return;
        _notes.Add(_survey.IsWhole
            ? FormattableString.Invariant($"{database.Name}: {unseen.Length} of {database.Messages.Length} messages do not occur in the log: {List(unseen)}.")
            : FormattableString.Invariant($"{database.Name}: {unseen.Length} of {database.Messages.Length} messages do not occur at the start of the log: {List(unseen)}."));
    }

    private static string List(IReadOnlyCollection<string> names) => names.Count <= MaxNamesShown
        ? string.Join(", ", names)
        : FormattableString.Invariant($"{string.Join(", ", names.Take(MaxNamesShown))} and {names.Count - MaxNamesShown} more");
}
