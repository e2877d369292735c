using System.Collections.Immutable;
using System.Runtime.InteropServices;
using OilWatch.Channels;
using OilWatch.Pressure;
using OilWatch.Reading;

namespace OilWatch.Vibration;

/// <summary>The samples of a table: a time and a value for each axis in every row.</summary>
/// <remarks>
/// Read once into a scratch stream of 32-bit floats, because the rate is known only at the end: rows are taken as evenly spaced, and where their times
/// leap the waveform is absent for as long. Stamps may be as coarse as a few samples.
/// </remarks>
internal sealed class WaveTableInput : WaveInput
{
    private const int MostAxes = 8;
    private const int MostUnnamed = 3;                 // columns without any unit that are taken as the axes of one sensor
    private const int FewestRows = 256;
    private const double MostHoleS = 600;              // beside as much again as there are samples

    private readonly Stream _samples;
    private readonly long[] _holeAt;
    private readonly long[] _holeLength;
    private long _row;
    private int _hole;
    private long _holeLeft;

    private WaveTableInput(Stream samples, Collector rows, int axes, ImmutableArray<ReadingProblem> problems)
    {
        _samples = samples;
        Axes = axes;
        RateHz = rows.RateHz;
        Problems = problems;
        _holeAt = [.. rows.Holes.Select(hole => hole.Row)];
        _holeLength = [.. rows.Holes.Select(hole => Math.Max(0, (long)Math.Round(hole.Seconds * RateHz) - 1))];
        if (_holeLength.Sum() / RateHz is var holes && holes > (rows.Count / RateHz) + MostHoleS)
            throw new InputException(FormattableString.Invariant($"{rows.Name}: its times leap over {holes:0} s in all, more than it has samples for; cut it into pieces or check the time column"));
    }

    public override string FormatName => "table";

    public override string Stored => "rows of text";

    public override int Axes { get; }

    public override double RateHz { get; }

    public override ImmutableArray<ReadingProblem> Problems { get; }

    /// <summary>Reads the table.</summary>
    /// <exception cref="InputException">It is no table, or it is not clear which of its columns are the waveform.</exception>
    public static async ValueTask<WaveTableInput> ReadTableAsync(WaveSource source, Func<Stream>? openScratch, CancellationToken cancellationToken)
    {
        ILogReader reader = await LogFile.OpenAsync(source.File, null, cancellationToken).ConfigureAwait(false);
        (int Channel, double Scale)[] axes = AxesOf(reader, source);
        Stream scratch = openScratch?.Invoke() ?? new MemoryStream();
        try
        {
            var rows = new Collector(source.File.Name, axes, scratch);
            ReadingReport report = await reader.ReadAsync([.. axes.Select(axis => axis.Channel)], rows, cancellationToken).ConfigureAwait(false);
            rows.Finish();
            if (rows.Count < FewestRows || !(rows.RateHz > 0))
                throw new InputException($"{source.File.Name}: {rows.Count} rows with time and value are too few for a waveform; at least {FewestRows} are needed");
            scratch.Position = 0;
            return new WaveTableInput(scratch, rows, axes.Length, report.Problems.IsDefault ? [] : report.Problems)
            {
                Name = source.File.Name,
                Start = source.StartS is { } start ? LogTime.FromSeconds(start) : rows.First,
            };
        }
        catch
        {
            await scratch.DisposeAsync().ConfigureAwait(false);
            throw;
        }
    }

    public override int Read(Span<float> interleaved)
    {
        int wanted = interleaved.Length / Axes;
        if (_holeLeft == 0 && _hole < _holeAt.Length && _holeAt[_hole] == _row) _holeLeft = _holeLength[_hole++];
        if (_holeLeft > 0)
        {
            int absent = (int)Math.Min(wanted, _holeLeft);
            interleaved[..(absent * Axes)].Fill(float.NaN);
            _holeLeft -= absent;
            return absent;
        }
        if (_hole < _holeAt.Length) wanted = (int)Math.Min(wanted, _holeAt[_hole] - _row);
        try
        {
            int bytes = _samples.ReadAtLeast(MemoryMarshal.AsBytes(interleaved[..(wanted * Axes)]), wanted * Axes * sizeof(float), throwOnEndOfStream: false);
            int read = bytes / (Axes * sizeof(float));
            _row += read;
            return read;
        }
        catch (IOException error)
        {
            throw new InputException($"{Name}: its samples could not be read back from the scratch file: {error.Message}", error);
        }
    }

