using OilWatch.Channels;
using Tomlyn;
using Tomlyn.Parsing;
using Tomlyn.Syntax;

namespace OilWatch.Cars;

/// <summary>Turns TOML text into tables with places, and finds keys that are given twice.</summary>
/// <remarks>The syntax is read by Tomlyn. Lines with a syntax error are left out of the tables, so that one slip is not told twice.</remarks>
internal static class TomlDocument
{
    /// <summary>A car file needs four; the parser itself works by recursion.</summary>
    private const int DeepestNesting = 16;

    private const int LongestDottedKey = 16;

    /// <summary>The root table; empty when nothing could be read.</summary>
    public static TomlTable Read(string text, CarProblems problems)
    {
        var root = new TomlTable(TomlTable.Origin.Header);
        if (TooDeep(text) is var (line, column))
        {
            problems.Add(line, column, "brackets are nested more than 16 deep here; a car file needs no more than four");
            return root;
        }

        DocumentSyntax document;
        try
        {
            // The parser fails on an escape at the very end of a text; a line end keeps it from there.
            document = SyntaxParser.Parse(text + "\n", "", validate: false);
        }
        catch (TomlException error)
        {
            // What the parser refuses to recover from, such as its own limit on nesting.
            problems.Add(0, 0, $"this is not TOML: {Shown.Plain(error.Message)}");
            return root;
        }
        catch (Exception error) when (error is ArgumentException or InvalidOperationException or FormatException or OverflowException or IndexOutOfRangeException)
        {
            // Version 2.10.2 lets such errors out for texts that break off in an escape.
            problems.Add(0, 0, "this cannot be read as TOML; look for a quote, bracket or backslash that is left open");
            return root;
        }

        var builder = new Builder(root, SyntaxErrors(document, problems), problems);
        builder.Add(document);
        return root;
    }

    /// <summary>The place where brackets and braces are nested too deep, outside texts and comments; null when nowhere.</summary>
    private static (int Line, int Column)? TooDeep(string text)
    {
        int depth = 0;
        int line = 1;
        int lineStart = 0;
        char quote = '\0';
        bool longText = false;
        for (int i = 0; i < text.Length; i++)
        {
            char c = text[i];
            if (c == '\n')
            {
                line++;
                lineStart = i + 1;
                if (!longText) quote = '\0';        // a text that is not closed ends with its line
            }
            else if (quote != '\0')
            {
                if (c == '\\' && quote == '"' && i + 1 < text.Length && text[i + 1] != '\n') i++;
                else if (c == quote && (!longText || IsTriple(text, i)))
                {
                    if (longText) i += 2;
                    quote = '\0';
                    longText = false;
                }
            }
            else if (c is '"' or '\'')
            {
                quote = c;
                longText = IsTriple(text, i);
                if (longText) i += 2;
            }
            else if (c == '#')
            {
                int end = text.IndexOf('\n', i);
                if (end < 0) return null;
                i = end - 1;
            }
            else if (c is '[' or '{')
            {
                if (++depth > DeepestNesting) return (line, i - lineStart + 1);
            }
            else if (c is ']' or '}')
            {
                depth = Math.Max(0, depth - 1);
            }
        }
        return null;
    }

    private static bool IsTriple(string text, int i) => i + 2 < text.Length && text[i + 1] == text[i] && text[i + 2] == text[i];

    /// <summary>Tells the first syntax error of each line; what follows on the same line is most often its consequence.</summary>
    private static HashSet<int> SyntaxErrors(DocumentSyntax document, CarProblems problems)
    {
        var lines = new HashSet<int>();
        int openText = 0;
        foreach (DiagnosticMessage message in document.Diagnostics)
        {
            if (message.Kind != DiagnosticMessageKind.Error) continue;
            int line = message.Span.Start.Line + 1;
            bool first = lines.Add(line);
            if (IsOpenText(message.Message))
            {
                // The parser reads on into the next lines, which are then told again and again.
                first &= line != openText + 1 || openText == 0;
                openText = line;
            }
            if (first) problems.Add(line, message.Span.Start.Column + 1, Meaning(message.Message));
        }
        return lines;
    }

