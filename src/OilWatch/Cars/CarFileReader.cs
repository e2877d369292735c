using System.Collections.Immutable;
using System.Globalization;
using OilWatch.Channels;
using OilWatch.Oil;

namespace OilWatch.Cars;

/// <summary>Reads the settings out of the tables of a car file, and tells everything that is wrong at once.</summary>
internal sealed class CarFileReader(CarProblems problems, ImmutableArray<LimitSection> limitSections)
{
    private const int LongestText = 200;
    private const int MostBands = 100;
    private const int MostDatabases = 20;
    private const double UsualGateWidthM = 20;

    private static readonly ImmutableArray<string> Sections = ["car", "engine", "oil", "channels", "can", "laps", "advice", "limits", "bands"];

    // GPS and vibration alone are recorded beside a log; readers for other side files do not exist.
    private static readonly ImmutableArray<Role> RolesFromSideFiles = [Role.VehicleSpeed, Role.Latitude, Role.Longitude, Role.Vibration];

    private AnalysisOptions _options = AnalysisOptions.Default;
    private CarSettings _car = CarSettings.None;

    /// <summary>Reads everything; what is wrong is left at its default.</summary>
    public AnalysisOptions Read(TomlTable root)
    {
        foreach (TomlEntry entry in root.Entries)
        {
            switch (entry.Key)
            {
                case "car": ReadKeys(entry, "car", ("name", node => _car = _car with { Name = Name(node, "name") })); break;
                case "engine": ReadEngine(entry); break;
                case "oil": ReadOil(entry); break;
                case "channels": ReadChannels(entry); break;
                case "can": ReadKeys(entry, "can", ("database", node => _car = _car with { CanDatabases = Databases(node) })); break;
                case "laps": ReadKeys(entry, "laps", ("gate", node => _car = _car with { Gate = Gate(node) })); break;
                case "advice": ReadKeys(entry, "advice", ("file", node => _car = _car with { AdviceFile = Path(node, "file") })); break;
                case "limits": ReadLimits(entry); break;
                case "bands": ReadBands(entry); break;
                default: UnknownAtTop(entry); break;
            }
        }
        return _options with { Car = _car };
    }

    private void UnknownAtTop(TomlEntry entry)
    {
        if (entry.Node.Value is not (TomlTable or List<TomlNode>))
        {
            problems.Add(entry.Line, entry.Column, $"key {Shown.Quoted(entry.Key)} stands outside any section; put it under its section, such as [car]");
            return;
        }
        string hint = NearestWord.To(entry.Key, Sections) is { } near
            ? $"did you mean {Written(near)}?"
            : $"the sections are {string.Join(", ", Sections.Select(Written))}";
        problems.Add(entry.Line, entry.Column, $"unknown section [{Shown.Plain(entry.Key)}]; {hint}");
    }

    private static string Written(string section) => section switch
    {
        "channels" => "[channels.<role>]",
        "limits" => "[limits.<section>]",
        "bands" => "[[bands]]",
        _ => $"[{section}]",
    };

    private void ReadEngine(TomlEntry entry) => ReadKeys(entry, "engine",
        ("cylinders", node => _car = _car with { Cylinders = Whole(node, "cylinders", 1, 16) }),
        ("crank", node => _car = _car with { Crank = Choice(node, "crank", ("flat-plane", CrankLayout.FlatPlane), ("cross-plane", CrankLayout.CrossPlane)) }),
        ("redline_rpm", node => _car = _car with { RedlineRpm = Number(node, "redline_rpm", 500, 30_000) }),
        ("lubrication", node => _car = _car with { Lubrication = Choice(node, "lubrication", ("wet-sump", Lubrication.WetSump), ("dry-sump", Lubrication.DrySump)) }));

    private void ReadOil(TomlEntry entry)
    {
        ReadKeys(entry, "oil",
            ("grade", node => _car = _car with { OilGrade = Grade(node) }),
            ("viscosity_40c_cst", node => _car = _car with { Viscosity40CCst = Number(node, "viscosity_40c_cst", 1, 10_000) }),
            ("viscosity_100c_cst", node => _car = _car with { Viscosity100CCst = Number(node, "viscosity_100c_cst", 1, 1000) }));

        if (_car is { Viscosity40CCst: { } cold, Viscosity100CCst: { } hot } && cold <= hot)
        {
            problems.Add(entry.Line, entry.Column, string.Create(CultureInfo.InvariantCulture,
                $"viscosity_40c_cst = {cold} must be above viscosity_100c_cst = {hot}; oil thins as it heats"));
        }
        else if (entry.Node.Value is TomlTable oil && oil["grade"] is null && oil["viscosity_40c_cst"] is null != oil["viscosity_100c_cst"] is null)
        {
            problems.Add(entry.Line, entry.Column, "[oil] has one viscosity and no grade; give viscosity_40c_cst and viscosity_100c_cst, or a grade");
        }
    }

