using System.Collections.Immutable;
using System.Globalization;
using OilWatch.Cars;

namespace OilWatch.Channels;

/// <summary>Finds which channel of a log fills which role: by what the car file says, else by name, unit and values.</summary>
/// <remarks>
/// The same channels give the same plan in whatever order they come. A channel in doubt fills no role; where one came near, a note says so
/// and why not. A missing or unknown unit is guessed from the values and the guess is told in <see cref="ChannelChoice.Why"/>.
/// </remarks>
public static class RoleFinder
{
    /// <summary>A channel below this score is too doubtful to be used without being asked for.</summary>
    private const int Enough = 50;

    private const int NearlyEnough = 35;
    private const int StrongName = 60;
    private const int UnitFits = 10;
    private const int UnitIsUnknownWord = -10;
    private const int UnitContradicts = -70;
    private const int NoReadings = -70;
    private const int LooksLikeSwitch = -50;
    private const int ValuesImplausible = -25;
    private const int NeverChanges = -5;

    /// <summary>Finds the roles.</summary>
    /// <param name="channels">What the log offers.</param>
    /// <param name="car">What the car file says; its word on a role rules.</param>
    /// <param name="sample">What a channel, by its <see cref="LogChannel.Index"/>, shows in the first part of the log; null, or a null answer, when nobody looked.</param>
    /// <returns>The plan. Nothing here is an error: what could not be done is in its notes.</returns>
    public static ChannelPlan Find(
        IReadOnlyList<LogChannel> channels, CarSettings car, Func<int, ChannelSample?>? sample = null)
    {
        ArgumentNullException.ThrowIfNull(channels);
        ArgumentNullException.ThrowIfNull(car);
        return new Search(channels, car, sample ?? (_ => null)).Run();
    }

    /// <summary>One channel that might fill one role.</summary>
    private sealed record Candidate(Role Role, LogChannel Channel, ChannelName Name, int Pattern, int Score, string? Against);

    /// <summary>The search through one log.</summary>
    private sealed class Search(IReadOnlyList<LogChannel> channels, CarSettings car, Func<int, ChannelSample?> sample)
    {
        private readonly SortedDictionary<Role, ChannelChoice> _choices = [];
        private readonly List<(Role Role, string Text)> _notes = [];
        private readonly HashSet<Role> _settled = [];
        private readonly HashSet<int> _taken = [];

        public ChannelPlan Run()
        {
            foreach (Role role in Roles.All)
            {
                if (car.Channels.TryGetValue(role, out ChannelSetting? setting)) TakeSetting(role, setting);
            }
            List<Candidate> candidates = FindCandidates();
            Assign(candidates);
            NoteNearMisses(candidates);
            return new ChannelPlan([.. _choices.Values], [.. _notes.OrderBy(note => note.Role).Select(note => note.Text)]);
        }

        private void Note(Role role, string text) => _notes.Add((role, $"{role.Key()}: {text}"));

        /// <summary>Does what the car file says of a role's source; a role without a source in the car file is left for later.</summary>
        private void TakeSetting(Role role, ChannelSetting setting)
        {
            if (setting.File is { } file)
            {
                _settled.Add(role);
                Note(role, $"comes from the side file {Shown.Quoted(file)}, as the car file says");
                if (channels.FirstOrDefault(channel => IsOf(channel, role, file)) is not { } beside) return;
                _taken.Add(beside.Index);
                _choices[role] = new ChannelChoice(role, beside, 1, 0, role.Unit(), $"in the side file {Shown.Quoted(file)}, as the car file says");
                return;
            }
            if (setting.Source is not { } source) return;

            _settled.Add(role);
            List<LogChannel> named = ChannelsNamed(source);
            if (named.Count == 0)
            {
                string nearest = string.Join(", ", NearestWord.Several(source, channels.Select(channel => channel.Name), 3).Select(Shown.Quoted));
                Note(role, nearest.Length == 0
                    ? $"the car file's source {Shown.Quoted(source)} is not in this log, which has no channels"
                    : $"the car file's source {Shown.Quoted(source)} is not in this log, so the role is left empty; nearest names: {nearest}");
                return;
            }
            LogChannel channel = named[0];
            if (named.Count > 1)
            {
                Note(role, channel.Group is { } group
                    ? $"{named.Count} channels are called {Shown.Quoted(source)}; the one in {Shown.Quoted(group)} is used; write source = \"{Shown.Plain(group)}.{Shown.Plain(channel.Name)}\" to be sure"
                    : $"{named.Count} channels are called {Shown.Quoted(source)}; the first one is used");
            }
            ChannelName name = ChannelName.Of(channel.Name);
            if (Choose(role, channel, name, setting, "the car file names it") is not { } choice) return;
            if (sample(channel.Index) is { } seen)
            {
                int score = 0;
                string? against = null;
                Weigh(role, channel, name, setting, seen, ref score, ref against);
                if (against is not null) Note(role, $"{Shown.Quoted(channel.Name)} is used as the car file says, but {against}");
            }
            _choices[role] = choice;
            _taken.Add(channel.Index);
        }