    private static bool IsOpenText(string message) =>
        message.Contains("newline in a string", StringComparison.Ordinal) || message.Contains("End-Of-File found on string", StringComparison.Ordinal);

    /// <summary>The parser's words, said as what would be right where the case is a common one.</summary>
    private static string Meaning(string message)
    {
        if (IsOpenText(message))
            return "a text is not closed on its line; end it with the quote that it began with";
        if (message.Contains("while expecting `]`", StringComparison.Ordinal)) return "the section's name is not closed; end it with ']'";
        if (message.Contains("expecting a value", StringComparison.Ordinal) || message.Contains("for a value", StringComparison.Ordinal))
            return "expected a value after '=': a number, true, false, a text in quotes, or a list in brackets";
        if (message.Contains("Expecting `=`", StringComparison.Ordinal)) return "expected '=' after the key, as in key = value";
        if (message.Contains("while expecting token `newline`", StringComparison.Ordinal)) return "expected the end of the line; one key a line, and texts in quotes";
        if (message.Contains("Unable to parse integer", StringComparison.Ordinal)) return "this whole number is too large";
        if (message.Contains("date time", StringComparison.Ordinal)) return "this begins like a date or time, which a car file has no use for; put texts in quotes";
        if (message.StartsWith("Unexpected token", StringComparison.Ordinal)) return "this does not belong here; look for a quote, bracket or '=' that is missing or too many";
        return $"this is not TOML: {Shown.Plain(message)}";
    }

    private sealed class Builder(TomlTable root, HashSet<int> brokenLines, CarProblems problems)
    {
        public void Add(DocumentSyntax document)
        {
            foreach (KeyValueSyntax item in document.KeyValues) AddItem(root, "", item);
            foreach (TableSyntaxBase header in document.Tables)
            {
                if (header.Name is not { } name || IsBroken(header)) continue;
                List<Part> path = PathOf(name);
                if (path.Count == 0 || Open(header, path) is not { } table) continue;
                string label = string.Join('.', path.Select(part => Shown.Plain(part.Key)));
                foreach (KeyValueSyntax item in header.Items) AddItem(table, label, item);
            }
        }

        private bool IsBroken(SyntaxNode node) => brokenLines.Contains(node.Span.Start.Line + 1);

        /// <summary>The table that a header opens, or null when it may not.</summary>
        private TomlTable? Open(TableSyntaxBase header, List<Part> path)
        {
            TomlTable table = root;
            for (int i = 0; i < path.Count - 1; i++)
            {
                Part step = path[i];
                if (table[step.Key] is not { } entry)
                {
                    var next = new TomlTable(TomlTable.Origin.OnTheWay);
                    table.Add(new TomlEntry(step.Key, step.Line, step.Column, new TomlNode(step.Line, step.Column, next)));
                    table = next;
                }
                else if (entry.Node.Value is TomlTable { From: not TomlTable.Origin.Inline } existing)
                {
                    table = existing;
                }
                else if (entry is { IsTableList: true, Node.Value: List<TomlNode> list })
                {
                    table = (TomlTable)list[^1].Value!;
                }
                else
                {
                    problems.Add(step.Line, step.Column, $"{Shown.Quoted(step.Key)} already has a value (line {entry.Line}) and cannot be a section too");
                    return null;
                }
            }

            Part last = path[^1];
            var opened = new TomlTable(TomlTable.Origin.Header);
            var node = new TomlNode(last.Line, last.Column, opened);
            string label = string.Join('.', path.Select(part => Shown.Plain(part.Key)));
            TomlEntry? present = table[last.Key];
            if (header is TableArraySyntax)
            {
                if (present is null)
                {
                    table.Add(new TomlEntry(last.Key, last.Line, last.Column, node with { Value = new List<TomlNode> { node } }) { IsTableList = true });
                    return opened;
                }
                if (present is { IsTableList: true, Node.Value: List<TomlNode> list })
                {
                    list.Add(node);
                    return opened;
                }
                problems.Add(last.Line, last.Column, $"[[{label}]] cannot follow what line {present.Line} says of {Shown.Quoted(last.Key)}; use [[{label}]] every time");
                return null;
            }
            if (present is null)
            {
                table.Add(new TomlEntry(last.Key, last.Line, last.Column, node));
                return opened;
            }
            if (present.Node.Value is TomlTable { From: TomlTable.Origin.OnTheWay } onTheWay)
            {
                onTheWay.From = TomlTable.Origin.Header;
                return onTheWay;
            }
            problems.Add(last.Line, last.Column, $"[{label}] is given twice (first on line {present.Line}); put its keys together under one");
            return null;
        }

