using System.Globalization;
using System.Text;

namespace OilWatch.Synthesiser.Output;

/// <summary>Writes the car file that belongs to a run.</summary>
public static class CarFile
{
    /// <summary>The car file as TOML.</summary>
    /// <param name="run">The run.</param>
    /// <param name="database">File name of its CAN database, or null.</param>
    public static string Text(SynthesisedRun run, string? database)
    {
        var text = new StringBuilder();
        text.Append("# Written by the synthesiser: an invented car at an invented circuit.\n");
        text.Append("[car]\nname = \"Number 27\"\n\n[engine]\ncylinders = 8\ncrank = \"flat-plane\"\n");
        Append($"redline_rpm = {run.Car.RedlineRpm:F0}\nlubrication = \"{(run.Scenario.IsDrySump ? "dry-sump" : "wet-sump")}\"\n\n");
        Oil.WaltherOil can = run.Oil.DataSheet ?? run.Oil.Oil;
        Append($"[oil]\nviscosity_40c_cst = {can.At40Cst:F1}\nviscosity_100c_cst = {can.At100Cst:F1}\n\n");
        if (database is not null) Append($"[can]\ndatabase = \"{database}\"\n\n");
        Truths.TrueGate gate = run.Truth.Gate;
        Append($"[laps]\ngate = {{ latitude = {gate.LatitudeDeg:F7}, longitude = {gate.LongitudeDeg:F7}, heading_deg = {gate.HeadingDeg:F1}, width_m = {gate.WidthM:F1} }}\n");
        return text.ToString();

        void Append(FormattableString line) => text.Append(line.ToString(CultureInfo.InvariantCulture));
    }
}
