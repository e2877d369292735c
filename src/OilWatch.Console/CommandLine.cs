using System.CommandLine;
using System.CommandLine.Help;
using System.CommandLine.Invocation;
using System.CommandLine.Parsing;
using System.Globalization;
using System.Reflection;
using OilWatch.Alerts;
using OilWatch.Console.Files;
using OilWatch.Console.Hosting;
using OilWatch.Console.Text;
using OilWatch.Console.Verbs;

namespace OilWatch.Console;

/// <summary>The words of the command line, and what each of them starts.</summary>
internal static class CommandLine
{
    private const int HelpColumns = 80;

    /// <summary>The program's version.</summary>
    public static string Version { get; } =
        typeof(CommandLine).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion ?? "unknown";

    /// <summary>Runs the program.</summary>
    /// <returns>The exit code.</returns>
    public static async Task<int> RunAsync(string[] args, Surroundings around)
    {
        try
        {
            ParseResult parsed = Root(around).Parse(args, new ParserConfiguration { ResponseFileTokenReplacer = null });
            if (parsed.Action is null or ParseErrorAction) throw Misused(parsed);
            return await parsed.InvokeAsync(new InvocationConfiguration
            {
                Output = around.Out,
                Error = around.Error,
                EnableDefaultExceptionHandler = false,
                ProcessTerminationTimeout = null,          // the host looks after Ctrl+C and SIGTERM
            });
        }
        catch (UsageException misuse)
        {
            foreach (string problem in misuse.Problems) around.Say(problem);
            return ExitCodes.Usage;
        }
        catch (OperationCanceledException)
        {
            return ExitCodes.Interrupted;
        }
        catch (Exception error)
        {
            around.Say(Failures.Unexpected(error));
            return ExitCodes.NothingRead;
        }
    }

    private static RootCommand Root(Surroundings around)
    {
        var common = new CommonOptions();
        var root = new RootCommand("Finds oil starvation and other harm in the logged data of a hard-run engine. " + Caution.Sentence)
        {
            common.Json, common.Quiet, common.Units, Replay(common, around), Channels(common, around), Watch(common, around), Prove(common, around),
        };
        root.Directives.Clear();                            // a log may be called [suggest]
        foreach (Option option in root.Options)
        {
            if (option is VersionOption version)
            {
                version.Action = new PrintVersion(around.Out);
                version.Recursive = true;
            }
            if (option is HelpOption { Action: HelpAction help }) help.MaxWidth = HelpColumns;
        }
        return root;
    }

    private static Command Replay(CommonOptions common, Surroundings around)
    {
        Argument<string[]> logs = Logs(ArgumentArity.OneOrMore);
        Option<string?> car = CarFile();
        Option<string[]> databases = CanDatabases();
        var folder = new Option<string?>("--out")
        {
            HelpName = "FOLDER",
            Description = "Write the results there; several logs get a sub-folder each. Without it only the answer is shown.",
        };
        var asLive = new Option<bool>("--as-live")
        {
            Description = "Judge every moment by what the pit knew then, not by the whole run.",
        };
        var reference = new Option<string?>("--reference")
        {
            HelpName = "LOG",
            Description = "An earlier log of the same engine in good health, to hold the level of pressure against.",
        };
        Option<Severity?> failOn = Word<Severity?>("--fail-on", "SEVERITY",
            "End with exit code 10 when an alert of this severity or above was raised: advisory, caution or warning.",
            ("advisory", Severity.Advisory), ("caution", Severity.Caution), ("warning", Severity.Warning));
        var replay = new Command("replay", "Analyses one or more logs after a run.") { logs, car, folder, databases, asLive, reference, failOn };
        replay.SetAction((parsed, _) => VerbRun.RunAsync(
            new ReplayVerb(
                new ReplaySettings
                {
                    Logs = LogFolders.Opened(parsed.GetRequiredValue(logs)),
                    Car = parsed.GetValue(car),
                    Out = parsed.GetValue(folder),
                    CanDatabases = [.. parsed.GetValue(databases) ?? []],
                    AsLive = parsed.GetValue(asLive),
                    Reference = parsed.GetValue(reference),
                    FailOn = parsed.GetValue(failOn),
                    Answer = common.In(parsed),
                },
                around),
            around));
        return replay;
    }

    private static Command Channels(CommonOptions common, Surroundings around)
    {
        Argument<string[]> logs = Logs(ArgumentArity.ZeroOrMore);
        Option<string?> car = CarFile();
        Option<string[]> databases = CanDatabases();
        var limits = new Option<bool>("--limits")
        {
            Description = "List every threshold, as it would stand in a car file; needs no log.",
        };
        var channels = new Command("channels", "Shows what is in a log: channels, their roles and why, what is missing and what that costs.")
        {
            logs, car, databases, limits,
        };
        channels.Validators.Add(result =>
        {
            if (!result.GetValue(limits) && result.GetValue(logs) is not { Length: > 0 })
                result.AddError("channels needs a log; name one or more, or use --limits");
        });
        channels.SetAction((parsed, _) => VerbRun.RunAsync(
            new ChannelsVerb(
                new ChannelsSettings
                {
                    Logs = [.. parsed.GetValue(logs) ?? []],
                    Car = parsed.GetValue(car),
                    CanDatabases = [.. parsed.GetValue(databases) ?? []],
                    Limits = parsed.GetValue(limits),
                    Answer = common.In(parsed),
                },
                around),
            around));
        return channels;
    }

