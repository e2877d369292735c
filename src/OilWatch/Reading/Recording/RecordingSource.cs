namespace OilWatch.Reading.Recording;

/// <summary>The bytes in a recording, and what was left out of them when they were last read.</summary>
internal sealed class RecordingSource(LogSource blocks)
{
    /// <summary>The stream opened last; null before the first.</summary>
    public RecordingStream? Latest { get; private set; }

    /// <summary>Opens it from the beginning.</summary>
    public RecordingStream Open() => Latest = new RecordingStream(blocks.Open());

    /// <summary>What was left out, a sentence each.</summary>
    public IEnumerable<string> LeftOut()
    {
        if (Latest is not { } read) yield break;
        RecordingBlocks found = read.Blocks;
        if (found.DamagedBytes > 0)
            yield return FormattableString.Invariant($"{found.DamagedBytes} bytes in {found.DamagedPlaces} places of the recording are damaged and were left out; what lies between was read");
        if (found.TornBytes > 0)
            yield return FormattableString.Invariant($"the recording ends in a block that was not finished, as after a power cut: its {found.TornBytes} bytes were dropped; everything before was read");
        if (read.Missing > 0)
            yield return FormattableString.Invariant($"{read.Missing} blocks of data are missing by their numbers; if the recording has several files, give the first and keep them together");
        if (read.Odd > 0)
            yield return FormattableString.Invariant($"{read.Odd} blocks have a right checksum but contents that are not of this layout, and were left out");
    }
}
