using System.IO.Compression;
using OilWatch.Synthesiser;
using OilWatch.Synthesiser.Truths;

namespace OilWatch.Tests.Synthesiser;

public class ShippedExampleTests
{
    private const long MostBytes = 5_000_000;

    [Fact]
    public void The_shipped_files_are_those_that_the_command_makes()
    {
        string shipped = Path.Combine(RepositoryRoot(), "replay-data");
        string made = Directory.CreateTempSubdirectory("oilwatch-example").FullName;
        try
        {
            ShippedExample.Write(made);
            string[] names = [.. Directory.GetFiles(made).Select(path => Path.GetFileName(path)).Order(StringComparer.Ordinal)];
            Assert.Equal(
                names.Append("README.md").Order(StringComparer.Ordinal),
                Directory.GetFiles(shipped).Select(path => Path.GetFileName(path)).Order(StringComparer.Ordinal), StringComparer.Ordinal);
            foreach (string name in names)
            {
                string[] expected = Lines(Path.Combine(shipped, name)), actual = Lines(Path.Combine(made, name));
                Assert.Equal(expected.Length, actual.Length);
                // Mathematics libraries differ in the last bit between platforms, which can tip the last digit of a few readings.
                int different = expected.Zip(actual).Count(pair => !string.Equals(pair.First, pair.Second, StringComparison.Ordinal));
                Assert.True(different <= expected.Length / 500, $"{name}: {different} lines differ; run the command in replay-data/README.md");
            }
        }
        finally
        {
            Directory.Delete(made, recursive: true);
        }
    }

    [Fact]
    public void The_shipped_files_are_small_enough_to_ship() =>
        Assert.InRange(new DirectoryInfo(Path.Combine(RepositoryRoot(), "replay-data")).GetFiles().Sum(file => file.Length), 1, MostBytes);

    [Fact]
    public void Before_starves_in_the_long_corner_on_every_lap_and_after_never_does()
    {
        Truth before = ShippedExample.Before().Truth, after = ShippedExample.After().Truth;
        for (int lap = 1; lap <= 6; lap++)
            Assert.Contains(before.Events, e => e.Lap == lap && e.Corner is "C10L" && e.IsCaution && !e.Borderline && e.EndS - e.Pass10S > 2);
        Assert.Equal(["oil_pressure", "engine_speed"], before.Faults.Select(fault => fault.Channel), StringComparer.Ordinal);
        Assert.DoesNotContain(before.Events, e => before.Faults.Any(fault => e.StartS < fault.EndS + 2 && e.EndS > fault.StartS - 2));
        Assert.Empty(after.Events);
        Assert.Empty(after.Faults);
        Assert.Equal(before.Corners, after.Corners);
    }

    [Fact]
    public void The_second_sessions_are_the_same_cars_on_another_day()
    {
        SynthesisedRun before = ShippedExample.Before(), after = ShippedExample.After();
        SynthesisedRun beforeAgain = ShippedExample.Again(before), afterAgain = ShippedExample.Again(after);
        foreach ((SynthesisedRun first, SynthesisedRun second) in new[] { (before, beforeAgain), (after, afterAgain) })
        {
            Assert.Equal((first.Car.GripG, first.Car.PowerPerMass, first.Car.RedlineRpm), (second.Car.GripG, second.Car.PowerPerMass, second.Car.RedlineRpm));
            Assert.Equal((first.Oil.Circuit, first.Pan), (second.Oil.Circuit, second.Pan));
            Assert.Equal(first.Truth.Corners, second.Truth.Corners);
            Assert.NotEqual(first.True.ByRole["engine_speed"].Take(40_000), second.True.ByRole["engine_speed"].Take(40_000));
        }

        for (int lap = 1; lap <= 16; lap++)
            Assert.Contains(beforeAgain.Truth.Events, e => e.Lap == lap && e.Corner is "C10L" && e.IsCaution && !e.Borderline);
        Assert.Empty(afterAgain.Truth.Events);
    }

    private static string[] Lines(string path)
    {
        using FileStream file = File.OpenRead(path);
        using var text = new StreamReader(path.EndsWith(".gz", StringComparison.Ordinal) ? new GZipStream(file, CompressionMode.Decompress) : file);
        return text.ReadToEnd().Split('\n');
    }

    private static string RepositoryRoot()
    {
        DirectoryInfo? folder = new(AppContext.BaseDirectory);
        while (folder is not null && !File.Exists(Path.Combine(folder.FullName, "OilWatch.sln"))) folder = folder.Parent;
        return folder?.FullName ?? throw new InvalidOperationException("no OilWatch.sln above the test assembly");
    }
}