        /// <summary>True for the channel by which a reader offers what a side file says of a role.</summary>
        private static bool IsOf(LogChannel channel, Role role, string file) =>
            string.Equals(channel.Name, role.Key(), StringComparison.Ordinal) && string.Equals(channel.Group, file[(file.LastIndexOf('/') + 1)..], StringComparison.Ordinal);

        /// <summary>The channels that a source means: exactly, else whatever the case and blanks; <c>Message.Signal</c> is understood.</summary>
        private List<LogChannel> ChannelsNamed(string source)
        {
            List<LogChannel> Matching(Func<string, bool> matches) =>
            [
                .. channels.Where(channel => matches(channel.Name) || (channel.Group is { } group && matches($"{group}.{channel.Name}")))
                    .OrderBy(channel => channel.Group, StringComparer.Ordinal).ThenBy(channel => channel.Name, StringComparer.Ordinal).ThenBy(channel => channel.Index),
            ];

            List<LogChannel> exact = Matching(name => string.Equals(name, source, StringComparison.Ordinal));
            if (exact.Count > 0) return exact;
            string plain = Plain(source);
            List<LogChannel> loose = Matching(name => string.Equals(Plain(name), plain, StringComparison.Ordinal));
            if (loose.Count > 0) return loose;
            // The heading as the log writes it, unit and all: oil_press_kpa, Oil Press [kPa], Oil Press (kPa).
            return
            [
                .. channels.Where(channel => channel.Unit is { } unit
                    && (Means($"{channel.Name}_{unit}") || Means($"{channel.Name} [{unit}]") || Means($"{channel.Name} ({unit})"))),
            ];

            bool Means(string heading) => string.Equals(Plain(heading), plain, StringComparison.Ordinal);
        }

        private static string Plain(string name) =>
            string.Concat(name.Where(c => !char.IsWhiteSpace(c) && c is not '_')).ToLowerInvariant();

        private List<Candidate> FindCandidates()
        {
            var candidates = new List<Candidate>();
            var groups = new Dictionary<string, IReadOnlySet<string>>(StringComparer.Ordinal);
            foreach (LogChannel channel in channels)
            {
                if (_taken.Contains(channel.Index)) continue;
                ChannelName name = ChannelName.Of(channel.Name);
                string group = channel.Group ?? "";
                if (!groups.TryGetValue(group, out IReadOnlySet<string>? groupWords))
                    groups.Add(group, groupWords = ChannelName.Of(group).Words);
                foreach (RoleRule rule in RoleRule.All)
                {
                    if (_settled.Contains(rule.Role)) continue;
                    if (rule.Fit(name.Words, UnitWords(rule.Role, name), groupWords) is { } fit)
                        candidates.Add(Score(rule.Role, channel, name, fit));
                }
            }
            // Names decide between equals, so that the order in the log does not; the index only between channels of one name.
            candidates.Sort((a, b) =>
            {
                int order = b.Score.CompareTo(a.Score);
                if (order == 0) order = a.Role.CompareTo(b.Role);
                if (order == 0) order = string.CompareOrdinal(a.Channel.Name, b.Channel.Name);
                if (order == 0) order = string.CompareOrdinal(a.Channel.Group, b.Channel.Group);
                if (order == 0) order = string.CompareOrdinal(a.Channel.Unit, b.Channel.Unit);
                return order == 0 ? a.Channel.Index.CompareTo(b.Channel.Index) : order;
            });
            return candidates;
        }

