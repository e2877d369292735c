using System.Collections.Immutable;
using System.Text;
using CsCheck;
using OilWatch.Cars;
using OilWatch.Channels;
using OilWatch.Detectors;
using Tomlyn.Parsing;

namespace OilWatch.Tests.Cars;

public sealed class CarFileTests
{
    private static CarFileResult Parse(string text) => CarFile.Parse(text, "car.toml");

    private static void Check(string text, params string[] problems) =>
        Assert.Equal(string.Join("\n", problems), string.Join("\n", Parse(text).Problems));

    private static CarSettings Good(string text)
    {
        CarFileResult result = Parse(text);
        Assert.Equal("", string.Join("\n", result.Problems));
        return result.Options.Car;
    }

    [Fact]
    public void Every_part_of_a_car_file_is_read()
    {
        CarFileResult result = Parse("""
            # An invented car.
            [car]
            name = "Number 8, blue"
            [engine]
            cylinders = 6
            crank = "cross-plane"
            redline_rpm = 7400
            lubrication = "dry-sump"
            [oil]
            grade = "10w60"
            viscosity_40c_cst = 160
            viscosity_100c_cst = 24.0
            [channels.oil_pressure]
            source = "P Oil#3"
            unit = "psi"
            [channels.lateral_g]
            invert = true
            [channels.vibration]
            file = "sound/block.wav"
            scale = 50
            start_s = -1.5
            [can]
            database = ["engine.dbc", "dbc/dash.dbc"]
            [laps]
            gate = { latitude = 10.5, longitude = -20.25, heading_deg = 90, width_m = 15 }
            [limits.pressure_drop]
            caution_ratio = 0.7
            advisory_ratio = 0.88
            [[bands]]
            name = "pickup bracket"
            kind = "engine-speed"
            from = 5200
            to = 5_600
            [[bands]]
            name = "alternator"
            kind = "order"
            from = 1.9
            to = 2.1
            [[bands]]
            name = "pan"
            kind = "frequency"
            from = 300.0
            to = 420
            """);
        Assert.Equal("", string.Join("\n", result.Problems));
        Assert.True(result.IsUsable);
        CarSettings car = result.Options.Car;
        Assert.Equal("Number 8, blue", car.Name);
        Assert.Equal(6, car.Cylinders);
        Assert.Equal(CrankLayout.CrossPlane, car.Crank);
        Assert.Equal(7400, car.RedlineRpm);
        Assert.Equal(Lubrication.DrySump, car.Lubrication);
        Assert.Equal(("10W-60", 160.0, 24.0), (car.OilGrade, car.Viscosity40CCst, car.Viscosity100CCst));
        Assert.Equal(3, car.Channels.Count);
        Assert.Equal(new ChannelSetting { Source = "P Oil#3", Unit = "psi" }, car.Channels[Role.OilPressure]);
        Assert.Equal(new ChannelSetting { Invert = true }, car.Channels[Role.LateralG]);
        Assert.Equal(new ChannelSetting { File = "sound/block.wav", Scale = 50, StartS = -1.5 }, car.Channels[Role.Vibration]);
        Assert.Equal(["engine.dbc", "dbc/dash.dbc"], car.CanDatabases);
        Assert.Equal(new LapGate(10.5, -20.25, 90, 15), car.Gate);
        Assert.Equal(
            [
                new Band("pickup bracket", BandKind.EngineSpeed, 5200, 5600), new Band("alternator", BandKind.Order, 1.9, 2.1),
                new Band("pan", BandKind.Frequency, 300, 420),
            ],
            car.Bands);
        Assert.Equal(0.7, result.Options.PressureDrop.CautionRatio);
        Assert.Equal(0.88, result.Options.PressureDrop.AdvisoryRatio);
        Assert.Equal(PressureDropOptions.Default.CautionHoldS, result.Options.PressureDrop.CautionHoldS);
    }

