namespace OilWatch.Reading.Can;

/// <summary>Surveys a log of SLCAN lines.</summary>
internal sealed class SlcanSurveyor(string file) : CanSurveyor(file)
{
    private readonly byte[] _data = new byte[CanFrame.ClassicBytes];
    private SlcanClock _clock;

    /// <inheritdoc/>
    protected override int LineEnd(ReadOnlySpan<byte> bytes) => SlcanHandler.IndexOfEnd(bytes);

    /// <inheritdoc/>
    protected override void Line(ReadOnlySpan<byte> line)
    {
        if (line.IsEmpty) return;
        NextLine();
        SlcanLine parsed = SlcanParser.Parse(line, _data);
        if (parsed.Kind == CanLineKind.Damaged) Damaged(line, parsed.FaultAt, parsed.Fault!);
        if (parsed.Kind is not (CanLineKind.Frame or CanLineKind.Remote)) return;
        if (parsed.HasStamp)
        {
            if (IsBeyond(_clock.Advance(parsed.StampMs))) return;
            Stamped++;
        }
        else
        {
            Unstamped++;
        }
        if (parsed.Kind == CanLineKind.Frame) Found.Add(new CanFrame(parsed.Id, _data.AsSpan(0, parsed.Length)), []);
    }
}
