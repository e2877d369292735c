using System.Collections.Frozen;

namespace OilWatch.Channels;

/// <summary>A channel's name taken apart into words, whatever its spelling: <c>OilP</c>, <c>oil_pressure</c> and <c>Oil Press</c> are the same words.</summary>
internal sealed class ChannelName
{
    private const int LongestName = 128;

    // Each spelling with what it means. A word that stands for several is written with blanks.
    private static readonly FrozenDictionary<string, string> Meanings = BuildMeanings();

    private static readonly int LongestMeaning = Meanings.Keys.Max(word => word.Length);

    private ChannelName(List<string> tokens, IEnumerable<string> words)
    {
        Tokens = tokens;
        Words = words.ToHashSet(StringComparer.Ordinal);
    }

    /// <summary>The pieces as written, in lower case.</summary>
    public IReadOnlyList<string> Tokens { get; }

    /// <summary>What the pieces mean, each once.</summary>
    public IReadOnlySet<string> Words { get; }

    /// <summary>Takes a name apart.</summary>
    public static ChannelName Of(string name)
    {
        List<string> tokens = Tokenised(WithoutAddress(name).Replace("h2o", " water ", StringComparison.OrdinalIgnoreCase));
        var words = new List<string>();
        foreach (string token in tokens) words.AddRange(Meaning(token));
        Join(words, "accel", "force", "accel");
        Join(words, "crank", "case", "crankcase");
        Join(words, "oil", "pan", "pan");
        Join(words, "oil", "sump", "pan");
        Join(words, "set", "point", "target");
        Join(words, "lap", "timer", "beacon");
        return new ChannelName(tokens, words);
    }

    /// <summary>The unit that the name ends with, such as <c>psi</c> in <c>OilPress_psi</c>, with how many pieces it takes; or null.</summary>
    public (UnitWord Unit, int Pieces)? TrailingUnit()
    {
        for (int pieces = Math.Min(3, Tokens.Count - 1); pieces >= 1; pieces--)
        {
            string text = string.Concat(Tokens.Skip(Tokens.Count - pieces));
            if (Units.Find(text) is { } unit) return (unit, pieces);
        }
        return null;
    }

    /// <summary>Without what tells apart columns of one name (<c>#9</c>) and without the standard a CAN parameter is from.</summary>
    private static string WithoutAddress(string name)
    {
        if (name.Length > LongestName) name = name[..LongestName];
        int standard = name.IndexOf("(SAE ", StringComparison.OrdinalIgnoreCase);
        if (standard > 0) name = name[..standard];
        int number = name.LastIndexOf('#');
        return number > 0 && name.AsSpan(number + 1).IndexOfAnyExceptInRange('0', '9') < 0 ? name[..number] : name;
    }

    private static IEnumerable<string> Meaning(string token)
    {
        if (Meanings.TryGetValue(token, out string? meaning)) return meaning.Split(' ', StringSplitOptions.RemoveEmptyEntries);
        if (char.IsAsciiDigit(token[0])) return [token];
        return Segmented(token) ?? [token];
    }

    /// <summary>A word without joiners, such as <c>oilpress</c>, as known words that fill it completely; null when they do not.</summary>
    private static List<string>? Segmented(string token)
    {
        // Fewest pieces that reach each place; pieces of one letter only at either end, where p, t, v, n and g are used.
        int[] pieces = new int[token.Length + 1];
        int[] from = new int[token.Length + 1];
        Array.Fill(pieces, int.MaxValue);
        pieces[0] = 0;
        for (int end = 1; end <= token.Length; end++)
        {
            for (int start = Math.Max(0, end - LongestMeaning); start < end; start++)
            {
                if (pieces[start] == int.MaxValue || pieces[start] + 1 >= pieces[end]) continue;
                int length = end - start;
                bool allowed = length >= 3 || (length == 2 && token.AsSpan(start, 2) is "no") || (length == 1 && (start == 0 || end == token.Length));
                if (!allowed || !Meanings.ContainsKey(token[start..end])) continue;
                pieces[end] = pieces[start] + 1;
                from[end] = start;
            }
        }
        if (pieces[token.Length] is int.MaxValue or > 4) return null;

        var words = new List<string>();
        for (int end = token.Length; end > 0; end = from[end]) words.InsertRange(0, Meanings[token[from[end]..end]].Split(' ', StringSplitOptions.RemoveEmptyEntries));
        return words;
    }

