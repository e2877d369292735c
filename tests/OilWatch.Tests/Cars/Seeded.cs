using CsCheck;

namespace OilWatch.Tests.Cars;

/// <summary>Properties over the same random values in every run; the library's own seed pins its first value only.</summary>
internal static class Seeded
{
    private const ulong Seed = 20_261_125;

    /// <summary>Checks a property on many values; the value that fails is printed with its number.</summary>
    public static void Holds<T>(this Gen<T> values, int count, Func<T, bool> property)
    {
        var random = new PCG(1, Seed);
        for (int i = 0; i < count; i++)
        {
            T value = values.Generate(random, null, out _);
            try
            {
                Assert.True(property(value));
            }
            catch (Exception error)
            {
                Assert.Fail($"value {i} of seed {Seed}: {Check.Print(value)}\n{error}");
            }
        }
    }

    /// <summary>The same for three values at once.</summary>
    public static void Holds<T1, T2, T3>(this Gen<(T1 First, T2 Second, T3 Third)> values, int count, Func<T1, T2, T3, bool> property) =>
        values.Holds(count, value => property(value.First, value.Second, value.Third));

    /// <summary>The same for a property that asserts for itself.</summary>
    public static void Holds<T>(this Gen<T> values, int count, Action<T> property) =>
        values.Holds(count, value =>
        {
            property(value);
            return true;
        });
}