        private void AddItem(TomlTable table, string label, KeyValueSyntax item)
        {
            if (item.Key is not { } key || item.Value is not { } value || IsBroken(item) || brokenLines.Contains(value.Span.Start.Line + 1)) return;
            List<Part> path = PathOf(key);
            if (path.Count == 0) return;
            for (int i = 0; i < path.Count - 1; i++)
            {
                Part step = path[i];
                if (table[step.Key] is not { } entry)
                {
                    var next = new TomlTable(TomlTable.Origin.Dotted);
                    table.Add(new TomlEntry(step.Key, step.Line, step.Column, new TomlNode(step.Line, step.Column, next)));
                    table = next;
                }
                else if (entry.Node.Value is TomlTable { From: TomlTable.Origin.Dotted } existing)
                {
                    table = existing;
                }
                else
                {
                    problems.Add(step.Line, step.Column, $"{Shown.Quoted(step.Key)} is given already on line {entry.Line}; put its keys together there");
                    return;
                }
                label = label.Length == 0 ? Shown.Plain(step.Key) : $"{label}.{Shown.Plain(step.Key)}";
            }

            Part last = path[^1];
            if (table[last.Key] is { } present)
            {
                string where = label.Length == 0 ? "" : $" in [{label}]";
                problems.Add(last.Line, last.Column, $"key {Shown.Quoted(last.Key)} is given twice{where} (first on line {present.Line}); keep one");
                return;
            }
            table.Add(new TomlEntry(last.Key, last.Line, last.Column, NodeOf(value, label.Length == 0 ? Shown.Plain(last.Key) : $"{label}.{Shown.Plain(last.Key)}")));
        }

        // Recursion is bounded by DeepestNesting, which was checked on the text.
        private TomlNode NodeOf(ValueSyntax value, string label)
        {
            int line = value.Span.Start.Line + 1;
            int column = value.Span.Start.Column + 1;
            switch (value)
            {
                case StringValueSyntax text:
                    return new TomlNode(line, column, text.Value ?? "");
                case IntegerValueSyntax whole:
                    return new TomlNode(line, column, whole.Value);
                case FloatValueSyntax number:
                    return new TomlNode(line, column, number.Value);
                case BooleanValueSyntax truth:
                    return new TomlNode(line, column, truth.Value);
                case ArraySyntax array:
                    return new TomlNode(line, column, array.Items.Where(item => item.Value is not null).Select(item => NodeOf(item.Value!, label)).ToList());
                case InlineTableSyntax inline:
                    var table = new TomlTable(TomlTable.Origin.Dotted);
                    foreach (InlineTableItemSyntax item in inline.Items)
                    {
                        if (item.KeyValue is { } pair) AddItem(table, label, pair);
                    }
                    table.From = TomlTable.Origin.Inline;
                    return new TomlNode(line, column, table);
                default:
                    return new TomlNode(line, column, null);
            }
        }

        private List<Part> PathOf(KeySyntax key)
        {
            var path = new List<Part>();
            if (key.Key is { } first) path.Add(PartOf(first));
            foreach (DottedKeyItemSyntax item in key.DotKeys)
            {
                if (item.Key is not { } next) return [];
                path.Add(PartOf(next));
                if (path.Count <= LongestDottedKey) continue;
                problems.Add(path[0].Line, path[0].Column, "a key of more than 16 parts; a car file needs no more than three");
                return [];
            }
            return path;
        }

        private static Part PartOf(BareKeyOrStringValueSyntax key)
        {
            string text = key switch
            {
                BareKeySyntax bare => bare.Key?.Text ?? "",
                StringValueSyntax quoted => quoted.Value ?? "",
                _ => "",
            };
            return new Part(text, key.Span.Start.Line + 1, key.Span.Start.Column + 1);
        }

        private readonly record struct Part(string Key, int Line, int Column);
    }
}
