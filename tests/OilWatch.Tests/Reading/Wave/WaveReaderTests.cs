using CsCheck;
using OilWatch.Reading;

namespace OilWatch.Tests.Reading.Wave;

public class WaveReaderTests
{
    [Theory]
    [InlineData(8, new[] { 0, 128, 255 }, new[] { -1f, 0f, 0.9921875f })]
    [InlineData(16, new[] { -32768, 0, 16384 }, new[] { -1f, 0f, 0.5f })]
    [InlineData(24, new[] { -8388608, -1, 4194304 }, new[] { -1f, -1f / 8388608, 0.5f })]
    [InlineData(32, new[] { int.MinValue, 0, 1073741824 }, new[] { -1f, 0f, 0.5f })]
    public void Pcm_of_every_width_has_full_scale_1(int bits, int[] stored, float[] expected)
    {
        byte[] file = WaveBytes.Whole("RIFF", WaveBytes.Format(1, 1, 1000, bits), WaveBytes.Chunk("data", new WaveBytes().Pcm(bits, stored).Bytes));

        WaveReader reader = Open(file);

        Assert.Equal(expected, All(reader));
        Assert.Equal(new WaveFormat(WaveEncoding.Pcm, 1, 1000, bits, 3), reader.Format);
        Assert.Empty(reader.Problems);
    }

    [Fact]
    public void Float_of_both_widths_is_read_and_scaled()
    {
        byte[] single = WaveBytes.Whole("RIFF", WaveBytes.Format(3, 1, 48000, 32), WaveBytes.Chunk("data", new WaveBytes().Single(0.5f, -2).Bytes));
        byte[] twice = WaveBytes.Whole("RIFF", WaveBytes.Format(3, 1, 48000, 64), WaveBytes.Chunk("data", new WaveBytes().Double(0.25, 1).Bytes));

        Assert.Equal([25f, -100f], All(Open(single, 50)));
        Assert.Equal([12.5f, 50f], All(Open(twice, 50)));
    }

    [Theory]
    [InlineData(1, 24, WaveEncoding.Pcm)]
    [InlineData(3, 32, WaveEncoding.FloatingPoint)]
    public void The_extensible_header_is_understood(int tag, int bits, WaveEncoding encoding)
    {
        byte[] file = WaveBytes.Whole("RIFF", WaveBytes.Extensible(tag, 3, 25600, bits), WaveBytes.Chunk("data", new byte[3 * bits / 8 * 5]));

        WaveReader reader = Open(file);

        Assert.Equal(new WaveFormat(encoding, 3, 25600, bits, 5), reader.Format);
        Assert.Equal(15, All(reader).Length);
        Assert.Equal(5, reader.FramesRead);
    }

    [Fact]
    public void Chunks_that_are_not_needed_are_skipped_with_their_padding()
    {
        byte[] file = WaveBytes.Whole(
            "RIFF", WaveBytes.Chunk("LIST", new byte[7]), WaveBytes.Format(1, 2, 8000, 16), WaveBytes.Chunk("fact", new byte[4]), WaveBytes.Chunk("odd ", new byte[1]),
            WaveBytes.Chunk("data", new WaveBytes().Pcm(16, 1, 2, 3, 4).Bytes), WaveBytes.Chunk("cue ", new byte[4]));

        WaveReader reader = Open(file);

        Assert.Equal(4, All(reader).Length);
        Assert.Empty(reader.Problems);
    }

    [Fact]
    public void Rf64_takes_its_size_from_the_ds64_chunk()
    {
        byte[] sizes = [.. new byte[8], 4, 0, 0, 0, 0, 0, 0, 0, .. new byte[12]];
        byte[] file = WaveBytes.Whole(
            "RF64", WaveBytes.Chunk("ds64", sizes), WaveBytes.Format(1, 1, 8000, 16),
            WaveBytes.Chunk("data", new WaveBytes().Pcm(16, 1, 2, 3).Bytes, 0xFFFF_FFFF));

        WaveReader reader = Open(file);

        Assert.Equal(2, reader.Format.Frames);
        Assert.Equal(2, All(reader).Length);
    }

    [Fact]
    public void A_file_that_ends_early_is_read_to_its_end_and_said_so()
    {
        byte[] file = WaveBytes.Whole("RIFF", WaveBytes.Format(1, 1, 8000, 16), WaveBytes.Chunk("data", new WaveBytes().Pcm(16, 1, 2, 3).Bytes, 100));

        WaveReader reader = Open(file);

        Assert.Equal(3, All(reader).Length);
        Assert.Equal(
            "engine.wav: at byte 50: the file ends here, 94 bytes of samples before the end that its 'data' chunk names; what came before is used",
            Assert.Single(reader.Problems).ToString());
    }