        /// <summary>The words at the end of a name that only give the role's unit.</summary>
        private static HashSet<string> UnitWords(Role role, ChannelName name) =>
            UnitFromName(role, name) is { } found
                ? name.Tokens.Skip(name.Tokens.Count - found.Pieces).SelectMany(token => ChannelName.Of(token).Words).ToHashSet(StringComparer.Ordinal)
                : [];

        private static (UnitWord Unit, int Pieces)? UnitFromName(Role role, ChannelName name)
        {
            // "Lat G" names the quantity; many a log calls m/s² so.
            if (name.TrailingUnit() is not { } found || string.Equals(found.Unit.Name, "g", StringComparison.Ordinal)) return null;
            return Units.Fits(role, found.Unit.Quantity) ? found : null;
        }

        private Candidate Score(Role role, LogChannel channel, ChannelName name, NameFit fit)
        {
            int score = fit.Score;
            string? against = fit.Against;
            Quantity quantity = Units.QuantityOf(role);
            bool unitIsSet = car.Channels.TryGetValue(role, out ChannelSetting? setting) && setting.Unit is not null;
            UnitWord? unit = Units.Find(channel.Unit);
            if (unitIsSet || SaysNothing(role, channel.Unit))
            {
                if (!unitIsSet && UnitFromName(role, name) is not null) score += UnitFits;
            }
            else if (unit is null)
            {
                if (quantity != Quantity.None) score += UnitIsUnknownWord;
            }
            else if (Units.Fits(role, unit.Quantity))
            {
                score += UnitFits;
            }
            else if (role != Role.Beacon)
            {
                score += UnitContradicts;
                against ??= quantity == Quantity.None
                    ? $"a lap number has no unit, and it is in {unit.Name}"
                    : $"its unit {unit.Name} cannot be turned into {role.Unit()}";
            }

            // Looking at values may mean reading the log: only where the answer can matter.
            if (score >= NearlyEnough && sample(channel.Index) is { } seen) Weigh(role, channel, name, setting, seen, ref score, ref against);
            return new Candidate(role, channel, name, fit.Pattern, score, against);
        }

        private static void Weigh(
            Role role, LogChannel channel, ChannelName name, ChannelSetting? setting, ChannelSample seen, ref int score, ref string? against)
        {
            if (seen.Count == 0)
            {
                score += NoReadings;
                against ??= "it has no readings";
                return;
            }
            if (role is Role.Lap or Role.Beacon) return;

            if (seen is { Count: >= 20, Distinct: 2, Min: 0, Max: 1 } && role != Role.Throttle)
            {
                score += LooksLikeSwitch;
                against ??= "its values are only 0 and 1, as of a switch";
                return;
            }
            if (seen.Distinct == 1) score += NeverChanges;

            Conversion conversion = Convert(role, channel, name, setting, seen);
            double low = conversion.Apply(seen.Low5);
            double high = conversion.Apply(seen.High95);
            if (low > high) (low, high) = (high, low);
            (double least, double most) = Plausible(role);
            bool spreads = seen.Max - seen.Min > 0.5;
            bool bare = !name.Words.Contains("accel") && name.Words.Count == 1;
            if (low < least || high > most)
            {
                score += ValuesImplausible;
                against ??= string.Create(CultureInfo.InvariantCulture, $"its values of {low:0.###} to {high:0.###} {role.Unit()} do not look like it");
            }
            else if (role is Role.Latitude or Role.Longitude && spreads)
            {
                // Half a degree is 50 km: no circuit.
                score += ValuesImplausible;
                against ??= "its values wander by more than half a degree, further than a circuit goes";
            }
            else if (role is Role.LateralG or Role.LongitudinalG && bare && seen is { Min: < 0, Max: > 0 } && spreads)
            {
                score += UnitFits;      // "Lat" alone: values about zero are an acceleration, not a place
            }
        }

