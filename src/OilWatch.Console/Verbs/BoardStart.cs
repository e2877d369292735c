using OilWatch.Board;
using OilWatch.Live;
using OilWatch.Report;

namespace OilWatch.Console.Verbs;

/// <summary>Opens the board of a watch, before the watch begins.</summary>
internal static class BoardStart
{
    private const int LargestTokenFile = 4096;

    /// <summary>Opens the board and says where it is.</summary>
    /// <param name="settings">What was asked for; null for no board.</param>
    /// <param name="carName">What the car is called, or null.</param>
    /// <param name="units">Units for people.</param>
    /// <param name="said">Told where it is, and what happens to it.</param>
    /// <returns>The board, or null.</returns>
    /// <exception cref="UsageException">It cannot be opened there, or the token cannot be used.</exception>
    public static async Task<PitBoard?> OpenAsync(BoardSettings? settings, string? carName, ReportUnits units, Action<LiveNotice> said)
    {
        if (settings is null) return null;
        AccessToken? token = settings.TokenFile is { } file ? TokenIn(file, said) : null;
        try
        {
            PitBoard board = await PitBoard.StartAsync(new BoardOptions
            {
                Port = settings.Port,
                Listen = settings.Listen,
                Token = token,
                CarName = carName,
                Units = units,
                Said = said,
            });
            said(new LiveNotice(null, $"board: open {string.Join(" or ", board.Addresses)}{(token is null ? "" : $"; the token is in {settings.TokenFile}")}"));
            return board;
        }
        catch (IOException error)
        {
            throw new UsageException($"--board: {error.Message}");
        }
    }

    private static AccessToken TokenIn(string file, Action<LiveNotice> said)
    {
        try
        {
            if (!File.Exists(file)) Make(file, said);
            using FileStream stream = File.OpenRead(file);
            var text = new byte[LargestTokenFile];
            int length = stream.ReadAtLeast(text, text.Length, throwOnEndOfStream: false);
            if (length < text.Length && AccessToken.TryParse(System.Text.Encoding.UTF8.GetString(text, 0, length), out AccessToken? token)) return token;
            throw new UsageException($"{file}: holds no token; {AccessToken.Shortest} to {AccessToken.Longest} visible ASCII characters without spaces are needed, or no file: then one is made");
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw new UsageException($"{file}: the token cannot be read or made there: {error.Message}");
        }
    }

    /// <summary>Makes a token that only this user can read.</summary>
    private static void Make(string file, Action<LiveNotice> said)
    {
        var options = new FileStreamOptions { Mode = FileMode.CreateNew, Access = FileAccess.Write };
        if (!OperatingSystem.IsWindows()) options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
        using (var writer = new StreamWriter(file, options)) writer.WriteLine(AccessToken.NewText());
        said(new LiveNotice(null, $"{file}: a new token was written there"));
    }
}