    protected override void Dispose(bool disposing)
    {
        if (disposing) _samples.Dispose();
    }

    /// <summary>The columns that are the waveform: those in a unit of acceleration; where no column has a unit, all of a few.</summary>
    private static (int Channel, double Scale)[] AxesOf(ILogReader reader, WaveSource source)
    {
        var axes = new List<(int, double)>();
        foreach (LogChannel channel in reader.Channels)
            if (Units.TryConvert(Role.Vibration, channel.Unit, out UnitConversion unit)) axes.Add((channel.Index, source.Scale ?? unit.Scale));
        if (axes.Count == 0 && reader.Channels.Count <= MostUnnamed && reader.Channels.All(channel => Units.SaysNone(channel.Unit)))
        {
            double scale = source.Scale ?? (Units.TryConvert(Role.Vibration, source.Unit, out UnitConversion told) ? told.Scale : 1);
            axes.AddRange(reader.Channels.Select(channel => (channel.Index, scale)));
        }
        return axes.Count is > 0 and <= MostAxes
            ? [.. axes]
            : throw new InputException($"{source.File.Name}: {axes.Count} of its {reader.Channels.Count} columns are accelerations; a waveform has 1 to {MostAxes}, each with its unit in the header, such as 'x [g]'");
    }

    /// <summary>Takes the rows and writes their samples to the scratch stream.</summary>
    private sealed class Collector(string name, (int Channel, double Scale)[] axes, Stream scratch) : IReadingSink
    {
        private const int BlockRows = 64;              // coarse stamps even out over so many rows
        private const int MostBlocks = 256;
        private const double HoleRows = 5;
        private const double LeastHoleS = 0.01;
        private const int MostHoles = 100_000;
        private readonly float[] _row = NewRow(axes.Length);
        private readonly float[] _held = new float[16_384];
        private readonly List<double> _blocks = [];
        private int _heldCount;
        private LogTime _last;
        private LogTime _blockAt;
        private double _holesS;
        private double _intervalS = double.NaN;

        public string Name { get; } = name;

        public long Count { get; private set; }

        public LogTime First { get; private set; }

        public List<(long Row, double Seconds)> Holes { get; } = [];

        public double RateHz => (Count - 1 - Holes.Count) / (_last.SecondsSince(First) - _holesS);

        public void Add(LogTime at, int channel, double value)
        {
            for (int i = 0; i < axes.Length; i++)
                if (axes[i].Channel == channel) _row[i] = (float)(value * axes[i].Scale);
        }

        public void EndRecord(LogTime at)
        {
            if (Count == 0) First = _blockAt = at;
            else if (at < _last) return;               // it stands behind others: where it belongs is not known
            else Space(at);
            _last = at;
            Count++;
            if (_heldCount + axes.Length > _held.Length) Flush();
            foreach (ref float sample in _row.AsSpan())
            {
                _held[_heldCount++] = sample;
                sample = float.NaN;
            }
        }

        public void DataLost(LogTime at)
        {
        }

        public void Finish() => Flush();

        private static float[] NewRow(int count)
        {
            var row = new float[count];
            Array.Fill(row, float.NaN);
            return row;
        }

        private void Space(LogTime at)
        {
            double step = at.SecondsSince(_last);
            if (step > Math.Max(HoleRows * _intervalS, LeastHoleS) && Holes.Count < MostHoles)
            {
                Holes.Add((Count, step));
                _holesS += step;
            }
            if (Count % BlockRows != 0 || _blocks.Count == MostBlocks) return;
            _blocks.Add(at.SecondsSince(_blockAt) / BlockRows);
            _blockAt = at;
            _intervalS = Robust.Quantile([.. _blocks], 0.5);
        }

        private void Flush()
        {
            scratch.Write(MemoryMarshal.AsBytes(_held.AsSpan(0, _heldCount)));
            _heldCount = 0;
        }
    }
}