        /// <summary>What 90 % of the readings of a healthy sensor lie within, in the role's unit; our own ranges, wide on purpose.</summary>
        private static (double Least, double Most) Plausible(Role role) => role switch
        {
            Role.OilPressure => (-40, 1500),
            Role.OilTemperature => (-45, 220),
            Role.EngineSpeed => (-1, 25_000),
            Role.LateralG or Role.LongitudinalG => (-7, 7),
            Role.CrankcasePressure => (-102, 80),
            Role.VehicleSpeed => (-20, 500),
            Role.Throttle => (-30, 130),
            Role.Latitude => (-90, 90),
            Role.Longitude => (-180, 180),
            Role.Vibration => (-2000, 2000),
            Role.FuelPressure => (-100, 40_000),
            Role.WaterTemperature => (-45, 180),
            Role.BatteryVoltage => (-1, 60),
            _ => (double.NegativeInfinity, double.PositiveInfinity),
        };

        /// <summary>Gives each role its best channel and each channel one role at most, best fits first.</summary>
        private void Assign(List<Candidate> candidates)
        {
            foreach (Candidate candidate in candidates)
            {
                if (candidate.Score < Enough) break;
                if (_choices.ContainsKey(candidate.Role) || !_taken.Add(candidate.Channel.Index)) continue;
                car.Channels.TryGetValue(candidate.Role, out ChannelSetting? setting);
                if (Choose(candidate.Role, candidate.Channel, candidate.Name, setting, "found by its name") is not { } choice) continue;
                _choices[candidate.Role] = choice;
                if (candidate.Against is { } against) Note(candidate.Role, $"{Shown.Quoted(candidate.Channel.Name)} is used, but {against}");
                NoteEquals(candidate, candidates);
            }
        }

        private void NoteEquals(Candidate chosen, List<Candidate> candidates)
        {
            List<string> equals =
            [
                .. candidates.Where(other => other.Role == chosen.Role && other.Score == chosen.Score && other.Channel.Index != chosen.Channel.Index && !_taken.Contains(other.Channel.Index))
                    .Select(other => Shown.Quoted(other.Channel.Name)),
            ];
            if (equals.Count == 0) return;
            string others = string.Join(", ", equals.Take(4)) + (equals.Count > 4 ? string.Create(CultureInfo.InvariantCulture, $" and {equals.Count - 4} more") : "");
            Note(chosen.Role, $"{Shown.Quoted(chosen.Channel.Name)} is used; {others} {(equals.Count == 1 ? "fits" : "fit")} as well; set [channels.{chosen.Role.Key()}] source to choose");
        }

        private void NoteNearMisses(List<Candidate> candidates)
        {
            foreach (Role role in Roles.All)
            {
                if (_choices.ContainsKey(role) || _settled.Contains(role)) continue;
                Candidate? near = candidates.FirstOrDefault(candidate =>
                    candidate.Role == role && !_taken.Contains(candidate.Channel.Index) && (candidate.Score >= NearlyEnough || candidate.Pattern >= StrongName));
                if (near is null) continue;
                Note(role, $"left empty; {Shown.Quoted(near.Channel.Name)} comes nearest, but {near.Against ?? "its name alone does not say enough"}; "
                    + $"if it is the one, set [channels.{role.Key()}] source = \"{Shown.Plain(near.Channel.Name)}\"");
            }
        }

        private ChannelChoice? Choose(Role role, LogChannel channel, ChannelName name, ChannelSetting? setting, string found)
        {
            if (setting?.Unit is { } asked && !Units.TryConvert(role, asked, out _) && Units.QuantityOf(role) != Quantity.None)
                Note(role, $"the car file's unit {Shown.Quoted(asked)} cannot be turned into {role.Unit()} and is not used");
            ChannelSample? seen = sample(channel.Index);
            Conversion conversion = Convert(role, channel, name, setting, seen);
            if (conversion.Problem is { } problem)
            {
                Note(role, $"{Shown.Quoted(channel.Name)} is not used: {problem}");
                return null;
            }
            return new ChannelChoice(role, channel, conversion.Scale, conversion.Offset, conversion.Unit, $"{found}; {conversion.Why}");
        }

