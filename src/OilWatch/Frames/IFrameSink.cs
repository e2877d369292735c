using OilWatch.Channels;

namespace OilWatch.Frames;

/// <summary>Takes frames in order of time.</summary>
internal interface IFrameSink
{
    /// <summary>One frame; never earlier than the one before.</summary>
    void OnFrame(in EngineFrame frame);

    /// <summary>A time stamp ran backwards: what it belongs to was put in its place, or left out.</summary>
    /// <param name="at">The latest instant of the log so far.</param>
    /// <param name="seconds">How far behind it the stamp was, s.</param>
    /// <param name="pace">The role that sets the pace of the frames.</param>
    void OnStampBehind(LogTime at, double seconds, Role pace) { }
}