    /// <summary>Splits at everything that is no letter or digit, and where case or kind changes: <c>engRPM2</c> is eng, rpm, 2.</summary>
    private static List<string> Tokenised(string name)
    {
        var tokens = new List<string>();
        int start = -1;
        for (int i = 0; i <= name.Length; i++)
        {
            bool inside = i < name.Length && char.IsLetterOrDigit(name[i]);
            if (start >= 0 && (!inside || BreaksBefore(name, i)))
            {
                tokens.Add(name[start..i].ToLowerInvariant());
                start = -1;
            }
            if (inside && start < 0) start = i;
            if (i < name.Length && name[i] == '%') tokens.Add("%");
        }
        return tokens;
    }

    private static bool BreaksBefore(string name, int i)
    {
        char before = name[i - 1];
        char here = name[i];
        if (char.IsDigit(before) != char.IsDigit(here)) return true;
        if (char.IsLower(before) && char.IsUpper(here)) return true;
        // The last capital before a small letter begins the next word: GPSLat is gps, lat; RPMs stays whole.
        return char.IsUpper(before) && char.IsUpper(here) && i + 1 < name.Length && char.IsLower(name[i + 1])
            && !(name[i + 1] == 's' && (i + 2 == name.Length || !char.IsLetter(name[i + 2])));
    }

    private static void Join(List<string> words, string first, string second, string joined)
    {
        for (int i = 0; i + 1 < words.Count; i++)
        {
            if (!string.Equals(words[i], first, StringComparison.Ordinal) || !string.Equals(words[i + 1], second, StringComparison.Ordinal)) continue;
            words[i] = joined;
            words.RemoveAt(i + 1);
        }
    }