    private static Command Watch(CommonOptions common, Surroundings around)
    {
        var source = new Argument<string>("SOURCE")
        {
            Description = "Where data come from: - (standard input), tcp:HOST:PORT, serial:DEVICE, can:INTERFACE, or play:LOG for a rehearsal.",
        };
        Option<string?> car = CarFile();
        Option<string[]> databases = CanDatabases();
        var folder = new Option<string?>("--out")
        {
            HelpName = "FOLDER",
            Description = "Write the results there when it is over or interrupted. Without it they are only shown.",
        };
        var pace = new Option<double>("--pace")
        {
            HelpName = "TIMES",
            Description = "How fast play:LOG goes: 1 as it was, 4 four times as fast, max as fast as can be.",
            DefaultValueFactory = _ => 1,
            CustomParser = result =>
            {
                string given = result.Tokens[0].Value;
                if (string.Equals(given, "max", StringComparison.Ordinal)) return double.PositiveInfinity;
                if (double.TryParse(given, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out double times) && times is >= 0.1 and <= 1000) return times;
                result.AddError($"--pace {given}: 0.1 to 1000, or max, is allowed");
                return 1;
            },
        };
        var mqtt = new Option<string?>("--mqtt")
        {
            HelpName = "URL",
            Description = "Tell an MQTT 5 broker: mqtt://HOST[:PORT][/PREFIX], or mqtts:// for TLS. User and password also from OILWATCH_MQTT_USER and OILWATCH_MQTT_PASSWORD.",
        };
        var mqttUser = new Option<string?>("--mqtt-user") { HelpName = "NAME", Description = "The user that the broker asks for." };
        var mqttPassword = new Option<string?>("--mqtt-password-file") { HelpName = "FILE", Description = "A file whose first line is the password that the broker asks for." };
        var mqttAuthorities = new Option<string?>("--mqtt-ca") { HelpName = "FILE", Description = "Certificate authorities (PEM) to trust with mqtts://, in place of the system's." };
        var mqttClient = new Option<string?>("--mqtt-client-id") { HelpName = "ID", Description = "The name by which the broker knows this program; oilwatch-CAR without it." };
        var mqttSpool = new Option<string?>("--mqtt-spool") { HelpName = "FOLDER", Description = "Where alerts and laps wait while the broker is away; the folder of --out without it." };
        var untilClosed = new Option<bool>("--until-closed")
        {
            Description = "Be done when the other end of tcp: closes, instead of connecting again.",
        };
        var busKbit = new Option<int>("--bus-kbit")
        {
            HelpName = "KBIT",
            Description = "Speed of the bus behind serial:, kbit/s.",
            DefaultValueFactory = _ => 500,
        };
        var noRecording = new Option<bool>("--no-recording")
        {
            Description = "Do not keep what comes; without this it is recorded in the folder of --out.",
        };
        var board = new Option<int?>("--board")
        {
            HelpName = "PORT",
            Description = "Show a board for the pit in browsers, at http://localhost:PORT/; this machine only.",
        };
        var boardListen = new Option<string?>("--board-listen")
        {
            HelpName = "ADDRESS",
            Description = "Let other machines open the board at this address; needs a token.",
        };
        var boardToken = new Option<string?>("--board-token-file")
        {
            HelpName = "FILE",
            Description = "The file with the token that the board asks for; made if it is not there.",
        };
        var watch = new Command("watch", "Judges a stream as it comes and says each alert at once.")
        {
            source, car, databases, folder, pace, untilClosed, busKbit, noRecording,
            board, boardListen, boardToken,
        };
        foreach (Option option in (Option[])[mqtt, mqttUser, mqttPassword, mqttAuthorities, mqttClient, mqttSpool]) watch.Options.Add(option);
        watch.SetAction((parsed, _) => VerbRun.RunAsync(
            new WatchVerb(
                new WatchSettings
                {
                    Source = parsed.GetRequiredValue(source),
                    Car = parsed.GetValue(car),
                    Out = parsed.GetValue(folder),
                    CanDatabases = [.. parsed.GetValue(databases) ?? []],
                    Mqtt = MqttSettings.Of(
                        parsed.GetValue(mqtt), parsed.GetValue(mqttUser), parsed.GetValue(mqttPassword), parsed.GetValue(mqttAuthorities), parsed.GetValue(mqttClient), parsed.GetValue(mqttSpool),
                        around.Variable),
                    Pace = parsed.GetValue(pace),
                    UntilClosed = parsed.GetValue(untilClosed),
                    Record = !parsed.GetValue(noRecording),
                    BusKbit = parsed.GetValue(busKbit),
                    Board = BoardSettings.Of(parsed.GetValue(board), parsed.GetValue(boardListen), parsed.GetValue(boardToken)),
                    Answer = common.In(parsed),
                },
                around),
            around));
        return watch;
    }