    [Fact]
    public void An_empty_file_gives_the_defaults()
    {
        foreach (string text in (string[])["", "\n\n", "# nothing\n", "[limits]\n", "[car]\n[engine]\n[oil]\n[channels]\n[can]\n[laps]\n"])
        {
            Good(text);
            Assert.Equal(PressureDropOptions.Default, Parse(text).Options.PressureDrop);
        }
    }

    [Fact]
    public void Other_ways_of_writing_the_same_are_read()
    {
        Assert.Equal("a", Good("car.name = \"a\"").Name);
        Assert.Equal("a", Good("car = { name = 'a' }").Name);
        Assert.Equal("x", Good("[channels]\noil_pressure.source = \"x\"").Channels[Role.OilPressure].Source);
        Assert.Equal("x", Good("[channels]\noil_pressure = { source = \"x\" }").Channels[Role.OilPressure].Source);
        Assert.Equal(["a.dbc"], Good("[can]\ndatabase = \"a.dbc\"").CanDatabases);
        Assert.Equal("ours.toml", Good("[advice]\nfile = \"ours.toml\"").AdviceFile);
        Assert.Equal(new LapGate(1, 2, 3, 4), Good("[laps.gate]\nlatitude = 1\nlongitude = 2\nheading_deg = 3\nwidth_m = 4").Gate);
        Assert.Equal(20, Good("[laps]\ngate = { latitude = 1, longitude = 2, heading_deg = 3 }").Gate!.WidthM);
        Assert.Equal(new Band("b", BandKind.Order, 1, 2), Assert.Single(Good("bands = [ { name = \"b\", kind = \"order\", from = 1, to = 2 } ]").Bands));
        Assert.Equal("a", Good("\uFEFF[car]\r\nname = \"a\"\r\n").Name);
        Assert.Equal("a", CarFile.Parse("\uFEFF[car]\nname = 'a'"u8, "car.toml").Options.Car.Name);
    }

    [Fact]
    public void A_mistyped_key_names_the_nearest_and_its_place() => Check("""
        [car]
        naem = "a"
        [engine]
        cilinders = 8
        colour = "red"
        [limits.pressure_drop]
        cauton_ratio = 0.7
        [laps]
        gate = { latitude = 1, longitude = 2, heading = 3 }
        """,
        "car.toml:2:1: unknown key 'naem' in [car]; did you mean 'name'?",
        "car.toml:4:1: unknown key 'cilinders' in [engine]; did you mean 'cylinders'?",
        "car.toml:5:1: unknown key 'colour' in [engine]; the keys are cylinders, crank, redline_rpm, lubrication",
        "car.toml:7:1: unknown key 'cauton_ratio' in [limits.pressure_drop]; did you mean 'caution_ratio'?",
        "car.toml:9:8: gate needs heading_deg",
        "car.toml:9:39: unknown key 'heading' in [laps.gate]; did you mean 'heading_deg'?");

    [Fact]
    public void Unknown_sections_and_roles_name_the_nearest() => Check("""
        speed = 3
        [engin]
        [nonsense]
        [channels.oil_presure]
        [channels.gearbox]
        [limits]
        caution_ratio = 0.7
        foo = 1
        [limits.presure_drop]
        """,
        "car.toml:1:1: key 'speed' stands outside any section; put it under its section, such as [car]",
        "car.toml:2:2: unknown section [engin]; did you mean [engine]?",
        "car.toml:3:2: unknown section [nonsense]; the sections are [car], [engine], [oil], [channels.<role>], [can], [laps], [advice], [limits.<section>], [[bands]]",
        "car.toml:4:11: unknown role 'oil_presure' in [channels]; did you mean 'oil_pressure'?",
        "car.toml:5:11: unknown role 'gearbox' in [channels]; the roles are oil_pressure, oil_temperature, engine_speed, lateral_g, longitudinal_g, "
            + "crankcase_pressure, vehicle_speed, throttle, lap, beacon, distance, latitude, longitude, vibration, fuel_pressure, water_temperature, battery_voltage",
        "car.toml:7:1: key 'caution_ratio' belongs in [limits.pressure_drop]",
        "car.toml:8:1: unknown key 'foo' in [limits]; thresholds stand in sections such as [limits.pressure_drop]",
        "car.toml:9:9: unknown section [limits.presure_drop]; did you mean [limits.pressure_drop]?");

