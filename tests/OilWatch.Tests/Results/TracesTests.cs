using OilWatch.Results.Traces;
using OilWatch.Vibration;

namespace OilWatch.Tests.Results;

public sealed class TracesTests
{
    [Fact]
    public void Time_is_counted_in_the_cell_of_its_speed_and_value()
    {
        var tally = new SpeedCloudTally(floor: -100, step: 0.5, rowCount: 240);
        tally.Add(1000, -40, 0.25);
        tally.Add(1124, -39.6, 0.5);
        tally.Add(1125, 0, 1);
        tally.Add(1125, -500, 2);                                    // below the floor: the lowest row
        foreach ((double rpm, double value, double seconds) in ((double, double, double)[])[(double.NaN, 0, 1), (1000, double.NaN, 1), (1000, 0, double.NaN), (-1, 0, 1), (1e9, 0, 1), (1000, double.PositiveInfinity, 1), (1000, 0, 0)])
            tally.Add(rpm, value, seconds);
        SpeedCloud cloud = tally.Cloud()!;
        Assert.Equal((125, -100, 0.5), (cloud.StepRpm, cloud.Floor, cloud.Step));
        Assert.Equal([new(8, 120, 0.75f), new(9, 0, 2), new(9, 200, 1)], cloud.Cells);
        Assert.Null(new SpeedCloudTally(0, 1).Cloud());
    }

    [Fact]
    public void Rows_grow_when_a_value_lies_above_them_and_no_time_is_lost()
    {
        var tally = new SpeedCloudTally(floor: 0, step: 1, rowCount: 96);
        tally.Add(0, 10, 1);
        tally.Add(0, 11, 1);
        tally.Add(0, 500, 1);
        SpeedCloud cloud = tally.Cloud()!;
        Assert.Equal(8, cloud.Step);
        Assert.Equal([new(0, 1, 2), new(0, 62, 1)], cloud.Cells);
    }

    [Fact]
    public void A_strip_keeps_the_lowest_ratio_of_each_bin_and_what_is_not_known()
    {
        var tally = new RunStripTally();
        foreach ((double at, double ratio) in ((double, double)[])[(10, 0.9), (10.1, 0.7), (10.2, double.NaN), (11, 1), (9, 0.1)]) tally.Add(LogTime.FromSeconds(at), ratio);
        RunStrip strip = tally.Strip()!;
        Assert.Equal([0.7f, float.NaN, float.NaN, float.NaN, 1f], strip.LowestRatio);
        Assert.Equal([(0.375, double.NaN), (0.625, double.NaN)], strip.Between(LogTime.FromSeconds(10), LogTime.FromSeconds(10.75)).Skip(1));
        Assert.Empty(strip.Between(LogTime.FromSeconds(100), LogTime.FromSeconds(200)));
        Assert.Null(new RunStripTally().Strip());
    }

    [Fact]
    public void A_waveforms_map_is_drawn_from_the_lowest_to_the_highest_speed_held()
    {
        var map = new LevelMap(rateHz: 6400, segment: 4096);                       // 2048 bins of 1.5625 Hz in 256 columns of 12.5 Hz
        Assert.Null(VibrationMap.Of(map, []));
        var power = new float[2049];
        power[8 * 33] = 4;                                                         // column 33, 412.5 to 425 Hz, RMS 2 g
        map.Add(power, 1, 3000, 0);
        map.Add(power, 1, 3200, 0);
        VibrationMap drawn = VibrationMap.Of(map, [1, 4])!;
        Assert.Equal((2950, 100, 25, 128), (drawn.FromRpm, drawn.StepRpm, drawn.StepHz, drawn.Rows));
        Assert.Equal([1, 4], drawn.Orders);
        Assert.Equal(3 * 128, drawn.LevelsG.Length);
        Assert.Equal([2f, float.NaN, 2f], [drawn.LevelsG[16], drawn.LevelsG[128 + 16], drawn.LevelsG[256 + 16]]);
        Assert.Equal(0, drawn.LevelsG[15]);
    }

    [Fact]
    public void A_strip_of_a_day_keeps_its_lowest_values_in_no_more_room()
    {
        var tally = new RunStripTally();
        for (int second = 0; second < 86_400; second++) tally.Add(LogTime.FromSeconds(second), second == 40_000 ? 0.3 : 1);
        RunStrip strip = tally.Strip()!;
        Assert.InRange(strip.LowestRatio.Length, 16_384, 32_768);
        Assert.Equal(4, strip.StepS);
        Assert.Equal(0.3f, strip.LowestRatio[40_000 / 4]);
        Assert.Equal(1, strip.LowestRatio.Count(ratio => ratio < 1));
    }
}
