using System.IO.Compression;
using System.Text;
using CsCheck;
using OilWatch.Reading;

namespace OilWatch.Tests.Reading;

public class LogBytesTests
{
    private const string Text = "Time,Öldruck [kPa]\n0.00,412\n0.05,408 °\n";

    [Fact]
    public void Plain_bytes_pass_unchanged() =>
        Gen.Byte.Array[0, 3000].Where(bytes => !Marked(bytes)).Sample(
            bytes => Assert.Equal(bytes, Decoded(bytes, 7)), seed: "0N0XIzNsQ0O2", iter: 300);

    [Theory]
    [InlineData("utf-8", true)]
    [InlineData("utf-16", true)]
    [InlineData("utf-16", false)]
    [InlineData("utf-16BE", true)]
    [InlineData("utf-16BE", false)]
    public void Unicode_text_becomes_utf8_without_a_mark(string encodingName, bool mark)
    {
        Encoding encoding = Encoding.GetEncoding(encodingName);
        byte[] bytes = [.. mark ? encoding.GetPreamble() : [], .. encoding.GetBytes(Text)];
        foreach (int chunk in new[] { 1, 2, 3, 1000 })
        {
            Assert.Equal(Text, Encoding.UTF8.GetString(Decoded(bytes, chunk)));
            Assert.Equal(Text, Encoding.UTF8.GetString(Decoded(Packed(bytes), chunk)));
        }
    }

    [Fact]
    public void A_degree_sign_of_windows_1252_is_left_for_the_reader() =>
        Assert.Equal([(byte)'T', 0xB0, (byte)'C', (byte)'\n'], Decoded([(byte)'T', 0xB0, (byte)'C', (byte)'\n'], 100));

    [Fact]
    public void Several_gzip_members_are_one_text() =>
        Assert.Equal("one two", Encoding.UTF8.GetString(Decoded([.. Packed("one "u8.ToArray()), .. Packed("two"u8.ToArray())], 5)));

    [Fact]
    public void A_gzip_file_that_is_cut_off_gives_what_came_before_and_says_so()
    {
        byte[] text = Encoding.UTF8.GetBytes(string.Join('\n', Enumerable.Range(0, 20_000)));
        byte[] packed = Packed(text);
        using Stream stream = LogBytes.Decoded(new LogSource("cut.gz", () => new MemoryStream(packed[..(packed.Length / 2)]))).Open();
        using var read = new MemoryStream();
        stream.CopyTo(read);

        Assert.InRange(read.Length, 1000, text.Length - 1000);
        Assert.Equal(text[..(int)read.Length], read.ToArray());
        Assert.Equal(
            "the gzip data are damaged or cut off here; what came before was read, pack or copy the file again to have the rest",
            Assert.IsType<DecodedStream>(stream).Damage);
    }

    [Fact]
    public void A_small_file_that_unpacks_to_a_vast_one_is_streamed()
    {
        using var packed = new MemoryStream();
        using (var gzip = new GZipStream(packed, CompressionLevel.Optimal, leaveOpen: true))
            new EndlessLine(1L << 28, (byte)'0').CopyTo(gzip);
        using Stream stream = LogBytes.Decoded(new LogSource("vast.gz", () => new MemoryStream(packed.ToArray()))).Open();
        var buffer = new byte[64 * 1024];
        long before = GC.GetAllocatedBytesForCurrentThread();
        long total = 0;
        while (stream.Read(buffer) is > 0 and var count) total += count;

        Assert.Equal(1L << 28, total);
        Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, 1 << 20);
    }

    [Fact]
    public void What_was_decoded_is_said()
    {
        Assert.Null(Note("a,b\n"u8.ToArray()));
        Assert.Equal("The file is packed with gzip.", Note(Packed("a,b\n"u8.ToArray())));
        Assert.Equal("The text is UTF-16 (little-endian) and was converted.", Note(Encoding.Unicode.GetBytes("a,b\n")));
        Assert.Equal(
            "The file is packed with gzip; its text is UTF-16 (big-endian) and was converted.",
            Note(Packed(Encoding.BigEndianUnicode.GetBytes("a,b\n"))));
    }

    [Fact]
    public void A_file_that_cannot_be_opened_is_named() =>
        Assert.Equal(
            "run.csv: cannot be read: no such file",
            Assert.Throws<InputException>(() => LogBytes.Decoded(new LogSource("run.csv", () => throw new IOException("no such file"))).Open()).Message);

    internal static byte[] Packed(byte[] bytes)
    {
        using var packed = new MemoryStream();
        using (var gzip = new GZipStream(packed, CompressionLevel.Fastest)) gzip.Write(bytes);
        return packed.ToArray();
    }

    private static bool Marked(byte[] bytes) => bytes is [0x1F, 0x8B, ..] or [0xFF, 0xFE, ..] or [0xFE, 0xFF, ..] or [0xEF, 0xBB, 0xBF, ..];

    private static string? Note(byte[] bytes)
    {
        using Stream stream = LogBytes.Decoded(new LogSource("a", () => new MemoryStream(bytes))).Open();
        return Assert.IsType<DecodedStream>(stream).Note;
    }

    private static byte[] Decoded(byte[] bytes, int chunk)
    {
        using Stream stream = LogBytes.Decoded(new LogSource("a", () => new ChunkedStream(bytes, chunk))).Open();
        using var read = new MemoryStream();
        stream.CopyTo(read);
        return read.ToArray();
    }
}
