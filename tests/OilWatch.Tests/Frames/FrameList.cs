using OilWatch.Channels;
using OilWatch.Frames;

namespace OilWatch.Tests.Frames;

/// <summary>Keeps the frames it is given.</summary>
internal sealed class FrameList : IFrameSink
{
    public List<EngineFrame> All { get; } = [];

    public void OnFrame(in EngineFrame frame) => All.Add(frame);

    /// <summary>The times of the frames, s.</summary>
    public double[] TimesS => [.. All.Select(frame => frame.At.Seconds)];

    /// <summary>The values of a role, frame by frame.</summary>
    public double[] Of(Role role) => [.. All.Select(frame => frame[role])];
}

/// <summary>Looks at frames and forgets them.</summary>
internal sealed class FrameCount : IFrameSink
{
    public long Frames { get; private set; }

    public void OnFrame(in EngineFrame frame) => Frames++;
}
