using OilWatch.Synthesiser.Maths;
using OilWatch.Synthesiser.Sensing;

namespace OilWatch.Synthesiser.Output;

/// <summary>The messages in which a car sends its channels.</summary>
/// <param name="Messages">The messages.</param>
public sealed record CanLayout(IReadOnlyList<CanMessage> Messages)
{
    /// <summary>The layout of a run's car: one of three kinds, settled by the seed.</summary>
    public static CanLayout For(SynthesisedRun run)
    {
        var random = new SeededRandom(run.Plan.Seed, "can");
        // SPN 190 ends at 8031.875 rpm.
        bool fitsStandard = run.Car.RedlineRpm < 7900;
        return random.Pick([0, 0, 1, 2]) switch
        {
            1 => Build(run, random, motorolaEngine: true, j1939: false),
            2 when fitsStandard => Build(run, random, motorolaEngine: false, j1939: true),
            _ => Build(run, random, motorolaEngine: false, j1939: false),
        };
    }

    /// <summary>A layout of a wanted kind.</summary>
    /// <param name="run">The run whose channels it carries.</param>
    /// <param name="random">Where phases and identifiers come from.</param>
    /// <param name="motorolaEngine">True for big-endian engine messages.</param>
    /// <param name="j1939">True for engine values in the groups of SAE J1939-71.</param>
    public static CanLayout Build(SynthesisedRun run, SeededRandom random, bool motorolaEngine, bool j1939)
    {
        double fast = RateOf("engine_speed");
        double slow = Math.Min(10, RateOf("oil_temperature"));
        uint id = (uint)random.Whole(0x100, 0x500) & 0x7F0;
        var messages = new List<CanMessage>();
        if (j1939)
        {
            // SAE J1939-71: SPN 190, 100, 101, 175, 110; places, factors and offsets as in check-values 3.1 of the project.
            Add("EEC1", 0x0CF00400, extended: true, fast, [Raw("engine_speed", 24, 16, 0.125, 0, "rpm")], standard: true);
            Add("EFL_P1", 0x18FEEF00, extended: true, RateOf("oil_pressure"),
                [Raw("oil_pressure", 24, 8, 4, 0, "kPa"), Raw("crankcase_pressure", 32, 16, 1.0 / 128, -250, "kPa")], standard: true);
            Add("ET1", 0x18FEEE00, extended: true, slow,
                [Raw("oil_temperature", 16, 16, 1.0 / 32, -273, "degC"), Raw("water_temperature", 0, 8, 1, -40, "degC")], standard: true);
            Add("CHASSIS", 0x18FF1027, extended: true, RateOf("lateral_g"), Chassis());
            Add("AUX", 0x18FF1127, extended: true, slow, [Intel("fuel_pressure", 0, 16), Intel("battery_voltage", 16, 16), Intel("vibration", 32, 16)]);
            Add("THROTTLE", 0x18FF1327, extended: true, RateOf("throttle"), [Intel("throttle", 0, 8)]);
        }
        else
        {
            Add("ENGINE", id, extended: false, fast, motorolaEngine
                ? [Motorola("engine_speed", 7, 16), Motorola("oil_pressure", 23, 16), Motorola("throttle", 39, 8), Motorola("crankcase_pressure", 47, 16)]
                : [Intel("engine_speed", 0, 16), Intel("oil_pressure", 16, 16), Intel("throttle", 32, 8), Intel("crankcase_pressure", 40, 16)]);
            Add("SLOW", id + 1, extended: false, slow,
                [Intel("oil_temperature", 8, 16, 0), Intel("water_temperature", 24, 16, 0), Intel("fuel_pressure", 8, 16, 1), Intel("battery_voltage", 24, 16, 1)]);
            Add("CHASSIS", id + 2, extended: false, RateOf("lateral_g"), Chassis());
            Add("VIBRATION", id + 3, extended: false, RateOf("vibration"), [Intel("vibration", 0, 16)]);
        }

        Add("LAPS", j1939 ? 0x18FF1227 : id + 8, j1939, Math.Min(10, Math.Max(RateOf("lap"), RateOf("beacon"))), [Intel("lap", 0, 16), Intel("beacon", 16, 8), Intel("distance", 24, 32)]);
        Add("GPS", j1939 ? 0x18FF1427 : id + 9, j1939, Math.Min(20, RateOf("latitude")), [Intel("latitude", 0, 32), Intel("longitude", 32, 32)]);
        return new CanLayout(messages);

        double RateOf(string role) => run.Channel(role)?.RateHz ?? 5;

        CanSignal?[] Chassis() => [Motorola("lateral_g", 7, 16), Motorola("longitudinal_g", 23, 16), Motorola("vehicle_speed", 39, 16)];

        CanSignal? Intel(string role, int start, int length, int? mux = null) => Make(role, start, length, motorola: false, mux);

        CanSignal? Motorola(string role, int start, int length) => Make(role, start, length, motorola: true, mux: null);

        CanSignal? Make(string role, int start, int length, bool motorola, int? mux)
        {
            if (run.Channel(role) is not { } channel) return null;
            (double low, double high) = Span(role);
            double a = (low - channel.Offset) / channel.Scale, b = (high - channel.Offset) / channel.Scale;
            (low, high) = (Math.Min(a, b), Math.Max(a, b));
            bool signed = low < 0;
            double steps = signed ? Math.Pow(2, length - 1) - 1 : Math.Pow(2, length) - 2;
            double factor = NiceFactor(Math.Max(Math.Abs(low), high) / steps);
            return new CanSignal(role, Name(channel), start, length, motorola, signed, factor, 0, channel.Unit, mux);
        }

        CanSignal? Raw(string role, int start, int length, double factor, double offset, string unit) =>
            run.Channel(role) is { } channel ? new CanSignal(role, Name(channel), start, length, IsMotorola: false, IsSigned: false, factor, offset, unit) : null;

        void Add(string name, uint identifier, bool extended, double rate, CanSignal?[] signals, bool standard = false)
        {
            CanSignal[] present = [.. signals.OfType<CanSignal>()];
            if (present.Length == 0) return;
            messages.Add(new CanMessage(name, identifier, extended, rate, Math.Round(random.Range(0, 1 / rate), 6), present) { IsJ1939 = standard });
        }
    }

    private static string Name(SampledChannel channel) => channel.Name.Replace(' ', '_');

    // What the signal has to span, role unit.
    private static (double Low, double High) Span(string role) => role switch
    {
        "engine_speed" => (0, 16000),
        "oil_pressure" or "fuel_pressure" => (0, 1000),
        "oil_temperature" or "water_temperature" => (-40, 215),
        "lateral_g" or "longitudinal_g" => (-5, 5),
        "vehicle_speed" => (0, 400),
        "throttle" => (0, 110),
        "crankcase_pressure" => (-110, 110),
        "vibration" => (0, 60),
        "battery_voltage" => (0, 25),
        "lap" => (0, 60000),
        "beacon" => (0, 200),
        "distance" => (0, 1e7),
        _ => (-200, 200),
    };

    // Powers of ten times 1, 2 or 5, as in most databases.
    private static double NiceFactor(double least)
    {
        double power = Math.Pow(10, Math.Floor(Math.Log10(least)));
        double factor = power * (least / power <= 1 ? 1 : least / power <= 2 ? 2 : least / power <= 5 ? 5 : 10);
        return Math.Round(factor, 12);
    }
}
