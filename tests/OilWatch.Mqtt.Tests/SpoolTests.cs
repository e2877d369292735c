using System.Buffers;
using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Text;
using Microsoft.Extensions.Time.Testing;
using OilWatch.Mqtt.Spooling;

namespace OilWatch.Mqtt.Tests;

[SuppressMessage("Reliability", "CA2000:Dispose objects before losing scope", Justification = "A power cut disposes of nothing.")]
public sealed class SpoolTests
{
    private readonly FakeTimeProvider _time = new();
    private readonly List<string> _said = [];

    [Fact]
    public void Messages_come_out_in_the_order_in_which_they_went_in_and_only_once()
    {
        using Spool spool = Opened(new StoreInMemory());
        for (int i = 1; i <= 50; i++) spool.Append(Make.Message(i));
        Assert.Equal(Enumerable.Range(1, 50), Drained(spool));
        Assert.Equal(0, spool.Bytes);
    }

    [Fact]
    public void A_message_comes_back_as_it_was()
    {
        var store = new StoreInMemory();
        SpooledMessage sent = Make.Message(7, rank: 2);
        Opened(store).Append(sent);                                       // and the program is killed
        using Spool spool = Opened(new StoreInMemory(store.Bytes));
        Assert.True(spool.TryPeek(out SpooledMessage? back));
        Assert.Equal(sent with { Payload = [] }, back! with { Payload = [] });
        Assert.Equal(sent.Payload, back!.Payload);
    }

    [Fact]
    public void Killed_at_any_point_what_had_not_arrived_is_there_in_order()
    {
        for (int sent = 0; sent <= 10; sent++)
        {
            var store = new StoreInMemory();
            Spool before = Opened(store);
            for (int i = 1; i <= 10; i++) before.Append(Make.Message(i));
            for (int i = 0; i < sent; i++)
            {
                before.TryPeek(out SpooledMessage? message);
                before.Done(message!);
            }
            using Spool after = Opened(new StoreInMemory(store.Bytes));
            Assert.Equal(Enumerable.Range(sent + 1, 10 - sent), Drained(after));
        }
    }

    [Fact]
    public void Torn_at_any_byte_every_whole_message_is_there_and_it_can_be_written_on()
    {
        var store = new StoreInMemory();
        Spool whole = Opened(store);
        var ends = new List<int> { 0 };
        for (int i = 1; i <= 6; i++)
        {
            whole.Append(Make.Message(i));
            ends.Add(store.Bytes.Length);
        }
        byte[] all = store.Bytes;
        for (int cut = 0; cut <= all.Length; cut++)
        {
            int left = ends.FindLastIndex(end => end <= cut);
            using Spool spool = Opened(new StoreInMemory(all[..cut]));
            spool.Append(Make.Message(99));
            Assert.Equal([.. Enumerable.Range(1, left), 99], Drained(spool));
        }
        Assert.Empty(_said);
    }

    [Fact]
    public void With_any_bit_turned_only_its_message_is_lost()
    {
        var store = new StoreInMemory();
        Spool whole = Opened(store);
        var ends = new List<int>();
        for (int i = 1; i <= 4; i++)
        {
            whole.Append(Make.Message(i));
            ends.Add(store.Bytes.Length);
        }
        byte[] all = store.Bytes;
        for (int bit = 0; bit < all.Length * 8; bit++)
        {
            byte[] turned = [.. all];
            turned[bit / 8] ^= (byte)(1 << (bit % 8));
            int lost = ends.FindIndex(end => end > bit / 8) + 1;
            using Spool spool = Opened(new StoreInMemory(turned));
            Assert.Equal(Enumerable.Range(1, 4).Where(number => number != lost), Drained(spool));
        }
        Assert.All(_said, said => Assert.Matches(@"^spool: \d+ bytes were damaged, so messages of an earlier run may be missing$", said));
    }

    [Fact]
    public void Any_bytes_at_all_are_read_without_harm()
    {
        var random = new Random(20261128);
        var blocks = new ArrayBufferWriter<byte>();
        SpoolBlock.WriteMessage(blocks, Make.Message(1));
        SpoolBlock.WriteDone(blocks, "x", 1);
        for (int i = 0; i < 3000; i++)
        {
            byte[] bytes = new byte[random.Next(300)];
            random.NextBytes(bytes);
            for (int j = random.Next(4); j > 0; j--)
            {
                int at = random.Next(bytes.Length + 1);
                bytes = [.. bytes[..at], .. blocks.WrittenSpan[random.Next(blocks.WrittenCount)..], .. bytes[at..]];
            }
            using Spool spool = Opened(new StoreInMemory(bytes));
            spool.Append(Make.Message(5));
            Assert.Equal(5, Drained(spool)[^1]);
        }
    }

