using System.Text.Json;
using OilWatch.Laps;
using OilWatch.Report;
using OilWatch.Results;

namespace OilWatch.Board.Showing;

/// <summary>The last laps, the latest first.</summary>
internal sealed class LapRows(Quantities quantities)
{
    /// <summary>Laps shown at most.</summary>
    public const int Most = 8;

    /// <summary>Writes the laps.</summary>
    public void Write(Utf8JsonWriter json, IEnumerable<LapSummary> laps, int ended)
    {
        json.WriteNumber("ended", ended);
        json.WriteStartArray("rows");
        foreach (LapSummary lap in laps)
        {
            json.WriteStartObject();
            json.WriteNumber("lap", lap.Lap);
            json.WriteString("kind", lap.Kind == LapKind.Timed ? "" : ResultWords.Of(lap.Kind));
            json.WriteString("time", Quantities.Clock(lap.End.SecondsSince(lap.Start)));
            json.WriteString("lowest", Quantities.Percent(lap.OilPressureMinRatio));
            json.WriteString("pressure", quantities.Pressure(lap.OilPressureMinKpa) is { Length: > 0 } least ? $"{least} {quantities.PressureUnit}" : "");
            json.WriteString("starved", Starved(lap));
            json.WriteBoolean("harmed", lap.StarvationEvents > 0);
            json.WriteString("hottest", quantities.Temperature(lap.OilTemperatureMaxC) is { Length: > 0 } hot ? $"{hot} {quantities.TemperatureUnit}" : "");
            json.WriteEndObject();
        }
        json.WriteEndArray();
    }

    /// <summary>Empty where it could not be judged.</summary>
    private static string Starved(LapSummary lap) => lap.StarvationEvents switch
    {
        null => "",
        0 => "no",
        { } events => $"{Quantities.Plural(events, "time")}{(lap.StarvationS is { } seconds ? $", {Quantities.Number(seconds, 1)} s" : "")}",
    };
}
