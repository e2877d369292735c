namespace OilWatch.Reading.Can;

/// <summary>Surveys a CAN text log.</summary>
internal sealed class CandumpSurveyor(string file) : CanSurveyor(file)
{
    private readonly byte[] _data = new byte[CanFrame.MaxBytes];

    /// <summary>The first frame with a stamp: how the stamps are written.</summary>
    public CanLine First { get; private set; }

    /// <inheritdoc/>
    protected override void Line(ReadOnlySpan<byte> line)
    {
        NextLine();
        CanLine parsed = CandumpParser.Parse(line, _data);
        if (parsed.Kind == CanLineKind.Damaged) Damaged(line, parsed.FaultAt, parsed.Fault!);
        if (parsed.Kind is not (CanLineKind.Frame or CanLineKind.Remote or CanLineKind.Error)) return;
        if (!parsed.HasStamp)
        {
            Unstamped++;
            return;
        }
        if (IsBeyond(parsed.StampNs)) return;
        if (Stamped++ == 0) First = parsed;
        Found.AddStamp(parsed.StampNs);
        if (parsed.Kind == CanLineKind.Frame)
            Found.Add(new CanFrame(parsed.Id, _data.AsSpan(0, parsed.Length)), line.Slice(parsed.InterfaceAt, parsed.InterfaceLength));
    }
}