    private string? Grade(TomlNode node)
    {
        if (Text(node, "grade") is not { } text) return null;
        if (OilGrade.TryParse(text, out OilGrade? grade)) return grade.Name;
        Bad(node, $"grade {Shown.Quoted(text)} is not an SAE J300 grade, such as \"5W-50\" or \"SAE 30\"");
        return null;
    }

    private void ReadChannels(TomlEntry entry)
    {
        if (Table(entry, "channels") is not { } channels) return;
        foreach (TomlEntry channel in channels.Entries)
        {
            if (!Roles.TryParse(channel.Key, out Role role))
            {
                string hint = NearestWord.To(channel.Key, Roles.All.Select(known => known.Key())) is { } near
                    ? $"did you mean '{near}'?"
                    : $"the roles are {string.Join(", ", Roles.All.Select(known => known.Key()))}";
                problems.Add(channel.Line, channel.Column, $"unknown role {Shown.Quoted(channel.Key)} in [channels]; {hint}");
                continue;
            }
            if (ReadChannel(channel, role) is { } setting) _car = _car with { Channels = _car.Channels.SetItem(role, setting) };
        }
    }

    private ChannelSetting? ReadChannel(TomlEntry entry, Role role)
    {
        string section = $"channels.{role.Key()}";
        if (entry.Node.Value is string name)
        {
            Bad(entry.Node, $"[{section}] must be a section; write [{section}] and under it source = \"{Shown.Plain(name)}\"");
            return null;
        }
        if (entry.Node.Value is not TomlTable table)
        {
            Table(entry, section);
            return null;
        }

        var setting = new ChannelSetting();
        ReadKeys(entry, section,
            ("source", node => setting = setting with { Source = Text(node, "source") }),
            ("unit", node => setting = setting with { Unit = Unit(node, role) }),
            ("invert", node => setting = setting with { Invert = Truth(node, "invert") }),
            ("file", node => setting = setting with { File = SideFile(node, role) }),
            ("scale", node => setting = setting with { Scale = Number(node, "scale", 1e-9, 1e9) }),
            ("start_s", node => setting = setting with { StartS = Number(node, "start_s", -1e10, 1e10) }));

        if (table["file"] is null && (table["scale"] ?? table["start_s"]) is { } alone)
            problems.Add(alone.Line, alone.Column, $"{Shown.Quoted(alone.Key)} belongs to a side file; give file in [{section}] too");
        if (table["file"] is not null && table["source"] is { } both)
            problems.Add(both.Line, both.Column, $"[{section}] has both source and file; keep the one that holds the channel");
        return setting;
    }

    private string? Unit(TomlNode node, Role role)
    {
        if (Text(node, "unit") is not { } unit) return null;
        if (Units.TryConvert(role, unit, out _)) return unit;
        ImmutableArray<string> known = Units.For(role);
        if (known.IsEmpty)
        {
            Bad(node, $"{role.Key()} has no unit; leave unit out");
            return null;
        }
        string hint = NearestWord.To(unit, known) is { } near && !string.Equals(near, unit, StringComparison.Ordinal)
            ? $"did you mean '{near}'?"
            : $"units for it are {string.Join(", ", known.Where(word => !word.Contains(' ', StringComparison.Ordinal)).Take(8))}";
        Bad(node, $"unit {Shown.Quoted(unit)} cannot be turned into {role.Unit()} for {role.Key()}; {hint}");
        return null;
    }

    private string? SideFile(TomlNode node, Role role)
    {
        if (RolesFromSideFiles.Contains(role)) return Path(node, "file");
        Bad(node, $"{role.Key()} cannot come from a side file; only {string.Join(", ", RolesFromSideFiles.Select(known => known.Key()))} can");
        return null;
    }

    private ImmutableArray<string> Databases(TomlNode node)
    {
        if (node.Value is not List<TomlNode> list)
        {
            if (node.Value is string) return Path(node, "database") is { } single ? [single] : [];
            Bad(node, $"database must be a file name, as in database = \"engine.dbc\", or a list of them; found {node.Kind}");
            return [];
        }
        if (list.Count > MostDatabases)
        {
            Bad(node, "database lists more than 20 files");
            return [];
        }
        return [.. list.Select(item => Path(item, "database")).OfType<string>()];
    }

