using System.Text;
using System.Text.Json;

namespace OilWatch.Synthesiser.Truths;

/// <summary>Writes the truth as <c>truth.json</c>.</summary>
public static class TruthJson
{
    /// <summary>The truth as JSON: snake_case names, seconds to the millisecond, null for what does not apply.</summary>
    public static string Write(Truth truth)
    {
        using var stream = new MemoryStream();
        using (var json = new Utf8JsonWriter(stream, new JsonWriterOptions { Indented = true, NewLine = "\n" }))
        {
            json.WriteStartObject();
            json.WriteString("scenario", truth.Scenario);
            json.WriteNumber("seed", truth.Seed);
            Number("length_s", truth.LengthS);
            List("events", truth.Events, WriteEvent);
            List("faults", truth.Faults, fault =>
            {
                json.WriteString("channel", fault.Channel);
                json.WriteString("kind", fault.Kind);
                Number("start_s", fault.StartS);
                Number("end_s", fault.EndS);
            });
            List("conditions", truth.Conditions, condition =>
            {
                json.WriteString("kind", condition.Kind);
                Number("start_s", condition.StartS);
                Number("full_s", condition.FullS);
                Number("end_s", condition.EndS);
            });
            List("corners", truth.Corners, corner =>
            {
                json.WriteString("label", corner.Label);
                json.WriteString("direction", corner.Direction);
                Number("from_m", corner.FromM);
                Number("to_m", corner.ToM);
                Number("radius_m", corner.RadiusM);
                Number("peak_g", corner.PeakG);
            });
            List("laps", truth.Laps, lap =>
            {
                json.WriteNumber("number", lap.Number);
                json.WriteString("kind", lap.Kind);
                Number("start_s", lap.StartS);
                Number("end_s", lap.EndS);
            });
            json.WriteStartObject("gate");
            json.WriteNumber("latitude_deg", Math.Round(truth.Gate.LatitudeDeg, 7));
            json.WriteNumber("longitude_deg", Math.Round(truth.Gate.LongitudeDeg, 7));
            Number("heading_deg", truth.Gate.HeadingDeg);
            Number("width_m", truth.Gate.WidthM);
            json.WriteEndObject();
            json.WriteStartObject("parameters");
            foreach ((string name, double value) in truth.Parameters.OrderBy(p => p.Key, StringComparer.Ordinal))
            {
                if (double.IsFinite(value)) json.WriteNumber(name, value);
                else json.WriteNull(name);
            }

            json.WriteEndObject();
            json.WriteEndObject();

            void WriteEvent(TrueEvent e)
            {
                json.WriteString("kind", e.Kind);
                Number("start_s", e.StartS);
                Number("pass10_s", e.Pass10S);
                if (e.Pass25S is { } pass25) Number("pass25_s", pass25);
                else json.WriteNull("pass25_s");
                Number("end_s", e.EndS);
                Number("min_ratio", e.MinRatio);
                Number("min_kpa", e.MinKpa);
                Number("expected_kpa", e.ExpectedKpa);
                Number("rpm_at_min", e.RpmAtMin);
                json.WriteString("direction", e.Direction);
                json.WriteString("corner", e.Corner);
                json.WriteNumber("lap", e.Lap);
                Number("caution_s", e.CautionS);
                Number("caution_hold_s", e.CautionHoldS);
                json.WriteString("severity_true", e.Severity);
                json.WriteBoolean("borderline", e.Borderline);
                json.WriteString("condition", e.Condition);
            }

            void Number(string name, double value) => json.WriteNumber(name, Math.Round(value, 4));

            void List<T>(string name, IEnumerable<T> items, Action<T> write)
            {
                json.WriteStartArray(name);
                foreach (T item in items)
                {
                    json.WriteStartObject();
                    write(item);
                    json.WriteEndObject();
                }

                json.WriteEndArray();
            }
        }

        return Encoding.UTF8.GetString(stream.ToArray()) + "\n";
    }
}
