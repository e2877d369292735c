using System.Collections.Immutable;
using System.Text;
using System.Text.Unicode;
using OilWatch.Cars;
using OilWatch.Channels;
using OilWatch.Reading;

namespace OilWatch.Causes;

/// <summary>Reads an inspection file: TOML, a list of tables for each cause.</summary>
internal static class InspectionFile
{
    private const int MaxBytes = 1024 * 1024;
    private const int MostItems = 40;
    private const int LongestText = 200;

    /// <summary>Reads everything, and tells everything that is wrong at once. Never throws for what is in the file.</summary>
    public static (ImmutableDictionary<string, ImmutableArray<InspectionItem>> Lists, ImmutableArray<ReadingProblem> Problems) Read(
        ReadOnlySpan<byte> utf8, string fileName)
    {
        var problems = new CarProblems(fileName);
        ImmutableDictionary<string, ImmutableArray<InspectionItem>>.Builder lists =
            ImmutableDictionary.CreateBuilder<string, ImmutableArray<InspectionItem>>(StringComparer.Ordinal);
        if (utf8.StartsWith("\uFEFF"u8)) utf8 = utf8[3..];
        if (utf8.Length > MaxBytes) problems.Add(0, 0, "is larger than 1 MiB; an inspection file is a few kilobytes");
        else if (!Utf8.IsValid(utf8)) problems.Add(0, 0, "is not UTF-8; save the file as UTF-8");
        else
        {
            foreach (TomlEntry entry in TomlDocument.Read(Encoding.UTF8.GetString(utf8), problems).Entries)
                if (ReadList(entry, problems) is { } list) lists[entry.Key] = list;
        }
        return (lists.ToImmutable(), problems.InOrder());
    }

    private static ImmutableArray<InspectionItem>? ReadList(TomlEntry entry, CarProblems problems)
    {
        if (!InspectionAdvice.Names.Contains(entry.Key, StringComparer.Ordinal))
        {
            string hint = NearestWord.To(entry.Key, InspectionAdvice.Names) is { } near
                ? $"did you mean [[{near}]]?"
                : $"the lists are {string.Join(", ", InspectionAdvice.Names)}";
            problems.Add(entry.Line, entry.Column, $"unknown list {Shown.Quoted(entry.Key)}; {hint}");
            return null;
        }
        if (entry.Node.Value is not List<TomlNode> nodes)
        {
            problems.Add(entry.Line, entry.Column, $"items are written under [[{entry.Key}]], in two pairs of brackets, one for each item");
            return null;
        }
        if (nodes.Count > MostItems)
        {
            problems.Add(entry.Line, entry.Column, $"[[{entry.Key}]] has more than 40 items");
            return null;
        }
        return [.. nodes.Select(node => ReadItem(node, entry.Key, problems)).OfType<InspectionItem>()];
    }

    private static InspectionItem? ReadItem(TomlNode node, string list, CarProblems problems)
    {
        if (node.Value is not TomlTable table)
        {
            problems.Add(node.Line, node.Column, $"an item must be a section of its own under [[{list}]]; found {node.Kind}");
            return null;
        }
        string? look = null, source = null;
        Lubrication? only = null;
        foreach (TomlEntry entry in table.Entries)
        {
            switch (entry.Key)
            {
                case "look": look = Text(entry, problems); break;
                case "source": source = Text(entry, problems); break;
                case "only" when entry.Node.Value is "wet-sump": only = Lubrication.WetSump; break;
                case "only" when entry.Node.Value is "dry-sump": only = Lubrication.DrySump; break;
                case "only":
                    problems.Add(entry.Node.Line, entry.Node.Column, "only must be \"wet-sump\" or \"dry-sump\"");
                    break;
                default:
                    string hint = NearestWord.To(entry.Key, ["look", "source", "only"]) is { } near ? $"did you mean '{near}'?" : "the keys are look, source, only";
                    problems.Add(entry.Line, entry.Column, $"unknown key {Shown.Quoted(entry.Key)} in [[{list}]]; {hint}");
                    break;
            }
        }
        if (table["look"] is null) problems.Add(node.Line, node.Column, $"an item of [[{list}]] needs look");
        if (table["source"] is null) problems.Add(node.Line, node.Column, $"an item of [[{list}]] needs source: \"common practice\", or where it comes from");
        return look is not null && source is not null ? new InspectionItem(look, source, only) : null;
    }

    private static string? Text(TomlEntry entry, CarProblems problems)
    {
        TomlNode node = entry.Node;
        if (node.Value is not string text) problems.Add(node.Line, node.Column, $"{entry.Key} must be a text in quotes; found {node.Kind}");
        else if (string.IsNullOrWhiteSpace(text)) problems.Add(node.Line, node.Column, $"{entry.Key} is empty");
        else if (text.Length > LongestText) problems.Add(node.Line, node.Column, $"{entry.Key} is longer than 200 characters");
        else if (text.Any(char.IsControl)) problems.Add(node.Line, node.Column, $"{entry.Key} has a control character in it");
        else return text;
        return null;
    }
}
