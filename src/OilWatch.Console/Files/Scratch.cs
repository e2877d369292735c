namespace OilWatch.Console.Files;

/// <summary>Room on disk for what a long log needs between two passes.</summary>
internal static class Scratch
{
    /// <summary>A file in the folder for temporary files, readable by its owner alone, gone when it is closed.</summary>
    public static Stream Open()
    {
        var options = new FileStreamOptions
        {
            Mode = FileMode.CreateNew,
            Access = FileAccess.ReadWrite,
            Share = FileShare.None,
            Options = FileOptions.DeleteOnClose,
            BufferSize = 1 << 16,
        };
        if (!OperatingSystem.IsWindows()) options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
        return new FileStream(Path.Combine(Path.GetTempPath(), "oilwatch-" + Path.GetRandomFileName()), options);
    }
}
