using System.Globalization;
using OilWatch.Proof;
using OilWatch.ProofStudy;

// Pairs with known truth: how often do the limits hold it, how often is each verdict said?   OilWatch.ProofStudy [pairs] [first seed] [draws]
// With "page FOLDER" it writes proof.json and proof.html of one simulated pair for each verdict instead, to look at.
if (args is ["page", var folder])
{
    SamplePages.Write(folder);
    return 0;
}

int pairs = Argument(0, 400);
ulong seed = (ulong)Argument(1, 1);
ProofOptions options = ProofOptions.Default with { Resamples = 100 };
options = options with { Rates = options.Rates with { Draws = Argument(2, 2000) } };

Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{pairs} pairs a scenario, seeds from {seed}, {options.Rates.Draws} draws"));
Console.WriteLine("| scenario | before | after | ratio | bound | exact before | exact ratio | p<0.05 | fixed | improved | none shown | worse | not comparable | fixed, ratio >= 1/5 | fixed, above bound |");
Console.WriteLine("|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|");
var clustered = new List<(string Name, Tally Tally)>();
foreach (Scenario scenario in Scenarios.All)
{
    Tally tally = Tally.Run(scenario, pairs, seed, options);
    clustered.Add((scenario.Name, tally));
    string[] cells =
    [
        scenario.Name, Cover(tally, "before"), Cover(tally, "after"), Cover(tally, "ratio"), Cover(tally, "bound"), Cover(tally, "before exact"), Cover(tally, "ratio exact"),
        Percent(tally.Significant, tally.Pairs), .. new[] { ProofVerdict.Fixed, ProofVerdict.Improved, ProofVerdict.NoChangeShown, ProofVerdict.Worse, ProofVerdict.NotComparable }
            .Select(v => Percent(tally.Verdicts.GetValueOrDefault(v), tally.Pairs)),
        string.Create(CultureInfo.InvariantCulture, $"{tally.AboveTheRule.Fixed}/{tally.AboveTheRule.Pairs}"),
        tally.FixedAboveStatedBound.ToString(CultureInfo.InvariantCulture),
    ];
    Console.WriteLine($"| {string.Join(" | ", cells)} |");
}
foreach (string name in new[] { "before", "after", "ratio" })
{
    int trials = clustered.Sum(c => c.Tally.Limits.GetValueOrDefault(name)?.Trials ?? 0);
    int missed = clustered.Sum(c => c.Tally.Limits.GetValueOrDefault(name) is { } l ? l.Below + l.Above : 0);
    Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{name}: {100.0 * (trials - missed) / trials:0.0} % of {trials} limits hold the truth"));
}
return 0;

int Argument(int place, int otherwise) =>
    args.Length > place && int.TryParse(args[place], NumberStyles.None, CultureInfo.InvariantCulture, out int value) ? value : otherwise;

static string Cover(Tally tally, string name) =>
    tally.Limits.GetValueOrDefault(name) is { } c ? string.Create(CultureInfo.InvariantCulture, $"{100 * c.Share:0.0} ({c.Below}+{c.Above})") : "-";

static string Percent(int count, int all) => string.Create(CultureInfo.InvariantCulture, $"{100.0 * count / all:0.0}");
