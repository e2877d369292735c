namespace OilWatch.Reading;

/// <summary>Where the bytes of a log come from. The core opens no files itself: the host says how.</summary>
/// <param name="Name">The file's name for messages, without its folder.</param>
/// <param name="Open">Opens the bytes from the beginning; called once a pass. The caller disposes what it gets.</param>
public sealed record LogSource(string Name, Func<Stream> Open);
