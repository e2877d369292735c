namespace OilWatch.Console;

/// <summary>Everything outside the program that it speaks to.</summary>
internal sealed record Surroundings
{
    /// <summary>Carries the answer.</summary>
    public required TextWriter Out { get; init; }

    /// <summary>Carries progress and problems.</summary>
    public required TextWriter Error { get; init; }

    /// <summary>The library.</summary>
    public required Parts Parts { get; init; }

    /// <summary>True when the answer may be coloured: a terminal, and <c>NO_COLOR</c> is not set.</summary>
    public bool Colour { get; init; }

    /// <summary>True when the answer goes to a terminal, which may be rung.</summary>
    public bool Terminal { get; init; }

    /// <summary>What somebody types, where somebody can: a terminal; null otherwise.</summary>
    public TextReader? Keys { get; init; }

    /// <summary>True when a progress bar may be drawn: standard error is a terminal.</summary>
    public bool Progress { get; init; }

    /// <summary>Paces the progress bar; nothing else.</summary>
    public TimeProvider Time { get; init; } = TimeProvider.System;

    /// <summary>Variables of the environment.</summary>
    public Func<string, string?> Variable { get; init; } = static _ => null;

    /// <summary>Interrupts the run like Ctrl+C.</summary>
    public CancellationToken Interrupt { get; init; }

    /// <summary>Creates a file that must not exist yet.</summary>
    public Func<string, Stream> CreateFile { get; init; } = Files.ResultFolder.CreateNew;

    /// <summary>The process that this is.</summary>
    public static Surroundings OfProcess() => new()
    {
        Out = System.Console.Out,
        Error = System.Console.Error,
        Parts = Wiring.Parts,
        Colour = !System.Console.IsOutputRedirected && MayColour(Environment.GetEnvironmentVariable),
        Keys = System.Console.IsInputRedirected ? null : System.Console.In,
        Terminal = !System.Console.IsOutputRedirected,
        Progress = !System.Console.IsErrorRedirected,
        Variable = Environment.GetEnvironmentVariable,
    };

    /// <summary>What the environment says of colour: <c>NO_COLOR</c> with any text, or a terminal that has none, forbids it.</summary>
    internal static bool MayColour(Func<string, string?> variable) =>
        string.IsNullOrEmpty(variable("NO_COLOR")) && !string.Equals(variable("TERM"), "dumb", StringComparison.Ordinal);

    /// <summary>Says what went wrong, a line, on standard error.</summary>
    public void Say(string problem) => Error.WriteLine("oilwatch: " + Text.PlainText.Clean(problem));
}