    [Fact]
    public void Wrong_types_say_what_would_be_right() => Check("""
        [car]
        name = 27
        [engine]
        cylinders = "8"
        crank = 180
        redline_rpm = "8000"
        [channels]
        oil_pressure = "Oil Press"
        lateral_g = 3
        [channels.engine_speed]
        source = true
        invert = "yes"
        [can]
        database = 1
        [laps]
        gate = "start"
        [limits]
        pressure_drop = 3
        [bands]
        name = "x"
        """,
        "car.toml:2:8: name must be a text in quotes; found a number",
        "car.toml:4:13: cylinders must be a whole number, without quotes; found a text",
        "car.toml:5:9: crank must be \"flat-plane\" or \"cross-plane\"; found a number",
        "car.toml:6:15: redline_rpm must be a number, without quotes; found a text",
        "car.toml:8:16: [channels.oil_pressure] must be a section; write [channels.oil_pressure] and under it source = \"Oil Press\"",
        "car.toml:9:1: [channels.lateral_g] must be a section; found a number",
        "car.toml:11:10: source must be a text in quotes; found true or false",
        "car.toml:12:10: invert must be true or false, without quotes; found a text",
        "car.toml:14:12: database must be a file name, as in database = \"engine.dbc\", or a list of them; found a number",
        "car.toml:16:8: gate must be written gate = { latitude = 0.0, longitude = 0.0, heading_deg = 0.0, width_m = 20.0 }; found a text",
        "car.toml:18:1: [limits.pressure_drop] must be a section; found a number",
        "car.toml:19:2: bands are written under [[bands]], in two pairs of brackets, one for each band");

    [Fact]
    public void Values_out_of_range_say_the_range() => Check("""
        [engine]
        cylinders = 20
        redline_rpm = 80_000
        crank = "boxer"
        lubrication = "dri-sump"
        [oil]
        grade = "5W-45"
        viscosity_40c_cst = 15
        viscosity_100c_cst = 17.2
        [laps]
        gate = { latitude = 91, longitude = nan, heading_deg = -1, width_m = 0.5 }
        [limits.pressure_drop]
        caution_ratio = 7
        caution_hold_s = inf
        [[bands]]
        name = "x"
        kind = "order"
        from = 2
        to = 2
        """,
        "car.toml:2:13: cylinders = 20 is out of range; a whole number from 1 to 16 is allowed",
        "car.toml:3:15: redline_rpm = 80000 is out of range; 500 to 30000 is allowed",
        "car.toml:4:9: crank = 'boxer' is not known; \"flat-plane\" or \"cross-plane\" is allowed",
        "car.toml:5:15: lubrication = 'dri-sump' is not known; did you mean \"dry-sump\"?",
        "car.toml:6:2: viscosity_40c_cst = 15 must be above viscosity_100c_cst = 17.2; oil thins as it heats",
        "car.toml:7:9: grade '5W-45' is not an SAE J300 grade, such as \"5W-50\" or \"SAE 30\"",
        "car.toml:11:21: latitude = 91 is out of range; -90 to 90 is allowed",
        "car.toml:11:37: longitude = NaN is out of range; -180 to 180 is allowed",
        "car.toml:11:56: heading_deg = -1 is out of range; 0 to 360 is allowed",
        "car.toml:11:70: width_m = 0.5 is out of range; 1 to 200 is allowed",
        "car.toml:13:17: limits.pressure_drop.caution_ratio = 7 is out of range; 0.3 to 0.95 is allowed",
        "car.toml:14:18: limits.pressure_drop.caution_hold_s = Infinity is out of range; 0 to 5 is allowed",
        "car.toml:19:6: to = 2 must be above from = 2");

