using System.Diagnostics;
using System.Globalization;
using OilWatch.Cars;
using OilWatch.Vibration;

namespace OilWatch.Benchmarks;

/// <summary>
/// Ten minutes of three axes at 25.6 kHz: spectra, velocity, orders, map, resonances and band watch, against scipy's float32 Welch alone on the same samples.
/// Both are timed in turn within one run; only the ratio says something.
/// </summary>
internal static class VibrationBench
{
    private const double RateHz = 25_600;
    private const int Axes = 3;

    /// <summary>Runs it.</summary>
    /// <param name="args">Optional: minutes (10), repeats (3), python ("/usr/bin/python3", or "none").</param>
    public static int Run(string[] args)
    {
        double minutes = args.Length > 0 ? double.Parse(args[0], CultureInfo.InvariantCulture) : 10;
        int repeats = args.Length > 1 ? int.Parse(args[1], CultureInfo.InvariantCulture) : 3;
        string python = args.Length > 2 ? args[2] : "/usr/bin/python3";
        bool withScipy = !string.Equals(python, "none", StringComparison.Ordinal);
        float[] samples = Make((int)(RateHz * 60 * minutes), out SpeedTrack speed);
        string path = Path.Combine(Path.GetTempPath(), $"oilwatch-vibration-{Environment.ProcessId}.f32");
        try
        {
            if (withScipy) Write(path, samples);
            double best = double.PositiveInfinity, bestParallel = double.PositiveInfinity, bestWelch = double.PositiveInfinity, bestScipy = double.PositiveInfinity;
            for (int i = 0; i < repeats; i++)
            {
                best = Math.Min(best, Seconds(() => Job(samples, speed, threads: 1)));
                bestParallel = Math.Min(bestParallel, Seconds(() => Job(samples, speed, threads: Axes)));
                bestWelch = Math.Min(bestWelch, Seconds(() => Welch(samples)));
                if (withScipy) bestScipy = Math.Min(bestScipy, Scipy(python, path));
            }
            Console.WriteLine(FormattableString.Invariant($"{minutes} min x {Axes} axes x {RateHz} Hz, best of {repeats}, {Environment.ProcessorCount} cores"));
            Console.WriteLine(FormattableString.Invariant($"whole job, one thread       {best:F3} s   {best / bestScipy:F2} x scipy"));
            Console.WriteLine(FormattableString.Invariant($"whole job, a thread an axis {bestParallel:F3} s   {bestParallel / bestScipy:F2} x scipy"));
            Console.WriteLine(FormattableString.Invariant($"Welch alone, one thread     {bestWelch:F3} s   {bestWelch / bestScipy:F2} x scipy"));
            Console.WriteLine(FormattableString.Invariant($"scipy float32 Welch alone   {bestScipy:F3} s"));
        }
        finally
        {
            File.Delete(path);
        }
        return 0;
    }

    private static void Job(float[] samples, SpeedTrack speed, int threads)
    {
        var options = new WaveOptions
        {
            Car = new CarSettings { Cylinders = 8, Crank = CrankLayout.FlatPlane, Bands = [new Band("bracket", BandKind.Frequency, 280, 340), new Band("second", BandKind.Order, 1.9, 2.1)] },
        };
        Parallel.For(0, Axes, new ParallelOptions { MaxDegreeOfParallelism = threads }, axis =>
        {
            var analyser = new WaveAnalyser(axis + 1, RateHz, default, speed, options);
            analyser.Add(samples);
            WaveAnalysis analysis = analyser.Finish();
            if (analysis.Orders.IsEmpty || analysis.Density is null) throw new InvalidOperationException("nothing was found");
        });
    }

    private static void Welch(float[] samples)
    {
        for (int axis = 0; axis < Axes; axis++)
        {
            var welch = new WelchAccumulator(RateHz, 4096);
            welch.Add(samples);
            if (welch.Finish() is null) throw new InvalidOperationException("nothing was found");
        }
    }

    private static double Seconds(Action job)
    {
        long start = Stopwatch.GetTimestamp();
        job();
        return Stopwatch.GetElapsedTime(start).TotalSeconds;
    }

    private static double Scipy(string python, string path)
    {
        const string Script = """
            import sys, time, numpy, scipy.signal
            x = numpy.fromfile(sys.argv[1], numpy.float32)
            axes = int(sys.argv[2])
            scipy.signal.welch(x[:65536], 25600, 'hann', 4096)
            start = time.perf_counter()
            for axis in range(axes): p = scipy.signal.welch(x, 25600, 'hann', 4096)[1]
            assert p.dtype == numpy.float32
            print(time.perf_counter() - start)
            """;
        var start = new ProcessStartInfo(python) { RedirectStandardOutput = true, UseShellExecute = false };
        foreach (string argument in (string[])["-c", Script, path, Axes.ToString(CultureInfo.InvariantCulture)]) start.ArgumentList.Add(argument);
        using Process process = Process.Start(start) ?? throw new InvalidOperationException($"{python} does not start");
        string text = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return process.ExitCode == 0
            ? double.Parse(text, CultureInfo.InvariantCulture)
            : throw new InvalidOperationException($"{python} with scipy is needed; give 'none' to leave it out");
    }

    /// <summary>Orders 0.5, 1, 2 and 4 and noise on laps of engine speed.</summary>
    private static float[] Make(int count, out SpeedTrack speed)
    {
        speed = new SpeedTrack();
        for (double t = -0.1; t < (count / RateHz) + 0.1; t += 0.02) speed.Add(LogTime.FromSeconds(t), Rpm(t));
        var random = new Random(1);
        var samples = new float[count];
        double turn = 0;
        for (int n = 0; n < count; n++)
        {
            double angle = 2 * Math.PI * turn;
            samples[n] = (float)((0.3 * Math.Sin(0.5 * angle)) + Math.Sin(angle) + (2 * Math.Sin(2 * angle)) + Math.Sin(4 * angle) + random.NextDouble() - 0.5);
            turn += Rpm(n / RateHz) / 60 / RateHz;
        }
        return samples;

        static double Rpm(double t) => 5500 + (1500 * Math.Sin(2 * Math.PI * t / 8)) + (400 * Math.Sin(2 * Math.PI * t / 2.3));
    }

    private static void Write(string path, float[] samples)
    {
        using FileStream file = File.Create(path);
        file.Write(System.Runtime.InteropServices.MemoryMarshal.AsBytes<float>(samples));
    }
}
