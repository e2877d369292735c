using System.Globalization;
using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Detectors;
using OilWatch.Frames;

namespace OilWatch.Tests.Detectors;

/// <summary>One case of a scenario file: a name, the frames, and what is to be found. The form is described at the top of the file.</summary>
internal sealed record DropScenario(string Name, string Given, string Then)
{
    /// <summary>The cases of a file; tokens of its <c>given:</c> line come first in each.</summary>
    public static IEnumerable<DropScenario> Read(IEnumerable<string> lines)
    {
        string always = "";
        foreach (string line in lines)
        {
            string text = line.Split('#')[0].Trim();
            if (text.Length == 0) continue;
            int colon = text.IndexOf(':', StringComparison.Ordinal);
            if (colon <= 0) throw new FormatException($"expected 'name: frames => what is found': {line}");
            string name = text[..colon].Trim(), rest = text[(colon + 1)..];
            if (name is "given")
            {
                always = rest;
                continue;
            }

            string[] halves = rest.Split("=>");
            if (halves.Length != 2) throw new FormatException($"expected one '=>': {line}");
            yield return new DropScenario(name, always + " " + halves[0], halves[1].Trim());
        }
    }

    /// <summary>The frames, with loads filtered as on the real way.</summary>
    public IEnumerable<EngineFrame> Frames()
    {
        double hz = 20, expected = 400, spread = 8, rpm = 5000, lateral = 0, longitudinal = 0, at = 0, kerbFrom = double.NaN;
        var filter = new LoadFilter();
        foreach (string token in Given.Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            switch (token)
            {
                case "0g": lateral = longitudinal = 0; continue;
                case "nog": lateral = longitudinal = double.NaN; continue;
                case "kerb": kerbFrom = at; continue;
                case ['L', ..]: (lateral, longitudinal) = (Number(token[1..]), 0); continue;
                case ['R', ..]: (lateral, longitudinal) = (-Number(token[1..]), 0); continue;
                case ['A', ..]: (lateral, longitudinal) = (0, Number(token[1..])); continue;
                case ['B', ..]: (lateral, longitudinal) = (0, -Number(token[1..])); continue;
                case ['n', ..]: rpm = Number(token[1..]); continue;
                case ['e', ..]: expected = Number(token[1..]); continue;
                case ['s', ..]: spread = Number(token[1..]); continue;
                case ['g', 'a', 'p', ..]: at += Number(token[3..]); continue;
                case ['b', 'a', 'c', 'k', ..]: at -= Number(token[4..]); continue;
                case [.., 'H', 'z']: hz = Number(token[..^2]); continue;
            }

            int times = token.IndexOf('x', StringComparison.Ordinal);
            if (times < 0) throw new FormatException($"'{token}' in '{Name}' is no frames and no setting");
            bool doubtful = token[times - 1] == '?';
            string[] pressures = token[..(doubtful ? times - 1 : times)].Split('>');
            int count = int.Parse(token[(times + 1)..], CultureInfo.InvariantCulture);
            for (int i = 0; i < count; i++)
            {
                double from = pressures[0] is "-" ? double.NaN : Number(pressures[0]);
                var frame = new EngineFrame(LogTime.FromSeconds(at)) { ExpectedKpa = expected, SurelyExpectedKpa = expected, SpreadKpa = rpm < 1500 ? double.NaN : spread };
                frame[Role.OilPressure] = pressures.Length == 1 ? from : from + ((Number(pressures[1]) - from) * i / count);
                frame[Role.EngineSpeed] = rpm;
                double kerb = at >= kerbFrom && at < kerbFrom + 0.06 ? 2 * Math.Sin(Math.PI * (at - kerbFrom) / 0.06) : 0;
                frame[Role.LateralG] = lateral + kerb;
                frame[Role.LongitudinalG] = longitudinal;
                if (doubtful) frame.Suspect = 1u << (int)Role.OilPressure;
                filter.Apply(ref frame);
                yield return frame;
                at = Math.Round(at + (1 / hz), 9);
            }
        }
    }

    /// <summary>What the detector finds, step by step.</summary>
    public static List<PressureDropChange> Changes(IEnumerable<EngineFrame> frames, PressureDropOptions? options = null)
    {
        var state = new PressureDropState(options ?? PressureDropOptions.Default);
        var changes = new List<PressureDropChange>();
        foreach (EngineFrame frame in frames)
            if (state.Step(in frame, out PressureDropChange change)) changes.Add(change);
        if (state.Finish(out PressureDropChange last)) changes.Add(last);
        return changes;
    }

    /// <summary>Everything that is not as the case says; empty when all is.</summary>
    public IEnumerable<string> Faults()
    {
        EngineFrame[] frames = [.. Frames()];
        double halfFrame = 0.5 * frames[1].At.SecondsSince(frames[0].At) + 1e-6;
        PressureDrop[] found = [.. Changes(frames).Where(change => change.Phase == AlertPhase.Ended).Select(change => change.Drop)];
        string all = string.Join(" ; ", found.Select(Words));
        string[] wanted = Then is "nothing" ? [] : Then.Split(';', StringSplitOptions.TrimEntries);
        if (int.TryParse(Then, NumberStyles.None, CultureInfo.InvariantCulture, out int count)) wanted = [.. Enumerable.Repeat("", count)];
        if (found.Length != wanted.Length)
        {
            yield return $"{Name}: {found.Length} events, {wanted.Length} wanted: {all}";
            yield break;
        }

        foreach ((PressureDrop drop, string words) in found.Zip(wanted))
            foreach (string fault in Faults(drop, words, halfFrame)) yield return $"{Name}: {fault}: {all}";
    }

    private static IEnumerable<string> Faults(PressureDrop drop, string words, double halfFrame)
    {
        string[] parts = words.Split(' ', StringSplitOptions.RemoveEmptyEntries);
        for (int i = 0; i < parts.Length; i++)
        {
            bool right;
            string part = parts[i];
            if (part.Contains("..", StringComparison.Ordinal))
            {
                string[] ends = part.Split("..");
                right = Math.Abs(drop.Start.Seconds - Number(ends[0])) <= halfFrame && (ends[1].Length == 0 || Math.Abs(drop.End.Seconds - Number(ends[1])) <= halfFrame);
            }
            else
            {
                right = part switch
                {
                    "min" => drop.MinKpa == Number(parts[++i]),
                    "raised" => drop.Raised.Seconds <= Number(parts[++i]) + 1e-6,
                    "returns" => drop.Returns == (int)Number(parts[++i]),
                    "starvation" => drop.Direction != LoadDirection.None,
                    "low" => drop.Direction == LoadDirection.None,
                    "left" or "right" or "braking" or "accelerating" => string.Equals(drop.Direction.Word(), part, StringComparison.Ordinal),
                    "advisory" or "caution" or "warning" => string.Equals(drop.Severity.Word(), part, StringComparison.Ordinal),
                    "recovered" or "data-lost" or "log-ended" or "engine-slowed" => string.Equals(drop.Ending.Word(), part, StringComparison.Ordinal),
                    _ => throw new FormatException($"'{part}' says nothing about an event"),
                };
            }

            if (!right) yield return $"not '{part}'";
        }
    }

    private static string Words(PressureDrop drop) => string.Create(CultureInfo.InvariantCulture,
        $"{drop.Start.Seconds:F3}..{drop.End.Seconds:F3} raised {drop.Raised.Seconds:F2} min {drop.MinKpa:F0} {drop.Direction} {drop.Severity} {drop.Ending} returns {drop.Returns}");

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