    private LapGate? Gate(TomlNode node)
    {
        if (node.Value is not TomlTable table)
        {
            Bad(node, $"gate must be written gate = {{ latitude = 0.0, longitude = 0.0, heading_deg = 0.0, width_m = 20.0 }}; found {node.Kind}");
            return null;
        }
        double? latitude = null, longitude = null, heading = null, width = UsualGateWidthM;
        ReadKeys(table, "laps.gate",
            ("latitude", value => latitude = Number(value, "latitude", -90, 90)),
            ("longitude", value => longitude = Number(value, "longitude", -180, 180)),
            ("heading_deg", value => heading = Number(value, "heading_deg", 0, 360)),
            ("width_m", value => width = Number(value, "width_m", 1, 200)));
        Require(table, node, "gate", "latitude", "longitude", "heading_deg");
        return latitude is { } north && longitude is { } east && heading is { } way && width is { } across
            ? new LapGate(north, east, way, across)
            : null;
    }

    private void ReadBands(TomlEntry entry)
    {
        if (entry.Node.Value is not List<TomlNode> list)
        {
            problems.Add(entry.Line, entry.Column, "bands are written under [[bands]], in two pairs of brackets, one for each band");
            return;
        }
        if (list.Count > MostBands)
        {
            problems.Add(entry.Line, entry.Column, "more than 100 [[bands]]");
            return;
        }
        _car = _car with { Bands = [.. list.Select(ReadBand).OfType<Band>()] };
    }

    private Band? ReadBand(TomlNode node)
    {
        if (node.Value is not TomlTable table)
        {
            Bad(node, $"a band must be a section of its own under [[bands]]; found {node.Kind}");
            return null;
        }
        string? name = null;
        BandKind? kind = null;
        double? from = null, to = null;
        ReadKeys(table, "bands",
            ("name", value => name = Name(value, "name")),
            ("kind", value => kind = Choice(value, "kind", ("engine-speed", BandKind.EngineSpeed), ("frequency", BandKind.Frequency), ("order", BandKind.Order))),
            ("from", value => from = Number(value, "from", 0, 100_000)),
            ("to", value => to = Number(value, "to", 0, 100_000)));
        if (!Require(table, node, "[[bands]]", "name", "kind", "from", "to")) return null;
        if (from >= to)
        {
            Bad(table["to"]!.Node, string.Create(CultureInfo.InvariantCulture, $"to = {to} must be above from = {from}"));
            return null;
        }
        return name is not null && kind is { } known && from is { } low && to is { } high ? new Band(name, known, low, high) : null;
    }

    private void ReadLimits(TomlEntry entry)
    {
        if (Table(entry, "limits") is not { } limits) return;
        foreach (TomlEntry part in limits.Entries)
        {
            LimitSection? section = limitSections.FirstOrDefault(known => string.Equals(known.Name, part.Key, StringComparison.Ordinal));
            if (section is not null)
            {
                ReadLimitSection(part, section);
            }
            else if (part.Node.Value is TomlTable)
            {
                string hint = NearestWord.To(part.Key, limitSections.Select(known => known.Name)) is { } near
                    ? $"did you mean [limits.{near}]?"
                    : $"the sections are {string.Join(", ", limitSections.Select(known => $"[limits.{known.Name}]"))}";
                problems.Add(part.Line, part.Column, $"unknown section [limits.{Shown.Plain(part.Key)}]; {hint}");
            }
            else
            {
                LimitSection? owner = limitSections.FirstOrDefault(known => known.Limits.Any(limit => string.Equals(limit.Key, part.Key, StringComparison.Ordinal)));
                problems.Add(part.Line, part.Column, owner is null
                    ? $"unknown key {Shown.Quoted(part.Key)} in [limits]; thresholds stand in sections such as [limits.{limitSections[0].Name}]"
                    : $"key {Shown.Quoted(part.Key)} belongs in [limits.{owner.Name}]");
            }
        }
    }

    private void ReadLimitSection(TomlEntry entry, LimitSection section)
    {
        string label = $"limits.{section.Name}";
        int before = problems.Count;
        ReadKeys(entry, label,
        [
            .. section.Limits.Select((limit, index) => (limit.Key, (Action<TomlNode>)(node =>
            {
                if (Number(node, $"{label}.{limit.Key}", limit.Min, limit.Max) is { } value) _options = section.With(_options, index, value);
            }))),
        ]);
        if (problems.Count > before) return;

        // Each is in its range; what is left is thresholds in the wrong order, told at the key that the problem names first.
        foreach (string problem in section.Problems(_options))
        {
            TomlEntry place = (entry.Node.Value as TomlTable)?.Entries
                .FirstOrDefault(key => problem.StartsWith($"{label}.{key.Key} ", StringComparison.Ordinal)) ?? entry;
            problems.Add(place.Line, place.Column, problem);
        }
    }