        private static Conversion Convert(Role role, LogChannel channel, ChannelName name, ChannelSetting? setting, ChannelSample? seen)
        {
            if (Units.QuantityOf(role) == Quantity.None)
                return new Conversion(setting?.Invert == true ? -1 : 1, 0, "", setting?.Invert == true ? "sign turned round, as the car file says" : "taken as it is", null);

            bool vacuum = role == Role.CrankcasePressure && name.Words.Contains("vacuum");
            (UnitWord unit, string why)? known = KnownUnit(role, channel, name, setting, vacuum, seen);
            if (known is not ({ } word, { } reason))
            {
                return new Conversion(1, 0, "", "", $"its unit {Units.Find(channel.Unit)?.Name} cannot be turned into {role.Unit()}; "
                    + $"if the log is wrong, set [channels.{role.Key()}] unit");
            }

            if (word.Reference == PressureReference.Unsaid && word.Quantity == Quantity.Pressure && name.Tokens.Any(token => token is "abs" or "absolute"))
            {
                word = Units.Find(word.Name + " absolute")!;
                reason += ", absolute by its name";
            }
            else if (word.Reference == PressureReference.Unsaid && role == Role.CrankcasePressure && !vacuum && setting?.Invert != true
                && seen is { Count: > 0 } shown && UnitGuess.IsAbsoluteCrankcase(shown, word.Scale))
            {
                word = Units.Find(word.Name + " absolute")!;
                reason += string.Create(CultureInfo.InvariantCulture, $", absolute by its values of {shown.Low5:0.###} to {shown.High95:0.###}");
            }
            double scale = word.Scale;
            if (word.Reference == PressureReference.Absolute)
                reason += "; absolute, so the standard atmosphere of 101.325 kPa is subtracted";
            if (word.Reference == PressureReference.Absolute && role == Role.CrankcasePressure)
                reason += ", until the run itself shows what ambient is";
            (scale, reason) = Turned(role, setting, seen, vacuum, word, scale, reason);
            return new Conversion(scale, word.Offset, word.Name, reason, null);
        }

        private static (double Scale, string Why) Turned(
            Role role, ChannelSetting? setting, ChannelSample? seen, bool vacuum, UnitWord word, double scale, string why)
        {
            bool byUnit = word.Reference == PressureReference.Vacuum;
            bool byName = vacuum && word.Reference == PressureReference.Unsaid;
            if (setting?.Invert == true)
                return (byUnit ? scale : -scale, $"{why}; sign turned round, as the car file says");
            if (byUnit && role != Role.CrankcasePressure)
                return (scale, $"{why}; sign turned round, because its unit is a vacuum");
            if (!byName && !byUnit) return (scale, why);
            if (seen is { Count: > 0 } values && values.Median < 0 && values.High95 <= Math.Abs(values.Low5))
                return (byUnit ? -scale : scale, $"{why}; logged as a vacuum, but its values are negative already, so the sign is left");
            return (byUnit ? scale : -scale, $"{why}; logged as a vacuum, so the sign is turned round");
        }

        /// <summary>The unit with how it is known: car file, log, name, and last a guess. Null when the log's unit measures something else.</summary>
        private static (UnitWord Unit, string Why)? KnownUnit(
            Role role, LogChannel channel, ChannelName name, ChannelSetting? setting, bool vacuum, ChannelSample? seen)
        {
            if (setting?.Unit is { } asked && Units.Find(asked) is { } set && Units.Fits(role, set.Quantity))
                return (set, $"in {set.Name} as the car file says");

            string? unknown = null;
            if (!SaysNothing(role, channel.Unit))
            {
                UnitWord? logged = Units.Find(channel.Unit);
                if (logged is null) unknown = channel.Unit;
                else if (Units.Fits(role, logged.Quantity)) return (logged, $"in {logged.Name} as the log says");
                else return null;
            }
            if (unknown is null && UnitFromName(role, name) is { } inName)
                return (inName.Unit, $"in {inName.Unit.Name} as its name says");

            (string guessed, string why) = UnitGuess.For(role, seen, vacuum);
            UnitWord guess = Units.Find(guessed)!;
            return (guess, unknown is null ? why : $"its unit {Shown.Quoted(unknown)} is not known; {why}");
        }

        /// <summary>True when the log gives no unit, or one that leaves it open: degrees of a temperature.</summary>
        private static bool SaysNothing(Role role, string? unit) =>
            Units.SaysNone(unit)
            || (Units.QuantityOf(role) == Quantity.Temperature && Units.Find(unit) is { Name: "deg" });
    }

    /// <summary>How to turn a channel's values into the role's unit, or the problem that stands against it.</summary>
    private sealed record Conversion(double Scale, double Offset, string Unit, string Why, string? Problem)
    {
        public double Apply(double value) => (value * Scale) + Offset;
    }
}