    [Fact]
    public void A_topic_that_may_not_be_published_to_is_not_believed()
    {
        var blocks = new ArrayBufferWriter<byte>();
        SpoolBlock.WriteMessage(blocks, Make.Message(1) with { Topic = "oilwatch/#" });
        SpoolBlock.WriteMessage(blocks, Make.Message(2) with { Topic = "$SYS/x" });
        SpoolBlock.WriteMessage(blocks, Make.Message(3));
        using Spool spool = Opened(new StoreInMemory(blocks.WrittenSpan.ToArray()));
        Assert.Equal([3], Drained(spool));
    }

    [Fact]
    public void When_it_is_full_the_oldest_laps_and_advisories_go_first_and_it_is_said_once()
    {
        var store = new StoreInMemory();
        using Spool spool = Opened(store, limit: 64 * 1024);
        for (int i = 1; i <= 400; i++) spool.Append(Make.Message(i, rank: i % 2 == 0 ? 0 : 2, length: 400));
        Assert.InRange(spool.Bytes, 32 * 1024, 64 * 1024);
        Assert.InRange(store.Bytes.Length, 1, 80 * 1024);
        List<int> left = Drained(spool);
        Assert.Equal(400 - left.Count, spool.LeftOut);
        Assert.Equal(left.Order(), left);
        int[] low = [.. left.Where(number => number % 2 == 0)];
        int[] grave = [.. left.Where(number => number % 2 == 1)];
        Assert.True(low.Length < 10, $"{low.Length} of low rank were kept while {grave.Length} grave ones are");
        Assert.True(grave[0] > 1, "the grave ones alone do not fit either");
        Assert.Equal("mqtt: the spool is full: the oldest laps and advisories are left out first; the files hold every alert", Assert.Single(_said));
    }

    [Fact]
    public void What_was_left_out_stays_out_and_the_limit_holds_after_a_restart()
    {
        var store = new StoreInMemory();
        Spool before = Opened(store, limit: 64 * 1024);
        for (int i = 1; i <= 1000; i++) before.Append(Make.Message(i, rank: 1, length: 400));
        Assert.True(store.Replacements > 0);
        using Spool after = Opened(new StoreInMemory(store.Bytes), limit: 64 * 1024);
        after.Append(Make.Message(1001, length: 400));
        Assert.InRange(after.Bytes, 1, 64 * 1024);
        List<int> left = Drained(after);
        Assert.Equal(Enumerable.Range(left[0], 1002 - left[0]), left);
    }

    [Fact]
    public void On_a_full_disk_it_goes_on_in_memory_says_so_and_writes_when_there_is_room_again()
    {
        var store = new StoreInMemory { Room = 500 };
        using Spool spool = Opened(store);
        for (int i = 1; i <= 20; i++) spool.Append(Make.Message(i));
        Assert.Matches("^spool: cannot be written: No space left on device; what comes for the broker is kept in memory meanwhile, up to 1024 KiB, and would not survive the program$", Assert.Single(_said));
        store.Room = long.MaxValue;
        spool.Append(Make.Message(21));                                   // too soon for another try
        Assert.Single(_said);
        _time.Advance(TimeSpan.FromSeconds(6));
        spool.Append(Make.Message(22));
        Assert.Equal("spool: can be written again; what waits for the broker is in it", _said[^1]);
        using Spool after = Opened(new StoreInMemory(store.Bytes));       // had it been killed now
        Assert.Equal(Enumerable.Range(1, 22), Drained(after));
        Assert.Equal(Enumerable.Range(1, 22), Drained(spool));
    }

    [Fact]
    public void Whichever_byte_the_disk_is_full_at_nothing_is_lost_while_the_program_lives()
    {
        for (int room = 0; room < 700; room += 7)
        {
            var store = new StoreInMemory { Room = room };
            using Spool spool = Opened(store);
            for (int i = 1; i <= 8; i++)
            {
                spool.Append(Make.Message(i));
                if (i != 6) continue;
                store.Room = long.MaxValue;
                _time.Advance(TimeSpan.FromSeconds(10));
            }
            using Spool after = Opened(new StoreInMemory(store.Bytes));
            Assert.Equal(Enumerable.Range(1, 8), Drained(after));
            Assert.Equal(Enumerable.Range(1, 8), Drained(spool));
        }
    }

