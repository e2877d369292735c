using OilWatch.Analysis;
using OilWatch.Cars;
using OilWatch.Channels;
using OilWatch.Reading;

namespace OilWatch.Console;

/// <summary>Which of the library's entry points the verbs use.</summary>
internal static class Wiring
{
    public static Parts Parts { get; } = new()
    {
        Analyse = SessionAnalysis.RunAsync,
        OpenLog = LogFile.OpenAsync,
        ParseCar = (bytes, file) =>
        {
            CarFileResult car = CarFile.Parse(bytes.AsSpan(), file);
            return (car.Options, car.Problems);
        },
        FindRoles = (channels, sample, car) => RoleFinder.Find(channels, car, channel => sample(channel)),
        RoleCost = RoleCosts.Of,
        Limits = options => LimitTable.Rows(options).Zip(LimitTable.All, (now, usual) => new LimitListing(
            now.Section, now.Key, now.Unit, now.Default, usual.Default, now.Min, now.Max, now.Meaning, now.Source)),
    };
}
