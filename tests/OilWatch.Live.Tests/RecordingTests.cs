using System.Buffers;
using System.Text;
using OilWatch.Analysis;
using OilWatch.Live.Recording;
using OilWatch.Live.Sources;
using OilWatch.Reading;
using OilWatch.Reading.Recording;
using OilWatch.Results;

namespace OilWatch.Live.Tests;

public sealed class RecordingTests
{
    private static readonly CanRun Run = CanRun.Of("wet-left", 16);
    private static readonly byte[] Id = new byte[16];

    // The check value of CRC-32 (IEEE 802.3, reflected): published with the algorithm.
    [Fact]
    public void The_checksum_is_CRC_32() => Assert.Equal(0xCBF43926u, Crc32.Of("123456789"u8));

    // The bytes drawn in docs/recording.md; checksum made with zlib.crc32 of Python.
    [Fact]
    public void A_block_is_laid_out_as_documented()
    {
        var block = new ArrayBufferWriter<byte>();
        RecordingBlock.WriteBytes(block, 0, 0, "ab\n"u8);
        Assert.Equal("4F57524209000000FCF896AD94020000C40361620A", Convert.ToHexString(block.WrittenSpan));
    }

    [Fact]
    public void Cut_after_any_byte_everything_but_the_unfinished_block_reads_back()
    {
        (byte[] all, int[] ends) = Blocks(5);
        for (int cut = 0; cut <= all.Length; cut++)
        {
            int whole = ends.Count(end => end <= cut);
            RecordingStream stream = Read(all[..cut], out string text);
            Assert.Equal(string.Concat(Enumerable.Range(0, Math.Max(0, whole - 1)).Select(Line)), text);
            Assert.Equal(cut - (whole == 0 ? 0 : ends[whole - 1]), stream.Blocks.TornBytes);
            Assert.Equal(0, stream.Blocks.DamagedBytes);
        }
    }

    [Fact]
    public void With_any_bit_turned_only_its_block_is_lost()
    {
        (byte[] all, int[] ends) = Blocks(4);
        for (int bit = 0; bit < all.Length * 8; bit++)
        {
            byte[] turned = [.. all];
            turned[bit / 8] ^= (byte)(1 << (bit % 8));
            int lost = ends.Count(end => end <= bit / 8) - 1;            // -1 is the start block, which carries no bytes
            RecordingStream stream = Read(turned, out string text);
            string[] lines = text.Split('\n', StringSplitOptions.RemoveEmptyEntries);
            Assert.Equal(Enumerable.Range(0, 4).Where(line => line != lost).Select(line => Line(line).TrimEnd()), lines, StringComparer.Ordinal);
            Assert.True(stream.Blocks.DamagedBytes + stream.Blocks.TornBytes > 0);
        }
    }

    [Fact]
    public async Task What_is_recorded_replays_to_the_same_alerts_without_any_other_file()
    {
        var store = new StoreInMemory();
        SessionResult watched = await WatchAsync(store, Run.Log);
        SessionResult replayed = await ReplayAsync(store);
        Assert.Contains("oil-starvation", CanRun.Alerts(watched), StringComparison.Ordinal);
        Assert.Equal(CanRun.Alerts(watched), CanRun.Alerts(replayed));
        Assert.Equal("recording of a CAN text log", replayed.FormatName);
        Assert.Equal("An OilWatch recording of pipe, with 1 CAN database in it.", replayed.Assumptions[0]);
        Assert.Empty(replayed.Reading.Problems);
    }

    [Fact]
    public async Task A_recording_in_several_files_is_one()
    {
        var store = new StoreInMemory();
        SessionResult watched = await WatchAsync(store, Run.Log, new RecordingOptions { FileBytes = 64 * 1024, DiskFloorBytes = 0 });
        Assert.InRange(store.Files.Count, 4, 1000);
        Assert.Equal(store.Names.Order(StringComparer.Ordinal), store.Names, StringComparer.Ordinal);
        Assert.All(store.Names, name => Assert.Matches(@"^recording-\d{8}T\d{6}Z-\d{4}\.owr$", name));
        Assert.Equal(CanRun.Alerts(watched), CanRun.Alerts(await ReplayAsync(store)));
    }

    [Fact]
    public async Task A_torn_end_is_dropped_and_said()
    {
        var store = new StoreInMemory();
        await WatchAsync(store, Run.Log);
        byte[] torn = store.All[..^2000];
        SessionResult result = await SessionAnalysis.RunAsync(new LogSource("run.owr", () => new MemoryStream(torn)), new AnalysisRequest { AsLive = true });
        Assert.Matches(
            @"^run\.owr: the recording ends in a block that was not finished, as after a power cut: its \d+ bytes were dropped; everything before was read$",
            result.Reading.Problems[0].ToString());
    }

    [Fact]
    public async Task A_recording_without_data_says_so()
    {
        var blocks = new ArrayBufferWriter<byte>();
        RecordingBlock.WriteStart(blocks, Id, 1, 0, "-");
        byte[] bytes = blocks.WrittenSpan.ToArray();
        InputException error = await Assert.ThrowsAsync<InputException>(async () => await LogFile.OpenAsync(new LogSource("a.owr", () => new MemoryStream(bytes))));
        Assert.Equal("a.owr: a recording without any data: nothing came from the source before it ended", error.Message);
    }