    [Fact]
    public void One_viscosity_without_a_grade_is_not_enough() => Check(
        "[oil]\nviscosity_100c_cst = 17.2",
        "car.toml:1:2: [oil] has one viscosity and no grade; give viscosity_40c_cst and viscosity_100c_cst, or a grade");

    [Fact]
    public void Units_are_checked_against_the_role() => Check("""
        [channels.oil_pressure]
        unit = "psy"
        [channels.oil_temperature]
        unit = "psi"
        [channels.lap]
        unit = "m"
        """,
        "car.toml:2:8: unit 'psy' cannot be turned into kPa for oil_pressure; did you mean 'psi'?",
        "car.toml:4:8: unit 'psi' cannot be turned into °C for oil_temperature; units for it are °C, K, °F",
        "car.toml:6:8: lap has no unit; leave unit out");

    [Fact]
    public void Side_files_belong_to_vibration_and_gps() => Check("""
        [channels.oil_pressure]
        file = "oil.wav"
        [channels.vibration]
        scale = 3
        [channels.latitude]
        file = "track.nmea"
        source = "Lat"
        """,
        "car.toml:2:8: oil_pressure cannot come from a side file; only vehicle_speed, latitude, longitude, vibration can",
        "car.toml:4:1: 'scale' belongs to a side file; give file in [channels.vibration] too",
        "car.toml:7:1: [channels.latitude] has both source and file; keep the one that holds the channel");

    [Theory]
    [InlineData("../engine.dbc", "must stay beside or below the car file, without '..'")]
    [InlineData("a/../../engine.dbc", "must stay beside or below the car file, without '..'")]
    [InlineData("a\\..\\b.dbc", "must stay beside or below the car file, without '..'")]
    [InlineData("a/.. /b.dbc", "must stay beside or below the car file, without '..'")]
    [InlineData("/etc/engine.dbc", "must be relative to the car file")]
    [InlineData("\\\\server\\x.dbc", "must be relative to the car file")]
    [InlineData("c:engine.dbc", "must be relative to the car file")]
    [InlineData("http://example.org/x", "must be relative to the car file")]
    [InlineData("~/x.dbc", "must be relative to the car file")]
    [InlineData("", "is empty")]
    [InlineData(" ", "is empty")]
    public void A_path_stays_beside_or_below_the_car_file(string path, string problem) => Check(
        $"[can]\ndatabase = '{path}'", $"car.toml:2:12: database '{path}' {problem}");

    [Theory]
    [InlineData("engine.dbc")]
    [InlineData("dbc/engine v2..final.dbc")]
    [InlineData("./engine.dbc")]
    public void A_path_below_the_car_file_is_taken(string path) =>
        Assert.Equal([path], Good($"[can]\ndatabase = '{path}'").CanDatabases);

    [Fact]
    public void Keys_and_sections_given_twice_are_told_with_the_first_place() => Check("""
        [car]
        name = "a"
        name = "b"
        [engine]
        [car]
        name = "c"
        [laps]
        gate = { latitude = 1, latitude = 2, longitude = 3, heading_deg = 4 }
        [[bands]]
        name = "x"
        kind = "order"
        from = 1
        to = 2
        [bands]
        [laps.gate]
        [[engine]]
        [car.name]
        [car.name.first]
        [channels]
        oil_pressure.source = "x"
        [channels.oil_pressure]
        """,
        "car.toml:3:1: key 'name' is given twice in [car] (first on line 2); keep one",
        "car.toml:5:2: [car] is given twice (first on line 1); put its keys together under one",
        "car.toml:8:24: key 'latitude' is given twice in [laps.gate] (first on line 8); keep one",
        "car.toml:14:2: [bands] is given twice (first on line 9); put its keys together under one",
        "car.toml:15:7: [laps.gate] is given twice (first on line 8); put its keys together under one",
        "car.toml:16:3: [[engine]] cannot follow what line 4 says of 'engine'; use [[engine]] every time",
        "car.toml:17:6: [car.name] is given twice (first on line 2); put its keys together under one",
        "car.toml:18:6: 'name' already has a value (line 2) and cannot be a section too",
        "car.toml:21:11: [channels.oil_pressure] is given twice (first on line 20); put its keys together under one");