    private static Command Prove(CommonOptions common, Surroundings around)
    {
        Option<string[]> before = LogsAfter("--before", "Logs from before the change.");
        Option<string[]> after = LogsAfter("--after", "Logs from after it.");
        Option<string[]> groups = LogsAfter("--group", "A group of its own, NAME=LOG and more logs; two groups or more, each held against the first.");
        groups.HelpName = "NAME=LOG";
        Option<string?> car = CarFile();
        Option<string[]> databases = CanDatabases();
        var folder = new Option<string?>("--out")
        {
            HelpName = "FOLDER",
            Description = "Write proof.json and proof.html there. Without it only the answer is shown.",
        };
        var prove = new Command("prove", "Did the change work? Compares the sustained loads that both groups of logs went through.")
        {
            before, after, groups, car, folder, databases,
        };
        prove.SetAction((parsed, _) => VerbRun.RunAsync(
            new ProveVerb(
                new ProveSettings
                {
                    Groups = ProveSettings.GroupsOf(parsed.GetValue(before), parsed.GetValue(after), parsed.GetValue(groups)),
                    Named = parsed.GetValue(groups) is { Length: > 0 },
                    Car = parsed.GetValue(car),
                    Out = parsed.GetValue(folder),
                    CanDatabases = [.. parsed.GetValue(databases) ?? []],
                    Answer = common.In(parsed),
                },
                around),
            around));
        return prove;
    }

    private static Option<string[]> LogsAfter(string name, string description) =>
        new(name) { HelpName = "LOG", Description = description, Arity = ArgumentArity.OneOrMore, AllowMultipleArgumentsPerToken = true };

    private static Argument<string[]> Logs(ArgumentArity arity) =>
        new("LOG")
        {
            Arity = arity,
            Description = "Log files: CSV, CAN text log or SLCAN text; .gz of any. For replay also a folder of them.",
            Validators = { RefuseOptions },
        };

    /// <summary>A mistyped option is not the name of a log.</summary>
    private static void RefuseOptions(ArgumentResult logs)
    {
        foreach (string log in logs.Tokens.Select(token => token.Value).Where(log => log.Length > 1 && log[0] == '-'))
            logs.AddError($"unknown option '{log}' (a log of that name is written './{log}')");
    }

    private static Option<string?> CarFile() =>
        new("--car") { HelpName = "FILE", Description = "The car file (TOML)." };

    private static Option<string[]> CanDatabases() =>
        new("--can-db")
        {
            HelpName = "FILE",
            Description = "A CAN database (DBC); may be given more than once, and goes before those of the car file.",
            Arity = ArgumentArity.OneOrMore,
            AllowMultipleArgumentsPerToken = false,
        };

    /// <summary>An option that takes one of a few words.</summary>
    internal static Option<T> Word<T>(string name, string helpName, string description, params (string Word, T Value)[] words)
    {
        string allowed = string.Join(", ", words[..^1].Select(word => word.Word)) + " or " + words[^1].Word;
        return new Option<T>(name)
        {
            HelpName = helpName,
            Description = description,
            CustomParser = result =>
            {
                string given = result.Tokens[0].Value;
                foreach ((string word, T value) in words)
                    if (string.Equals(word, given, StringComparison.Ordinal)) return value;
                result.AddError($"{name} {given}: {allowed} is allowed");
                return default!;
            },
        };
    }

    private static UsageException Misused(ParseResult parsed)
    {
        if (parsed.CommandResult.Command is RootCommand root)
        {
            string verbs = string.Join(", ", root.Subcommands.Select(verb => verb.Name));
            return new UsageException(parsed.UnmatchedTokens is [var word, ..]
                ? $"unknown verb or option '{word}'; the verbs are: {verbs}; see 'oilwatch --help'"
                : $"a verb is needed; the verbs are: {verbs}; see 'oilwatch --help'");
        }
        string verb = parsed.CommandResult.Command.Name;
        return new UsageException(
            [.. parsed.Errors.Select(error => $"{Words(error, verb)}; see 'oilwatch {verb} --help'").Distinct(StringComparer.Ordinal)]);

        static string Words(ParseError error, string verb) => error.SymbolResult switch
        {
            ArgumentResult { Argument.Name: "LOG", Tokens.Count: 0 } => $"{verb} needs a log; name one or more",
            ArgumentResult { Argument.Name: "SOURCE", Tokens.Count: 0 } => "watch needs a source: -, tcp:HOST:PORT, serial:DEVICE, can:INTERFACE or play:LOG",
            OptionResult { Option.Name: "--board", Tokens: [var port] } => $"--board {port.Value}: a port from 1 to 65535 is allowed, such as 8440",
            OptionResult { Tokens.Count: 0 } option => $"{option.Option.Name} needs a value: {option.Option.HelpName}",
            _ => error.Message.TrimEnd('.'),
        };
    }

    private sealed class PrintVersion(TextWriter target) : SynchronousCommandLineAction
    {
        public override bool ClearsParseErrors => true;

        public override int Invoke(ParseResult parseResult)
        {
            target.WriteLine(Version);
            return ExitCodes.Done;
        }
    }
}