    [Fact]
    public async Task A_recording_in_a_recording_is_refused()
    {
        (byte[] inner, _) = Blocks(2);
        var blocks = new ArrayBufferWriter<byte>();
        RecordingBlock.WriteBytes(blocks, 0, 0, inner);
        byte[] bytes = blocks.WrittenSpan.ToArray();
        InputException error = await Assert.ThrowsAsync<InputException>(async () => await LogFile.OpenAsync(new LogSource("a.owr", () => new MemoryStream(bytes))));
        Assert.Equal("a.owr: a recording in a recording; give the inner one", error.Message);
    }

    [Fact]
    public void A_full_disk_stops_the_recording_with_a_notice_and_room_lets_it_go_on_in_another_file()
    {
        var store = new StoreInMemory { FreeBytes = 0 };
        var said = new List<string>();
        using (var recorder = new Recorder(store, "-", [], notice => { lock (said) said.Add(notice.Text); }, new RecordingOptions { RetryAfter = TimeSpan.Zero, FlushEvery = TimeSpan.FromMilliseconds(1) }))
        {
            recorder.Write("lost\n"u8);
            SpinWait.SpinUntil(() => recorder.LeftOutBytes == 5, TimeSpan.FromSeconds(10));
            store.FreeBytes = long.MaxValue;
            recorder.Write("kept\n"u8);
        }
        Read(store.All, out string text);
        Assert.Equal("kept\n", text);
        Assert.Equal(
            ["recording: stopped: the disk has less than 256 MiB of room left; make room; data are judged but not kept meanwhile", "recording: goes on in another file"],
            said.Take(2), StringComparer.Ordinal);
    }

    [Fact]
    public void Whichever_write_fails_what_was_written_before_and_after_reads_back()
    {
        for (int failing = 0; failing < 4; failing++)
        {
            var store = new StoreInMemory { FailingWrite = failing };
            using (var recorder = new Recorder(store, "-", [], _ => { }, new RecordingOptions { RetryAfter = TimeSpan.Zero, FlushEvery = TimeSpan.FromMilliseconds(1), DiskFloorBytes = 0 }))
            {
                for (int line = 0; line < 5; line++)
                {
                    int writes = store.Writes;
                    recorder.Write(Encoding.ASCII.GetBytes(Line(line)));
                    SpinWait.SpinUntil(() => store.Writes > writes, TimeSpan.FromSeconds(10));
                }
            }
            Read(store.All, out string text);
            Assert.Equal(Enumerable.Range(0, 5).Where(line => line != failing).Select(line => Line(line).TrimEnd()), text.Split('\n', StringSplitOptions.RemoveEmptyEntries), StringComparer.Ordinal);
        }
    }

    private static string Line(int number) => FormattableString.Invariant($"line {number}\n");

    private static (byte[] All, int[] Ends) Blocks(int lines)
    {
        var blocks = new ArrayBufferWriter<byte>();
        var ends = new List<int>();
        RecordingBlock.WriteStart(blocks, Id, 1, 0, "-");
        ends.Add(blocks.WrittenCount);
        for (int line = 0; line < lines; line++)
        {
            RecordingBlock.WriteBytes(blocks, line, 0, Encoding.ASCII.GetBytes(Line(line)));
            ends.Add(blocks.WrittenCount);
        }
        return (blocks.WrittenSpan.ToArray(), [.. ends]);
    }

    private static RecordingStream Read(byte[] bytes, out string text)
    {
        var stream = new RecordingStream(new MemoryStream(bytes));
        using var payload = new MemoryStream();
        stream.CopyTo(payload);
        text = Encoding.ASCII.GetString(payload.ToArray());
        return stream;
    }

    private static async Task<SessionResult> WatchAsync(StoreInMemory store, byte[] bytes, RecordingOptions? options = null)
    {
        options ??= new RecordingOptions { DiskFloorBytes = 0 };
        using var recorder = new Recorder(store, "pipe", Run.Readers.CanDatabases, _ => { }, options with { FlushEvery = TimeSpan.FromMilliseconds(1) });
        return await LiveWatch.RunAsync(new StreamSource("pipe", () => new MemoryStream(bytes)), new LiveRequest { Readers = Run.Readers, Tap = recorder });
    }

    private static async Task<SessionResult> ReplayAsync(StoreInMemory store)
    {
        byte[] all = store.All;
        return await SessionAnalysis.RunAsync(new LogSource("run.owr", () => new MemoryStream(all)), new AnalysisRequest { AsLive = true });
    }

    /// <summary>Files in memory, on a disk whose room and faults the test decides.</summary>
    private sealed class StoreInMemory : IRecordingStore
    {
        private long _freeBytes = long.MaxValue;

        public List<MemoryStream> Files { get; } = [];

        public List<string> Names { get; } = [];

        public int FailingWrite { get; init; } = -1;

        public int Writes { get; private set; }

        public long FreeBytes
        {
            get => Interlocked.Read(ref _freeBytes);
            set => Interlocked.Exchange(ref _freeBytes, value);
        }

        public byte[] All => [.. Files.SelectMany(file => file.ToArray())];

        public Stream Create(string name)
        {
            Names.Add(name);
            Files.Add(new FileThatFails(this));
            return Files[^1];
        }

        public void Flush(Stream file) => file.Flush();

        private sealed class FileThatFails(StoreInMemory store) : MemoryStream
        {
            public override void Write(ReadOnlySpan<byte> buffer)
            {
                bool fails = store.Writes == store.FailingWrite;
                base.Write(fails ? buffer[..(buffer.Length / 2)] : buffer);          // a disk that is full takes a part
                store.Writes++;
                if (fails) throw new IOException("no space left on device");
            }
        }
    }
}
