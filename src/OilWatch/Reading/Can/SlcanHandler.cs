namespace OilWatch.Reading.Can;

/// <summary>Reads a log of SLCAN lines. Empty lines do not count: adapters end a line with CR, with LF or with both.</summary>
internal sealed class SlcanHandler(CanRun run) : CanLines
{
    private readonly byte[] _data = new byte[CanFrame.ClassicBytes];
    private SlcanClock _clock;

    /// <summary>The bytes that end a line; BEL is an adapter's refusal of a command.</summary>
    public static int IndexOfEnd(ReadOnlySpan<byte> bytes) => bytes.IndexOfAny((byte)'\r', (byte)'\n', (byte)'\a');

    /// <inheritdoc/>
    protected override int LineEnd(ReadOnlySpan<byte> bytes) => IndexOfEnd(bytes);

    /// <inheritdoc/>
    protected override void Line(ReadOnlySpan<byte> line)
    {
        if (line.IsEmpty) return;
        run.NextLine();
        SlcanLine parsed = SlcanParser.Parse(line, _data);
        if (parsed.Kind is CanLineKind.Frame or CanLineKind.Remote && !parsed.HasStamp)
        {
            run.Damaged(line, line.Length, CanFaults.SlcanNoStamp);
            return;
        }
        switch (parsed.Kind)
        {
            case CanLineKind.Damaged:
                run.Damaged(line, parsed.FaultAt, parsed.Fault!);
                break;
            case CanLineKind.Error:
                run.ErrorFrame(run.Now, new CanFrame(parsed.Id, _data));
                break;
            case CanLineKind.Frame:
                run.Frame(run.At(_clock.Advance(parsed.StampMs)), new CanFrame(parsed.Id, _data.AsSpan(0, parsed.Length)), interfaceKey: 0);
                break;
            case CanLineKind.Remote:
                run.At(_clock.Advance(parsed.StampMs));
                run.Count(CanLineKind.Remote);
                break;
            default:
                run.Count(parsed.Kind);
                break;
        }
    }

    /// <inheritdoc/>
    protected override void Overlong(ReadOnlySpan<byte> beginning)
    {
        run.NextLine();
        run.Damaged(beginning[..Math.Min(beginning.Length, 80)], 0, CanFaults.TooLong);
    }
}
