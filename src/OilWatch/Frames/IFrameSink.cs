namespace OilWatch.Frames;

/// <summary>Takes frames in order of time.</summary>
internal interface IFrameSink
{
    /// <summary>One frame; never earlier than the one before.</summary>
    void OnFrame(in EngineFrame frame);
}
