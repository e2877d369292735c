using OilWatch.Reading;

namespace OilWatch.Console;

/// <summary>What is said when something fails: one sentence, what was wrong and what would be right, never a stack trace.</summary>
internal static class Failures
{
    public static string Missing(string path) => $"{path}: there is no such file; check the name";

    public static string Folder(string path) => $"{path}: is a folder; name the log files in it";

    public static string NotSeekable(string path) =>
        $"{path}: is a pipe, and a log is read more than once; save it to a file first";

    /// <summary>A file could not be opened or read.</summary>
    public static string Reading(string path, Exception error) => error switch
    {
        InputException => error.Message,
        FileNotFoundException or DirectoryNotFoundException => Missing(path),
        UnauthorizedAccessException => $"{path}: may not be read; allow reading it",
        IOException => $"{path}: cannot be read: {Sentence(error)}",
        OutOfMemoryException => $"{path}: needs more memory than there is; split the log",
        _ => $"{path}: could not be analysed because of a fault in the program ({error.GetType().Name}: {Sentence(error)}); please report it",
    };

    /// <summary>The results folder cannot be used.</summary>
    public static string OutFolder(string path, Exception error) =>
        $"--out {path}: cannot be written to: {Sentence(error)}; name a folder that can be";

    /// <summary>The results could not be written.</summary>
    public static string Writing(string folder, Exception error) =>
        $"{folder}: the results could not be written: {Sentence(error)}; what was there before is unchanged";

    /// <summary>Something that should not happen.</summary>
    public static string Unexpected(Exception error) =>
        $"a fault in the program ({error.GetType().Name}: {Sentence(error)}); please report it";

    private static string Sentence(Exception error) => error.Message.TrimEnd('.', ' ');
}