    [Fact]
    public void Slips_of_syntax_are_told_once_a_line_and_the_rest_is_still_read()
    {
        const string Text = """
            [car
            name = "a"
            [engine]
            cylinders = = 8
            redline_rpm 8000
            crank = flat-plane
            [oil]
            grade = "5W-50
            viscosity = 3
            """;
        Check(Text,
            "car.toml:1:5: the section's name is not closed; end it with ']'",
            "car.toml:2:1: expected the end of the line; one key a line, and texts in quotes",
            "car.toml:4:13: expected a value after '=': a number, true, false, a text in quotes, or a list in brackets",
            "car.toml:5:13: expected '=' after the key, as in key = value",
            "car.toml:6:9: expected a value after '=': a number, true, false, a text in quotes, or a list in brackets",
            "car.toml:8:15: a text is not closed on its line; end it with the quote that it began with");
    }

    [Fact]
    public void Stray_signs_and_dates_are_told() => Check(
        "= 3\n[car]\nname = 07:32:00.\n[[bands'\n",
        "car.toml:1:1: this does not belong here; look for a quote, bracket or '=' that is missing or too many",
        "car.toml:3:8: this begins like a date or time, which a car file has no use for; put texts in quotes",
        "car.toml:4:8: this does not belong here; look for a quote, bracket or '=' that is missing or too many");

    [Fact]
    public void A_file_that_is_too_large_is_refused_unread()
    {
        string large = "# " + new string('x', CarFile.MaxBytes);
        Check(large, "car.toml: is larger than 1 MiB; a car file is a few kilobytes");
        Check("# " + new string('é', CarFile.MaxBytes / 2), "car.toml: is larger than 1 MiB; a car file is a few kilobytes");
        Assert.Equal(
            "car.toml: is larger than 1 MiB; a car file is a few kilobytes",
            Assert.Single(CarFile.Parse(Encoding.UTF8.GetBytes(large), "car.toml").Problems).ToString());
        Good("# " + new string('x', CarFile.MaxBytes - 2));
    }

    [Fact]
    public void Bytes_that_are_not_UTF_8_are_told_by_place()
    {
        byte[] bytes = [.. "[car]\nname = \"5 "u8, 0xB0, .. "\"\n"u8];
        Assert.Equal(
            "car.toml:2:11: byte 17 of the file (0xB0) is not UTF-8; save the file as UTF-8",
            Assert.Single(CarFile.Parse(bytes, "car.toml").Problems).ToString());
    }

    [Theory]
    [InlineData('[', ']')]
    [InlineData('{', '}')]
    public void Brackets_nested_deep_are_refused_before_the_parser_sees_them(char open, char close)
    {
        foreach (int depth in (int[])[17, 1000, 400_000])
        {
            Check("\na = " + new string(open, depth) + new string(close, depth),
                "car.toml:2:21: brackets are nested more than 16 deep here; a car file needs no more than four");
        }
    }

    [Fact]
    public void Brackets_in_texts_and_comments_do_not_nest()
    {
        string many = new('[', 50);
        Assert.Equal(many, Good($"[car] # {many}\nname = \"{many}\" # {many}\n").Name);
        Assert.Equal(many, Good($"[car]\nname = '{many}'").Name);
        Assert.Equal(many + "\"", Good($"[car]\nname = \"\"\"{many}\\\"\"\"\"").Name);
    }

