using System.Diagnostics;
using System.Globalization;
using System.Text;
using SharpFuzz;

namespace OilWatch.Fuzz;

/// <summary>Fuzzing without AFL: seeds are mutated at random for so many seconds; an input that makes the target throw is written to a file.</summary>
internal static class RandomInputs
{
    private const int MaxBytes = 64 * 1024;

    /// <summary>Runs until time is up or an input fails.</summary>
    /// <returns>0 when none failed, 1 otherwise.</returns>
    public static int Run(ReadOnlySpanAction target, string[] seeds, TimeSpan length, int seed)
    {
        var random = new Random(seed);
        var pool = seeds.Select(Encoding.UTF8.GetBytes).ToList();
        var watch = Stopwatch.StartNew();
        long count = 0;
        for (; watch.Elapsed < length; count++)
        {
            byte[] input = Mutated(pool, random);
            try
            {
                target(input);
            }
            catch (Exception error)
            {
                string path = string.Create(CultureInfo.InvariantCulture, $"crash-{seed}-{count}.bin");
                File.WriteAllBytes(path, input);
                Console.Error.WriteLine($"seed {seed}, input {count}, written to {path}: {error}");
                return 1;
            }
        }
        Console.WriteLine($"{count} inputs, seed {seed}: none failed");
        return 0;
    }

    private static byte[] Mutated(List<byte[]> pool, Random random)
    {
        var bytes = new List<byte>(pool[random.Next(pool.Count)]);
        for (int changes = random.Next(1, 12); changes > 0; changes--)
        {
            int at = random.Next(bytes.Count + 1);
            switch (random.Next(7))
            {
                case 0 when bytes.Count > 0:
                    bytes[Math.Min(at, bytes.Count - 1)] = (byte)random.Next(256);
                    break;
                case 1 when bytes.Count > 0:
                    bytes[Math.Min(at, bytes.Count - 1)] ^= (byte)(1 << random.Next(8));
                    break;
                case 2:
                    bytes.Insert(at, (byte)random.Next(256));
                    break;
                case 3 when at < bytes.Count:
                    bytes.RemoveRange(at, Math.Min(random.Next(1, 40), bytes.Count - at));
                    break;
                case 4:
                    byte[] other = pool[random.Next(pool.Count)];
                    int from = random.Next(other.Length + 1);
                    bytes.InsertRange(at, other[from..Math.Min(other.Length, from + random.Next(1, 60))]);
                    break;
                case 5 when bytes.Count < MaxBytes / 4:
                    bytes.InsertRange(at, Enumerable.Repeat(bytes.Count == 0 ? (byte)0 : bytes[Math.Min(at, bytes.Count - 1)], 1 << random.Next(14)));
                    break;
                default:
                    if (at < bytes.Count) bytes.AddRange(bytes.GetRange(at, Math.Min(bytes.Count - at, 500)));
                    break;
            }
        }
        if (bytes.Count > MaxBytes) bytes.RemoveRange(MaxBytes, bytes.Count - MaxBytes);
        return [.. bytes];
    }
}