    private static FrozenDictionary<string, string> BuildMeanings()
    {
        var meanings = new Dictionary<string, string>(StringComparer.Ordinal);

        void Means(string meaning, string spellings)
        {
            foreach (string spelling in spellings.Split(' ')) meanings.Add(spelling, meaning);
        }

        // What is measured.
        Means("pressure", "pressure press pres prs prss pr p");
        Means("temperature", "temperature temp temps tmp tmpr tempr t");
        Means("speed", "speed spd velocity vel speeds");
        Means("v", "v u");
        Means("voltage", "voltage volts volt volta");
        Means("rpm", "rpm rpms revs rev nmot tach tacho tachometer revolutions");
        Means("n", "n");
        Means("accel", "accel acceleration acc acl accl accn g gs gforce gee");
        Means("vacuum", "vacuum vac vacum depression");
        Means("position", "position pos posn");
        Means("angle", "angle ang");
        Means("distance", "distance dist dst");
        Means("vibration", "vibration vib vibe vibr vibrations");
        Means("level", "level lvl");
        Means("flow", "flow");
        Means("time", "time timer secs seconds duration");
        Means("current", "current amps amp amperage");
        Means("torque", "torque trq tq");
        Means("load", "load");
        Means("force", "force");
        Means("rate", "rate deriv derivative slope dot");
        Means("lambda", "lambda afr");
        Means("height", "height altitude alt elevation");
        Means("heading", "heading course bearing hdg yaw roll pitch gyro slip steer steering jerk radius curvature");

        // What it is measured of.
        Means("oil", "oil oel");
        Means("engine", "engine eng engn motor mot");
        Means("fuel", "fuel ful");
        Means("water", "water coolant cool clnt wtr h2o cooling");
        Means("battery", "battery batt bat btry");
        Means("supply", "supply system sys");
        Means("ecu", "ecu ecm");
        Means("crankcase", "crankcase ccase kcase");
        Means("crank", "crank crk crankshaft");
        Means("case", "case");
        Means("pan", "pan sump");
        Means("breather", "breather blowby");
        Means("vehicle", "vehicle veh car ground gnd road chassis");
        Means("gps", "gps gnss");
        Means("wheel", "wheel whl");
        Means("throttle", "throttle thr thrtl thrott throt tp");
        Means("pedal", "pedal ped accelerator");
        Means("lap", "lap laps");
        Means("number", "number num no nr nbr count counter idx");
        Means("beacon", "beacon bcn marker trigger trig loopcode");
        Means("odometer", "odometer odo");
        Means("lat", "lat");
        Means("lateral", "lateral latl sideways transverse transversal");
        Means("long", "long lon lng");
        Means("longitudinal", "longitudinal longit longl inline fore");
        Means("latitude", "latitude");
        Means("longitude", "longitude");
        Means("x", "x");
        Means("y", "y");
        Means("z", "z vertical vert");

        // Several at once.
        Means("engine oil pressure", "eop");
        Means("engine oil temperature", "eot");
        Means("water temperature", "ect clt wt cts");
        Means("throttle position", "tps");
        Means("pedal position", "app aps pps");
        Means("crankcase pressure", "ccp");
        Means("vehicle speed", "vss");
        Means("accel x", "ax gx");
        Means("accel y", "ay gy");
        Means("accel z", "az gz");
        Means("battery voltage", "vbat vbatt ubat ubatt");

        // Other parts of the car: a name with one of them is about that part.
        Means("gearbox", "gearbox gear transmission trans trn gbox gbx atf tcu");
        Means("differential", "diff differential axle final");
        Means("brake", "brake brk brakes");
        Means("clutch", "clutch clu");
        Means("turbo", "turbo turbine compressor supercharger boost wastegate");
        Means("manifold", "manifold map intake inlet plenum charge iat mat airbox intercooler");
        Means("exhaust", "exhaust egt exh");
        Means("tyre", "tyre tire tpms");
        Means("air", "air ambient baro barometric atmospheric weather track wind outside");
        Means("cylinder", "cylinder cyl head piston knock");
        Means("cam", "cam camshaft vvt vanos valve");
        Means("pump", "pump scavenge");
        Means("fan", "fan");
        Means("shaft", "shaft driveshaft propshaft prop input output");
        Means("hydraulic", "hydraulic hyd pas");
        Means("suspension", "suspension damper shock susp");
        Means("tank", "tank reservoir");
        Means("cooler", "cooler radiator");
        Means("filter", "filter");
        Means("cell", "cell hybrid hv bms inverter");
        Means("airbag", "airbag airbags");

        // Not the measurement itself but something said about it.
        Means("lamp", "lamp light led mil telltale");
        Means("warning", "warning warn wrn alarm alert alm");
        Means("switch", "switch sw swt");
        Means("status", "status state stat flag active enable enabled valid validity quality health mode fault error err diag fail failure ok");
        Means("target", "target tgt setpoint desired demand demanded request req requested command cmd commanded aim");
        Means("limit", "limit lim limiter threshold thresh redline shiftlight shift cut cutout protection prot protect");
        Means("delta", "delta dlt deviation difference");
        Means("correction", "correction trim compensation comp multiplier gain offset calibration cal");
        Means("duty", "duty pwm");
        Means("statistic", "min minimum max maximum avg average mean std stdev sigma");
        Means("accuracy", "accuracy acc2 hdop pdop dop satellites sats");
        Means("best", "best last previous prev fastest predicted predictive reference ref running");
        Means("raw", "raw adc counts");

        // Say nothing.
        Means("", "sensor sens snsr sig signal value val actual act meas measured main channel chan filtered filt smooth smoothed gallery gauge gage rel corrected calc calculated calculate imu can obd pid data corr abs absolute the of");
        return meanings.ToFrozenDictionary(StringComparer.Ordinal);
    }
}
