using OilWatch.Cars;
using OilWatch.Channels;
using OilWatch.Frames;
using OilWatch.Laps;

namespace OilWatch.Tests.Laps;

/// <summary>Drives a made-up circuit and gives the frames of it, with the true instants at which the line was passed.</summary>
internal sealed record TestDrive
{
    // Straights and corners: length in m, lateral g (left positive). 3 000 m in all; a chicane, and a double-apex left that is one corner.
    public static readonly (double LengthM, double G)[] Circuit =
    [
        (400, 0), (150, 1.1), (350, 0), (80, -0.9), (80, 0.95), (500, 0),
        (90, 1.2), (30, 0.1), (90, 1.0), (430, 0), (200, -1.3), (600, 0),
    ];

    public static readonly string[] CircuitLabels = ["C1L", "C2R", "C3L", "C4L", "C5R"];

    public (double LengthM, double G)[] Pieces { get; init; } = Circuit;

    /// <summary>Where the line lies, m into the pieces.</summary>
    public double LineM { get; init; }

    /// <summary>Pace of each lap, share of full speed; the first begins <see cref="BeginM"/> before the line when positive.</summary>
    public double[] Paces { get; init; } = [1, 1, 1, 1, 1, 1];

    /// <summary>Metres driven before the first passing of the line.</summary>
    public double BeginM { get; init; } = 1800;

    /// <summary>Metres driven after the last passing of the line.</summary>
    public double EndM { get; init; } = 1500;

    /// <summary>Seconds standing before and after.</summary>
    public double StandS { get; init; } = 20;

    public double Hz { get; init; } = 20;

    public double NoiseG { get; init; }

    public int Seed { get; init; } = 1;

    public double Sign { get; init; } = 1;

    /// <summary>Relative error of the speed channel, by lap.</summary>
    public Func<int, double> SpeedError { get; init; } = _ => 0;

    public bool HasSpeed { get; init; } = true;

    /// <summary>Fills in what a test needs: frame, odometer m, passings so far, time since the last passing (or NaN).</summary>
    public FillFrame? Fill { get; init; }

    public delegate void FillFrame(ref EngineFrame frame, double odometerM, int passings, double sincePassingS);

    public double LapM => Pieces.Sum(piece => piece.LengthM);

    public (List<EngineFrame> Frames, List<double> Passings) Run()
    {
        var frames = new List<EngineFrame>();
        var passings = new List<double>();
        var random = new Random(Seed);
        double lapM = LapM, odometer = 0, time = 0, nextFrame = 0, stood = 0;
        double total = BeginM + (Paces.Length * lapM) + EndM;
        double nextLine = BeginM;
        const double Step = 0.005;     // a part of every frame rate used; passings lie exactly between steps, at steady speed
        double[] grid = [.. Enumerable.Range(0, (int)lapM + 1).Select(metre => SmoothG(metre))];
        while (true)
        {
            int lap = passings.Count;
            double at = odometer - BeginM + LineM;
            at -= Math.Floor(at / lapM) * lapM;
            double g = grid[(int)at] + ((at - (int)at) * (grid[Math.Min((int)at + 1, grid.Length - 1)] - grid[(int)at]));
            double pace = lap == 0 || lap > Paces.Length ? 0.9 : Paces[lap - 1];
            bool standing = (odometer <= 0 && time < StandS) || odometer >= total;
            double speed = standing ? 0 : (55 - (20 * Math.Min(Math.Abs(g), 1.3))) * pace;
            if (time >= nextFrame - 1e-9)
            {
                var frame = new EngineFrame(LogTime.FromSeconds(time));
                double noise = NoiseG * Gauss(random);
                frame.LoadLateralG = standing ? 0 : Sign * ((g * pace * pace) + noise);
                if (HasSpeed) frame[Role.VehicleSpeed] = speed * 3.6 * (1 + SpeedError(lap));
                frame[Role.EngineSpeed] = standing ? 900 : 6000;
                Fill?.Invoke(ref frame, odometer, lap, lap > 0 ? time - passings[^1] : double.NaN);
                frames.Add(frame);
                nextFrame += 1 / Hz;
            }

            if (odometer >= total && (stood += Step) >= StandS) break;
            double before = odometer;
            odometer += speed * Step;
            time += Step;
            if (before < nextLine && odometer >= nextLine && passings.Count <= Paces.Length)
            {
                passings.Add(time - (Step * (odometer - nextLine) / (odometer - before)));
                nextLine += lapM;
            }
        }

        return (frames, passings);
    }

    // Flat on top, with ramps of 30 m.
    private double SmoothG(double at)
    {
        const int Half = 15;
        double sum = 0;
        for (int k = -Half; k <= Half; k += 3) sum += Raw(at + k);
        return sum / ((2 * Half / 3) + 1);
    }

    private double Raw(double at)
    {
        double lapM = LapM;
        at = ((at % lapM) + lapM) % lapM;
        foreach ((double length, double g) in Pieces)
        {
            if (at < length) return g;
            at -= length;
        }

        return 0;
    }

    private static double Gauss(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    /// <summary>The whole station over frames, in one causal pass.</summary>
    public static LapStage Live(IEnumerable<EngineFrame> frames, LapSource source, CarSettings? car = null, Action<EngineFrame>? see = null)
    {
        var stage = new LapStage(source, car ?? CarSettings.None);
        Feed(stage, frames, see);
        return stage;
    }

    /// <summary>The whole station over frames, in two passes.</summary>
    public static LapStage Replay(IReadOnlyList<EngineFrame> frames, LapSource source, CarSettings? car = null, Action<EngineFrame>? see = null)
    {
        var survey = new CircuitSurvey([source], car?.Gate);
        foreach (EngineFrame frame in frames) survey.Step(frame);
        survey.Finish();
        var stage = new LapStage(survey, car ?? CarSettings.None);
        Feed(stage, frames, see);
        return stage;
    }

    private static void Feed(LapStage stage, IEnumerable<EngineFrame> frames, Action<EngineFrame>? see)
    {
        foreach (EngineFrame given in frames)
        {
            EngineFrame frame = given;
            stage.Step(ref frame);
            see?.Invoke(frame);
        }

        stage.Finish();
    }

    /// <summary>A beacon that stands at 1 for a while after the line.</summary>
    public static FillFrame Pulse(double widthS = 0.5) => (ref EngineFrame frame, double _, int _, double since) =>
        frame[Role.Beacon] = since <= widthS ? 1 : 0;

    /// <summary>A lap channel.</summary>
    public static FillFrame LapChannel(int first = 0) => (ref EngineFrame frame, double _, int passings, double _) =>
        frame[Role.Lap] = first + passings;

    /// <summary>The labels of each lap's passes, in order.</summary>
    public static Dictionary<int, string[]> LabelsByLap(LapStage stage) => stage.Passes
        .GroupBy(pass => pass.Lap ?? -99)
        .ToDictionary(group => group.Key, group => group.Select(pass => pass.Corner ?? "-").ToArray());
}
