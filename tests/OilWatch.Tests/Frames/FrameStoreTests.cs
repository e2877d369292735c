using System.Runtime.InteropServices;
using OilWatch.Channels;
using OilWatch.Frames;

namespace OilWatch.Tests.Frames;

public sealed class FrameStoreTests
{
    private static readonly Role[] Kept = [Role.EngineSpeed, Role.OilPressure];

    private static EngineFrame Frame(int i)
    {
        var frame = new EngineFrame(new LogTime(i * 50_000_000L)) { Fresh = (uint)i };
        frame[Role.OilPressure] = 400 + (i % 17);
        frame[Role.EngineSpeed] = i % 5 == 0 ? double.NaN : 5000 + i;
        return frame;
    }

    private static byte[] Bytes(FrameList frames) => MemoryMarshal.AsBytes(CollectionsMarshal.AsSpan(frames.All)).ToArray();

    private static FrameList Replayed(FrameStore store)
    {
        var frames = new FrameList();
        store.Replay(frames, CancellationToken.None);
        return frames;
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(1023)]
    [InlineData(1024)]
    [InlineData(1025)]
    [InlineData(5000)]
    public void Memory_and_scratch_stream_give_the_same_frames_as_often_as_asked(int count)
    {
        var given = new FrameList();
        using var memory = new FrameStore(openScratch: null, Kept);
        using var scratch = new FrameStore(() => new MemoryStream(), Kept, framesInMemory: 1);
        using var mixed = new FrameStore(() => new MemoryStream(), Kept, framesInMemory: 2000);
        for (int i = 0; i < count; i++)
        {
            EngineFrame frame = Frame(i);
            given.OnFrame(frame);
            memory.OnFrame(frame);
            scratch.OnFrame(frame);
            mixed.OnFrame(frame);
        }

        foreach (FrameStore store in new[] { memory, scratch, mixed })
        {
            Assert.Equal(count, store.Count);
            Assert.Equal(Bytes(given), Bytes(Replayed(store)));
            Assert.Equal(Bytes(given), Bytes(Replayed(store)));
        }
    }

    [Fact]
    public void Frames_may_be_added_after_a_replay()
    {
        var given = new FrameList();
        using var store = new FrameStore(() => new MemoryStream(), Kept, framesInMemory: 1);
        for (int i = 0; i < 6000; i++)
        {
            if (i == 3333) Replayed(store);
            given.OnFrame(Frame(i));
            store.OnFrame(Frame(i));
        }

        Assert.Equal(Bytes(given), Bytes(Replayed(store)));
    }

    [Fact]
    public void A_short_run_opens_no_scratch_stream_and_a_long_one_opens_one_and_closes_it()
    {
        var opened = new List<MemoryStream>();
        Stream open()
        {
            opened.Add(new MemoryStream());
            return opened[^1];
        }

        using (var store = new FrameStore(open, Kept, framesInMemory: 2048))
        {
            for (int i = 0; i < 2048; i++) store.OnFrame(Frame(i));
            Assert.Empty(opened);
            for (int i = 2048; i < 9000; i++) store.OnFrame(Frame(i));
            Assert.Single(opened);
        }

        Assert.False(opened[0].CanRead);
    }

    [Fact]
    public void A_replay_stops_when_it_is_told_to()
    {
        using var store = new FrameStore(openScratch: null, Kept);
        for (int i = 0; i < 3000; i++) store.OnFrame(Frame(i));
        var seen = new FrameList();
        Assert.Throws<OperationCanceledException>(() => store.Replay(seen, new CancellationToken(canceled: true)));
        Assert.Empty(seen.All);
    }

    [Fact]
    public void Frames_are_equal_when_all_their_values_are()
    {
        EngineFrame one = Frame(5), same = Frame(5), other = Frame(5);
        other[Role.Throttle] = 12;
        Assert.True(one == same);
        Assert.Equal(one.GetHashCode(), same.GetHashCode());
        Assert.True(one != other);
    }
}