    /// <summary>Gives each key of a section to its reader, and tells the keys that nobody reads.</summary>
    private void ReadKeys(TomlEntry entry, string section, params ReadOnlySpan<(string Key, Action<TomlNode> Read)> keys)
    {
        if (Table(entry, section) is { } table) ReadKeys(table, section, keys);
    }

    private void ReadKeys(TomlTable table, string section, params ReadOnlySpan<(string Key, Action<TomlNode> Read)> keys)
    {
        var names = new List<string>();
        foreach ((string key, _) in keys) names.Add(key);
        foreach (TomlEntry entry in table.Entries)
        {
            int index = names.IndexOf(entry.Key);
            if (index >= 0)
            {
                keys[index].Read(entry.Node);
                continue;
            }
            string hint = NearestWord.To(entry.Key, names) is { } near
                ? $"did you mean '{near}'?"
                : $"the keys are {string.Join(", ", names)}";
            problems.Add(entry.Line, entry.Column, $"unknown key {Shown.Quoted(entry.Key)} in [{section}]; {hint}");
        }
    }

    private TomlTable? Table(TomlEntry entry, string section)
    {
        if (entry.Node.Value is TomlTable table) return table;
        problems.Add(entry.Line, entry.Column, entry.IsTableList
            ? $"[[{section}]] must be a single section; write [{section}]"
            : $"[{section}] must be a section; found {entry.Node.Kind}");
        return null;
    }

    private bool Require(TomlTable table, TomlNode place, string owner, params ReadOnlySpan<string> keys)
    {
        bool complete = true;
        foreach (string key in keys)
        {
            if (table[key] is not null) continue;
            Bad(place, $"{owner} needs {key}");
            complete = false;
        }
        return complete;
    }

    private void Bad(TomlNode node, string text) => problems.Add(node.Line, node.Column, text);

    private string? Text(TomlNode node, string key)
    {
        if (node.Value is not string text) Bad(node, $"{key} must be a text in quotes; found {node.Kind}");
        else if (string.IsNullOrWhiteSpace(text)) Bad(node, $"{key} is empty; leave it out instead");
        else if (text.Length > LongestText) Bad(node, $"{key} is longer than 200 characters");
        else return text;
        return null;
    }

    /// <summary>A text that is shown to people as it is.</summary>
    private string? Name(TomlNode node, string key)
    {
        if (Text(node, key) is not { } text) return null;
        if (!text.Any(char.IsControl)) return text;
        Bad(node, $"{key} has a control character in it");
        return null;
    }

    private string? Path(TomlNode node, string key)
    {
        if (node.Value is not string path)
        {
            Bad(node, $"{key} must be a file name in quotes; found {node.Kind}");
            return null;
        }
        if (CarPath.Problem(path) is not { } problem) return path;
        Bad(node, $"{key} {Shown.Quoted(path)} {problem}");
        return null;
    }

    private bool Truth(TomlNode node, string key)
    {
        if (node.Value is bool truth) return truth;
        Bad(node, $"{key} must be true or false, without quotes; found {node.Kind}");
        return false;
    }

    private int? Whole(TomlNode node, string key, int min, int max)
    {
        if (node.Value is long whole && whole >= min && whole <= max) return (int)whole;
        Bad(node, node.Value is long or double
            ? string.Create(CultureInfo.InvariantCulture, $"{key} = {node.Value} is out of range; a whole number from {min} to {max} is allowed")
            : $"{key} must be a whole number, without quotes; found {node.Kind}");
        return null;
    }

    private double? Number(TomlNode node, string key, double min, double max)
    {
        double? number = node.Value switch { long whole => whole, double real => real, _ => null };
        if (number is null) Bad(node, $"{key} must be a number, without quotes; found {node.Kind}");
        else if (number is not { } value || !(value >= min && value <= max)) Bad(node, string.Create(CultureInfo.InvariantCulture, $"{key} = {number} is out of range; {min} to {max} is allowed"));
        else return value;
        return null;
    }

    private T? Choice<T>(TomlNode node, string key, params ReadOnlySpan<(string Word, T Value)> choices)
        where T : struct
    {
        var words = new List<string>();
        foreach ((string word, T value) in choices)
        {
            if (node.Value is string text && string.Equals(text, word, StringComparison.Ordinal)) return value;
            words.Add(word);
        }
        string allowed = string.Join(" or ", words.Select(word => $"\"{word}\""));
        Bad(node, node.Value is string given
            ? $"{key} = {Shown.Quoted(given)} is not known; {(NearestWord.To(given, words) is { } near ? $"did you mean \"{near}\"?" : $"{allowed} is allowed")}"
            : $"{key} must be {allowed}; found {node.Kind}");
        return null;
    }
}