    [Fact]
    public void Keys_of_very_many_parts_are_refused()
    {
        string key = string.Join('.', Enumerable.Repeat("a", 100_000));
        Check($"{key} = 1", "car.toml:1:1: a key of more than 16 parts; a car file needs no more than three");
        Check($"[{key}]\nx = 1", "car.toml:1:2: a key of more than 16 parts; a car file needs no more than three");
    }

    [Fact]
    public void Very_many_problems_are_cut_short_and_counted()
    {
        string text = string.Concat(Enumerable.Range(0, 1000).Select(i => FormattableString.Invariant($"[s{i}]\n")));
        ImmutableArray<string> problems = [.. Parse(text).Problems.Select(problem => problem.ToString())];
        Assert.Equal(101, problems.Length);
        Assert.Equal("car.toml: and 900 more problems", problems[^1]);
    }

    [Fact]
    public void What_a_file_says_cannot_steer_a_terminal() => Check(
        "\"\\u001b[2J\" = 1\n[can]\ndatabase = \"..\\u001b/x\"\n[car]\nname = \"a\\u0007b\"",
        "car.toml:1:1: key '\\u001B[2J' stands outside any section; put it under its section, such as [car]",
        "car.toml:3:12: database '..\\u001B/x' has a control character in it",
        "car.toml:5:8: name has a control character in it");

    [Fact]
    public void Thresholds_in_the_wrong_order_are_told_at_their_key()
    {
        LimitSection ordered = LimitSection.Of(
            PressureDropOptions.Section, PressureDropOptions.Limits, all => all.PressureDrop, (all, part) => all with { PressureDrop = part },
            part => part.CautionRatio < part.AdvisoryRatio ? [] : ["limits.pressure_drop.caution_ratio = … must be below advisory_ratio"]);
        var problems = new CarProblems("car.toml");
        const string Text = "[limits.pressure_drop]\nadvisory_ratio = 0.6\ncaution_ratio = 0.7";
        new CarFileReader(problems, [ordered]).Read(TomlDocument.Read(Text, problems));
        Assert.Equal(
            "car.toml:3:1: limits.pressure_drop.caution_ratio = … must be below advisory_ratio", Assert.Single(problems.InOrder()).ToString());
    }

    [Fact]
    public void Every_threshold_is_listed_and_can_be_set_from_the_car_file()
    {
        Assert.NotEmpty(LimitTable.All);
        Assert.Equal(LimitTable.All.Length, LimitTable.All.Select(row => (row.Section, row.Key)).Distinct().Count());
        foreach (LimitRow row in LimitTable.All)
        {
            Assert.InRange(row.Default, row.Min, row.Max);
            Assert.False(string.IsNullOrWhiteSpace(row.Meaning));
            Assert.False(string.IsNullOrWhiteSpace(row.Source));
            CarFileResult result = Parse(FormattableString.Invariant($"[limits.{row.Section}]\n{row.Key} = {row.Default}"));
            Assert.Equal("", string.Join("\n", result.Problems));
            Assert.Equal(LimitTable.All, LimitTable.Rows(result.Options));
        }
        Assert.Equal(
            new LimitRow("pressure_drop", "caution_hold_s", "s", PressureDropOptions.Default.CautionHoldS, 0, 5, "", ""),
            LimitTable.All.Single(row => row is { Section: "pressure_drop", Key: "caution_hold_s" }) with { Meaning = "", Source = "" });
        Assert.Empty(AnalysisOptions.Default.Problems());
    }

    // A second opinion on keys given twice: the parser's own check of the TOML rules. It is the more lenient one: it lets [a.b.a] follow
    // a key a.b.a that a dotted key gave a value, which TOML 1.0 forbids, so only one direction is compared; and it mixes up the elements of [[lists]], which are left out.
    [Fact]
    public void What_the_parser_itself_calls_contradictory_is_told()
    {
        Gen<string> key = Gen.OneOf("a", "b", "a.b", "b.a", "a.b.a");
        Gen<string> line = Gen.OneOf(
            key.Select(name => $"[{name}]"), key.Select(name => $"{name} = 1"), key.Select(name => $"{name} = {{ a = 1 }}"));
        line.Array[0, 6].Holds(5000,
            lines =>
            {
                string text = string.Join('\n', lines);
                return !SyntaxParser.Parse(text, "", validate: true).HasErrors || TomlProblems(text).Length > 0;
            });
    }