    [Fact]
    public void A_recording_whose_sizes_were_never_filled_in_is_read_to_its_end()
    {
        byte[] file = WaveBytes.Whole("RIFF", WaveBytes.Format(1, 1, 8000, 16), WaveBytes.Chunk("data", new WaveBytes().Pcm(16, 1, 2, 3).Bytes, 0));
        file.AsSpan(4, 4).Clear();
        file = [.. file, 9];

        WaveReader reader = Open(file);

        Assert.Null(reader.Format.Frames);
        Assert.Equal(3, All(reader).Length);
        Assert.Equal(
            ["engine.wav: at byte 40: the 'data' chunk leaves its length open; it is read to the end of the file",
             "engine.wav: at byte 51: the file ends inside a frame; its last 1 bytes are left out"],
            [.. reader.Problems.Select(problem => problem.ToString())]);
    }

    [Fact]
    public void A_data_chunk_of_no_whole_frames_leaves_out_the_rest()
    {
        byte[] file = WaveBytes.Whole("RIFF", WaveBytes.Format(1, 1, 8000, 16), WaveBytes.Chunk("data", new byte[5]));

        WaveReader reader = Open(file);

        Assert.Equal(2, All(reader).Length);
        Assert.Equal(
            "engine.wav: at byte 40: the 'data' chunk has 5 bytes, which is no whole number of 2-byte frames; the rest is left out",
            Assert.Single(reader.Problems).ToString());
    }

    public static TheoryData<string, byte[]> Refused => new()
    {
        { "engine.wav: at byte 0: a RIFF WAVE file begins with 12 bytes of header, this one has 4 in all", "RIFF"u8.ToArray() },
        { "engine.wav: at byte 0: expected 'RIFF' or 'RF64', found 'OggS'", [.. "OggS"u8, .. new byte[20]] },
        { "engine.wav: at byte 0: expected 'RIFF' or 'RF64', found 0x00010203", [0, 1, 2, 3, .. new byte[20]] },
        { "engine.wav: at byte 0: 'RIFX' (big-endian) is not read; write it as 'RIFF' (little-endian)", WaveBytes.Whole("RIFX") },
        { "engine.wav: at byte 8: expected 'WAVE', found 'AVI '", [.. "RIFF"u8, 4, 0, 0, 0, .. "AVI "u8] },
        { "engine.wav: at byte 12: the file ends without a 'fmt ' chunk", WaveBytes.Whole("RIFF") },
        { "engine.wav: at byte 12: a chunk begins with 8 bytes (name and size), the file has only 3 more", [.. WaveBytes.Whole("RIFF"), 1, 2, 3] },
        { "engine.wav: at byte 36: the file ends without a 'data' chunk", WaveBytes.Whole("RIFF", WaveBytes.Format(1, 1, 8000, 16)) },
        { "engine.wav: at byte 12: the 'data' chunk comes before the 'fmt ' chunk; 'fmt ' must come first", WaveBytes.Whole("RIFF", WaveBytes.Chunk("data", [0, 0])) },
        { "engine.wav: at byte 20: format 0x0055 is not read; PCM (0x0001) and IEEE float (0x0003) are", WaveBytes.Whole("RIFF", WaveBytes.Format(0x55, 1, 8000, 16)) },
        { "engine.wav: at byte 22: 0 channels; 1 to 64 are allowed", WaveBytes.Whole("RIFF", WaveBytes.Format(1, 0, 8000, 16)) },
        { "engine.wav: at byte 24: 0 samples a second; 1 to 10000000 are allowed", WaveBytes.Whole("RIFF", WaveBytes.Format(1, 1, 0, 16)) },
        { "engine.wav: at byte 34: 12 bits a sample; PCM has 8, 16, 24 or 32", WaveBytes.Whole("RIFF", WaveBytes.Format(1, 1, 8000, 12)) },
        { "engine.wav: at byte 34: 16 bits a sample; IEEE float has 32 or 64", WaveBytes.Whole("RIFF", WaveBytes.Format(3, 1, 8000, 16)) },
        { "engine.wav: at byte 32: 8 bytes a frame; 2 channels of 16 bits make 4", WaveBytes.Whole("RIFF", WaveBytes.Format(1, 2, 8000, 16, 8)) },
        { "engine.wav: at byte 16: the 'fmt ' chunk has 10 bytes, at least 16 are needed", WaveBytes.Whole("RIFF", WaveBytes.Chunk("fmt ", new byte[10])) },
        { "engine.wav: at byte 20: the file ends inside the 'fmt ' chunk", WaveBytes.Whole("RIFF", WaveBytes.Chunk("fmt ", new byte[8], 16)) },
        { "engine.wav: at byte 30: the file ends inside the chunk that begins at byte 12, 90 bytes before its end", WaveBytes.Whole("RIFF", WaveBytes.Chunk("LIST", new byte[10], 100)) },
    };