    [Fact]
    public void Memory_is_bounded_while_the_disk_is_full()
    {
        using Spool spool = Opened(new StoreInMemory { Room = 0 }, memory: 16 * 1024);
        for (int i = 1; i <= 500; i++) spool.Append(Make.Message(i, length: 200));
        Assert.InRange(spool.Bytes, 8 * 1024, 16 * 1024);
        List<int> left = Drained(spool);
        Assert.Equal(Enumerable.Range(left[0], 501 - left[0]), left);
        Assert.Contains(_said, said => said.StartsWith("mqtt: there is no more room in memory", StringComparison.Ordinal));
    }

    [Fact]
    public void A_file_that_another_process_has_is_said_and_taken_when_it_is_free()
    {
        var store = new StoreInMemory { IsTaken = true };
        using Spool spool = Opened(store);
        spool.Append(Make.Message(1));
        Assert.False(spool.IsOnDisk);
        Assert.StartsWith("spool: cannot be written: another process has it;", Assert.Single(_said), StringComparison.Ordinal);
        store.IsTaken = false;
        _time.Advance(TimeSpan.FromSeconds(6));
        spool.Append(Make.Message(2));
        Assert.True(spool.IsOnDisk);
        Assert.Equal([1, 2], Drained(spool));
    }

    [Fact]
    public void Where_the_file_cannot_be_written_anew_the_old_one_is_still_good()
    {
        var store = new StoreInMemory { CannotReplace = true };
        using Spool spool = Opened(store, limit: 64 * 1024, memory: 1024 * 1024);
        int next = 1;
        for (; next <= 1000 && _said.TrueForAll(said => !said.Contains("renamed", StringComparison.Ordinal)); next++)
        {
            spool.Append(Make.Message(next, length: 400));
            if (next % 3 > 0 && spool.TryPeek(out SpooledMessage? first)) spool.Done(first!);
        }
        Assert.InRange(next, 10, 999);
        store.CannotReplace = false;
        _time.Advance(TimeSpan.FromSeconds(6));
        List<int> left = Drained(spool);
        Assert.Equal(next - 1, left[^1]);
        Assert.Equal(Enumerable.Range(left[0], next - left[0]), left.Distinct());
    }

    [Fact]
    public void A_folder_keeps_it_from_one_run_to_the_next_for_its_owner_alone()
    {
        string folder = Directory.CreateTempSubdirectory("oilwatch-test-").FullName;
        try
        {
            using (Spool spool = Opened(new SpoolFolder(Path.Combine(folder, "deep"))))
            {
                for (int i = 1; i <= 300; i++) spool.Append(Make.Message(i, length: 1000));
                for (int i = 1; i <= 290; i++)
                {
                    spool.TryPeek(out SpooledMessage? message);
                    spool.Done(message!);
                }
                spool.Append(Make.Message(301, length: 1000));            // written anew: most of it is of no use
                Assert.InRange(new FileInfo(Path.Combine(folder, "deep", SpoolFolder.FileName)).Length, 1, 20_000);
                using Spool second = Opened(new SpoolFolder(Path.Combine(folder, "deep")));
                Assert.False(second.IsOnDisk);
            }
            if (!OperatingSystem.IsWindows())
                Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(Path.Combine(folder, "deep", SpoolFolder.FileName)));
            using Spool next = Opened(new SpoolFolder(Path.Combine(folder, "deep")));
            Assert.Equal(Enumerable.Range(291, 11), Drained(next));
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private Spool Opened(ISpoolStore store, long limit = 1024 * 1024, long memory = 1024 * 1024) =>
        new(store, limit, memory, _time, notice => _said.Add(notice.Text));

    private static List<int> Drained(Spool spool)
    {
        var numbers = new List<int>();
        while (spool.TryPeek(out SpooledMessage? message))
        {
            numbers.Add(int.Parse(Encoding.ASCII.GetString(message!.Payload).Split(':')[0], CultureInfo.InvariantCulture));
            spool.Done(message);
        }
        return numbers;
    }
}