    // Allowed by TOML 1.0: tables in any order, sub-tables of dotted keys, sub-tables of the last of a list.
    [Theory]
    [InlineData("[a.b]\n[a]\nx = 1")]
    [InlineData("a.b = 1\na.c = 2\n[b]")]
    [InlineData("[a]\nb.c = 1\nb.d = 2\n[a.e]")]
    [InlineData("[a]\nb.c = 1\n[a.b.d]\nx = 1")]
    [InlineData("[[a]]\n[a.b]\n[[a]]\n[a.b]")]
    [InlineData("[[a]]\n[[a.b]]\n[[a.b]]\n[[a]]\n[[a.b]]\nx = 1")]
    [InlineData("a = { b.c = 1, b.d = 2 }")]
    [InlineData("\"a b\".'c d' = 1\n\"a b\".e = 2")]
    public void What_TOML_allows_is_not_called_contradictory(string text) => Assert.Equal("", string.Join("\n", TomlProblems(text)));

    private static ImmutableArray<OilWatch.Reading.ReadingProblem> TomlProblems(string text)
    {
        var problems = new CarProblems("car.toml");
        TomlDocument.Read(text, problems);
        return problems.InOrder();
    }

    [Fact]
    public void Nothing_in_a_file_throws()
    {
        Gen<string> piece = Gen.OneOf(
            "[car]\n", "[channels.oil_pressure]\n", "[[bands]]\n", "[limits.pressure_drop]\n", "name", "source", " = ", "\"x\"", "'y'", "3", "1e400", "-inf", "nan", "{", "}", "[", "]", ",",
            "\n", "\r", "#", "\"\"\"", "\\", "\\u0000", "\uD800", "\0", "1979-05-27", "true", ".", "a", "gate", "latitude", "database", "0x", "99999999999999999999", "\u001b", "é", "[can]\n", "[laps]\n", "from", "to");
        piece.Array[0, 40].Select(pieces => string.Concat(pieces)).Holds(5000, Survives);
        Gen.Byte.Array[0, 200].Holds(5000, bytes => CarFile.Parse(bytes, "car.toml").Problems.Length >= 0);
    }

    // The parser itself throws on these; found by the random files above.
    [Theory]
    [InlineData("é0x\"\"\"\\")]
    [InlineData("a = \"\\")]
    [InlineData("a = \"\\u12")]
    [InlineData("a = \"\"\"\\U0001")]
    public void A_text_that_breaks_off_in_an_escape_is_told(string text)
    {
        Assert.NotEmpty(Parse(text).Problems);
        Survives(text);
    }

    [Fact]
    public void No_change_of_one_character_in_a_good_file_throws()
    {
        const string Good = "[car]\nname = \"a\"\n[oil]\ngrade = \"5W-50\"\n[laps]\ngate = { latitude = 1, longitude = 2, heading_deg = 3 }\n[can]\ndatabase = [\"a\", 'b']\n[[bands]]\nfrom = 1.5e3 # x\n";
        foreach (char c in "\0\n\"'[]{}=.,#\\\uD800é9")
        {
            for (int i = 0; i < Good.Length; i++)
            {
                Survives(Good[..i] + c + Good[(i + 1)..]);
                Survives(Good[..i] + c + Good[i..]);
                Survives(Good[..i]);
            }
        }
    }

    private static void Survives(string text)
    {
        foreach (OilWatch.Reading.ReadingProblem problem in Parse(text).Problems)
            Assert.False(problem.ToString().Any(char.IsControl), problem.ToString());
    }
}
