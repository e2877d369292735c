using System.Collections.Immutable;
using OilWatch.Reading;

namespace OilWatch.Vibration;

/// <summary>The samples of a RIFF WAVE file.</summary>
internal sealed class WaveFileInput : WaveInput
{
    private readonly Stream _stream;
    private readonly WaveReader _reader;

    private WaveFileInput(Stream stream, WaveReader reader)
    {
        _stream = stream;
        _reader = reader;
    }

    public override string FormatName => "WAVE";

    public override string Stored =>
        FormattableString.Invariant($"{(_reader.Format.Encoding == WaveEncoding.Pcm ? "PCM" : "floating point")} of {_reader.Format.Bits} bits");

    public override int Axes => _reader.Format.Channels;

    public override double RateHz => _reader.Format.RateHz;

    public override ImmutableArray<ReadingProblem> Problems => _stream is DecodedStream { Damage: { } damage }
        ? _reader.Problems.Insert(0, new ReadingProblem(Name, 0, 0, damage))
        : _reader.Problems;

    /// <summary>Opens it and reads its header.</summary>
    /// <exception cref="InputException">It is no WAVE file, or one of a kind that is not read.</exception>
    public static WaveFileInput Open(WaveSource source)
    {
        Stream stream = LogBytes.Decoded(source.File).Open();
        try
        {
            return new WaveFileInput(stream, WaveReader.Open(stream, source.File.Name, source.Scale ?? 1))
            {
                Name = source.File.Name,
                Start = LogTime.FromSeconds(source.StartS ?? 0),
            };
        }
        catch
        {
            stream.Dispose();
            throw;
        }
    }

    public override int Read(Span<float> interleaved) => _reader.Read(interleaved);

    protected override void Dispose(bool disposing)
    {
        if (disposing) _stream.Dispose();
    }
}
