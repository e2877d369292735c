namespace OilWatch.Console;

/// <summary>The exit codes of the program, as <c>docs/cli.md</c> promises them.</summary>
internal static class ExitCodes
{
    /// <summary>Done, whatever was found.</summary>
    public const int Done = 0;

    /// <summary>Wrong usage, a car file that cannot be used, or a folder that results cannot be written to.</summary>
    public const int Usage = 2;

    /// <summary>No input could be read.</summary>
    public const int NothingRead = 3;

    /// <summary>Some inputs were read and some were not.</summary>
    public const int PartlyRead = 4;

    /// <summary>With <c>--fail-on</c>: an alert of that severity or above was raised.</summary>
    public const int AlertRaised = 10;

    /// <summary>Interrupted; what was finished is kept.</summary>
    public const int Interrupted = 130;
}
