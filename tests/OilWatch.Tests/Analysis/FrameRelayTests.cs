using OilWatch.Alerts;
using OilWatch.Analysis;
using OilWatch.Channels;
using OilWatch.Detectors;
using OilWatch.Frames;

namespace OilWatch.Tests.Analysis;

public sealed class FrameRelayTests
{
    private static void Send(FrameRelay relay, int i, int faults = 0)
    {
        relay.Next = new EngineFrame(new LogTime(i)) { LapNumber = i };
        var changes = default(FaultChanges);
        for (int k = 0; k < faults; k++) changes.Add(Fault(i, k));
        relay.Send(in changes);
    }

    private static SensorFault Fault(int i, int k) =>
        new(Role.Throttle, SensorFaultKind.Spikes, new LogTime(i), new LogTime(i), new LogTime(i), EventEnd.Open, k, 1);

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(511)]
    [InlineData(512)]
    [InlineData(513)]
    [InlineData(20_000)]
    public void Frames_and_their_faults_come_out_as_they_went_in(int count)
    {
        var seen = new List<(int Frame, double[] Faults)>();
        using var relay = new FrameRelay((ref EngineFrame frame, ReadOnlySpan<SensorFault> faults) =>
        {
            double[] levels = new double[faults.Length];
            for (int i = 0; i < levels.Length; i++)
            {
                Assert.Equal(frame.At, faults[i].Start);
                levels[i] = faults[i].Level;
            }
            seen.Add((frame.LapNumber, levels));
        });
        for (int i = 0; i < count; i++) Send(relay, i, faults: i % 700 == 3 ? 2 : 0);
        relay.Complete();
        Assert.Equal(Enumerable.Range(0, count), seen.Select(one => one.Frame));
        Assert.All(seen, one => Assert.Equal(one.Frame % 700 == 3 ? [0, 1] : [], one.Faults));
    }

    [Fact]
    public void A_slow_worker_loses_nothing_and_bounds_what_waits()
    {
        int made = 0, taken = 0, most = 0;
        using var relay = new FrameRelay((ref EngineFrame _, ReadOnlySpan<SensorFault> _) =>
        {
            most = Math.Max(most, Volatile.Read(ref made) - taken);
            if (++taken % 1000 == 0) Thread.Sleep(1);
        });
        for (int i = 0; i < 30_000; i++)
        {
            Send(relay, i);
            Volatile.Write(ref made, i + 1);
        }
        relay.Complete();
        Assert.Equal(30_000, taken);
        Assert.InRange(most, 1, 2048);
    }

    [Fact]
    public void What_goes_wrong_in_the_worker_is_thrown_to_the_maker()
    {
        var failure = new FormatException("frame 700");
        using var relay = new FrameRelay((ref EngineFrame frame, ReadOnlySpan<SensorFault> _) =>
        {
            if (frame.LapNumber == 700) throw failure;
        });
        InvalidOperationException thrown = Assert.Throws<InvalidOperationException>(() =>
        {
            for (int i = 0; i < 1_000_000; i++) Send(relay, i);
            relay.Complete();
        });
        Assert.Same(failure, thrown.InnerException);
    }

    [Fact]
    public void A_relay_that_is_left_early_stops_its_worker()
    {
        int taken = 0;
        using (var relay = new FrameRelay((ref EngineFrame _, ReadOnlySpan<SensorFault> _) => taken++))
            for (int i = 0; i < 700; i++) Send(relay, i);
        int stoppedAt = taken;
        Assert.InRange(stoppedAt, 0, 512);        // what was still being filled is not given any more
        Thread.Sleep(20);
        Assert.Equal(stoppedAt, taken);
    }
}