    [Theory]
    [MemberData(nameof(Refused))]
    public void What_cannot_be_read_is_refused_with_its_place(string message, byte[] file)
    {
        InputException error = Assert.Throws<InputException>(() => Open(file));

        Assert.Equal(message, error.Message);
    }

    [Fact]
    public void Any_split_of_the_bytes_and_of_the_reads_gives_the_same_samples()
    {
        int[] values = [.. Enumerable.Range(0, 600).Select(i => (i * 7919 % 60000) - 30000)];
        byte[] file = WaveBytes.Whole("RIFF", WaveBytes.Format(1, 3, 25600, 24), WaveBytes.Chunk("data", new WaveBytes().Pcm(24, values).Bytes));
        float[] whole = All(Open(file));

        Gen.Select(Gen.Int[1, 40], Gen.Int[1, 50]).Sample(
            (bytes, frames) =>
            {
                WaveReader reader = WaveReader.Open(new TricklingStream(file, bytes), "engine.wav");
                return All(reader, frames).AsSpan().SequenceEqual(whole);
            },
            seed: "0000KOIPe036", iter: 200, threads: 1);
    }

    [Fact]
    public void Damaged_files_never_fail_but_with_an_input_error()
    {
        byte[] good = WaveBytes.Whole(
            "RIFF", WaveBytes.Chunk("LIST", new byte[6]), WaveBytes.Extensible(1, 2, 8000, 24), WaveBytes.Chunk("data", new byte[600]));
        int opened = 0, refused = 0;

        Gen.Select(Gen.Int[0, good.Length], Gen.Byte[0, 255].Array[1, 6], Gen.Int[0, good.Length - 1]).Sample(
            (length, noise, place) =>
            {
                byte[] bytes = good[..length];
                for (int i = 0; i < noise.Length && place + i < bytes.Length; i++) bytes[place + i] = noise[i];
                try
                {
                    All(Open(bytes));
                    Interlocked.Increment(ref opened);
                }
                catch (InputException error)
                {
                    Assert.StartsWith("engine.wav: at byte ", error.Message, StringComparison.Ordinal);
                    Interlocked.Increment(ref refused);
                }
            },
            seed: "0000KOIPe036", iter: 20_000, threads: 1);

        Assert.True(opened > 100 && refused > 100);
    }

    [Fact]
    public void A_stream_that_fails_is_an_input_error_with_its_place()
    {
        byte[] file = WaveBytes.Whole("RIFF", WaveBytes.Format(1, 1, 8000, 16), WaveBytes.Chunk("data", new byte[100]));
        WaveReader reader = WaveReader.Open(new TricklingStream(file, 20, failAt: 60), "engine.wav");

        InputException error = Assert.Throws<InputException>(() => All(reader));

        Assert.Equal("engine.wav: at byte 60: the card was pulled", error.Message);
    }

    private static WaveReader Open(byte[] file, double scale = 1) => WaveReader.Open(new MemoryStream(file), "engine.wav", scale);

    private static float[] All(WaveReader reader, int frames = 1000)
    {
        var all = new List<float>();
        var block = new float[frames * reader.Format.Channels];
        for (int read = reader.Read(block); read > 0; read = reader.Read(block)) all.AddRange(block.AsSpan(0, read * reader.Format.Channels));
        return [.. all];
    }

    /// <summary>Gives few bytes at a time, cannot seek, and may fail.</summary>
    private sealed class TricklingStream(byte[] bytes, int atOnce, int failAt = int.MaxValue) : Stream
    {
        private int _at;

        public override bool CanRead => true;
        public override bool CanSeek => false;
        public override bool CanWrite => false;
        public override long Length => throw new NotSupportedException();
        public override long Position { get => throw new NotSupportedException(); set => throw new NotSupportedException(); }

        public override int Read(byte[] buffer, int offset, int count)
        {
            if (_at >= failAt) throw new IOException("the card was pulled");
            int given = Math.Min(Math.Min(count, atOnce), Math.Min(bytes.Length, failAt) - _at);
            bytes.AsSpan(_at, given).CopyTo(buffer.AsSpan(offset));
            _at += given;
            return given;
        }

        public override void Flush() { }
        public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();
        public override void SetLength(long value) => throw new NotSupportedException();
        public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();
    }
}
