using System.Collections.Immutable;
using System.Text;
using OilWatch.Alerts;
using OilWatch.Cars;
using OilWatch.Reading;

namespace OilWatch.Causes;

/// <summary>What to look at because of what was found. Data: <c>inspection.toml</c>, which a builder may replace.</summary>
/// <remarks>Advice, not protection; the rules of the event and a qualified engine builder come first.</remarks>
public sealed class InspectionAdvice
{
    private const string Resource = "OilWatch.Causes.inspection.toml";
    private static readonly Lazy<InspectionAdvice> BuiltInAdvice = new(ReadBuiltIn);
    private readonly ImmutableDictionary<string, ImmutableArray<InspectionItem>> _lists;

    internal InspectionAdvice(ImmutableDictionary<string, ImmutableArray<InspectionItem>> lists) => _lists = lists;

    /// <summary>The advice that ships with the library.</summary>
    public static InspectionAdvice BuiltIn => BuiltInAdvice.Value;

    /// <summary>The text of the advice that ships with the library, to start a file of one's own from.</summary>
    public static string BuiltInText
    {
        get
        {
            using Stream stream = typeof(InspectionAdvice).Assembly.GetManifestResourceStream(Resource)!;
            using var reader = new StreamReader(stream, Encoding.UTF8);
            return reader.ReadToEnd();
        }
    }

    /// <summary>Names of all lists: the words of the causes, and of the alert kinds that have no cause of their own.</summary>
    public static ImmutableArray<string> Names { get; } =
    [
        .. Enum.GetValues<Cause>().Select(cause => cause.Word()),
        .. new[] { AlertKind.CrankcaseVacuumLoss, AlertKind.VibrationBand, AlertKind.EngineSpeedBand, AlertKind.OverSpeed, AlertKind.OilTemperature }
            .Select(kind => kind.Word()),
    ];

    /// <summary>Reads a file of one's own. Never throws for what is in it.</summary>
    /// <param name="utf8">The whole file, at most 1 MiB, UTF-8.</param>
    /// <param name="fileName">The file's name for messages, without its folder.</param>
    /// <returns>The advice, with the built-in lists where the file has none, and every problem at once.</returns>
    public static (InspectionAdvice Advice, ImmutableArray<ReadingProblem> Problems) Parse(ReadOnlySpan<byte> utf8, string fileName)
    {
        ArgumentNullException.ThrowIfNull(fileName);
        (ImmutableDictionary<string, ImmutableArray<InspectionItem>> lists, ImmutableArray<ReadingProblem> problems) = InspectionFile.Read(utf8, fileName);
        return (new InspectionAdvice(BuiltIn._lists.SetItems(lists)), problems);
    }

    /// <summary>The list of a cause, most telling first.</summary>
    public ImmutableArray<InspectionItem> For(Cause cause) => ListOf(cause.Word());

    /// <summary>The list of an alert kind; empty for the kinds whose advice goes by the cause.</summary>
    public ImmutableArray<InspectionItem> For(AlertKind kind) => ListOf(kind.Word());

    /// <summary>What to look at because of several causes, most telling first: the first item of each, then the second of each, without repeats.</summary>
    internal ImmutableArray<string> Looks(ReadOnlySpan<Cause> causes, Lubrication? lubrication, int most = 8)
    {
        var lists = new List<ImmutableArray<string>>();
        foreach (Cause cause in causes) lists.Add(LooksOf(For(cause), lubrication));
        var looks = ImmutableArray.CreateBuilder<string>();
        for (int place = 0; lists.Exists(list => place < list.Length); place++)
        {
            foreach (ImmutableArray<string> list in lists)
                if (place < list.Length && looks.Count < most && !looks.Contains(list[place])) looks.Add(list[place]);
        }
        return looks.ToImmutable();
    }

    /// <summary>What to look at because of an alert kind.</summary>
    internal ImmutableArray<string> Looks(AlertKind kind, Lubrication? lubrication) => LooksOf(For(kind), lubrication);

    private static ImmutableArray<string> LooksOf(ImmutableArray<InspectionItem> items, Lubrication? lubrication) =>
        [.. items.Where(item => item.Only is null || item.Only == (lubrication ?? Lubrication.WetSump)).Select(item => item.Look)];

    private ImmutableArray<InspectionItem> ListOf(string name) => _lists.TryGetValue(name, out ImmutableArray<InspectionItem> list) ? list : [];

    private static InspectionAdvice ReadBuiltIn()
    {
        (ImmutableDictionary<string, ImmutableArray<InspectionItem>> lists, ImmutableArray<ReadingProblem> problems) =
            InspectionFile.Read(Encoding.UTF8.GetBytes(BuiltInText), "inspection.toml");
        return problems.IsEmpty ? new InspectionAdvice(lists) : throw new InvalidOperationException(problems[0].ToString());
    }
}
