using System.Text.Json;
using OilWatch.Channels;
using OilWatch.Live.Listening;
using OilWatch.Report;

namespace OilWatch.Board.Showing;

/// <summary>The numbers beside the word. What is not known or not believed says so and has no number.</summary>
internal sealed class EngineFacts(Quantities quantities)
{
    /// <summary>Writes a fact for oil pressure and for every other role that a channel fills.</summary>
    public void Write(Utf8JsonWriter json, EngineHealth? health, ChannelPlan? plan)
    {
        json.WriteStartArray("facts");
        Fact(json, health, Role.OilPressure, "Oil pressure", quantities.Pressure(health?.OilPressureKpa), quantities.PressureUnit, Healthy(health));
        if (Has(Role.OilTemperature)) Fact(json, health, Role.OilTemperature, "Oil temp.", quantities.Temperature(health?.OilTemperatureC), quantities.TemperatureUnit);
        if (Has(Role.EngineSpeed)) Fact(json, health, Role.EngineSpeed, "Engine speed", Quantities.Count(health?.SpeedRpm is { } rpm ? 10 * Math.Round(rpm / 10) : null), "rpm");
        if (Has(Role.LateralG)) Fact(json, health, Role.LateralG, "Sideways load", Quantities.Number(Magnitude(health?.LateralG), 2), "g", Side(health?.LateralG));
        if (Has(Role.CrankcasePressure)) Fact(json, health, Role.CrankcasePressure, "Crankcase", quantities.SmallPressure(health?.CrankcaseKpa), quantities.PressureUnit);
        if (Has(Role.Vibration)) Fact(json, health, Role.Vibration, "Vibration", Quantities.Short(health?.Vibration), "");
        json.WriteEndArray();

        bool Has(Role role) => plan?.Has(role) == true;
    }

    private string Healthy(EngineHealth? health)
    {
        if (health?.ExpectedKpa is not { } expected) return "";
        string lowest = health.MinRatio is { } ratio ? $", lowest {Quantities.Percent(ratio)}" : "";
        return $"healthy {quantities.Pressure(expected)}{lowest}";
    }

    private static double? Magnitude(double? g) => g is { } known ? Math.Abs(known) : null;

    private static string Side(double? g) => g switch
    {
        > 0.3 => "left-hand corner",
        < -0.3 => "right-hand corner",
        _ => "",
    };

    private static void Fact(Utf8JsonWriter json, EngineHealth? health, Role role, string name, string value, string unit, string note = "")
    {
        bool masked = health?.IsMasked(role) == true;
        json.WriteStartObject();
        json.WriteString("name", name);
        json.WriteString("value", masked ? "" : value);
        json.WriteString("unit", unit);
        json.WriteString("note", masked ? "sensor not believed" : value.Length == 0 ? "not known" : note);
        json.WriteEndObject();
    }
}
