using System.Globalization;

namespace OilWatch.Reading.Can;

/// <summary>A place in the text of a CAN database and the small steps that can be taken from it.</summary>
/// <remarks>
/// The first step that fails is remembered in <see cref="Fault"/>; all further steps then do nothing, so a statement is read as if all went
/// well and asked once at its end. Every step is bounded by what it moves over, and a missing closing quote is looked for once only.
/// </remarks>
internal sealed class DbcCursor(string text)
{
    private int _at;
    private int _noQuoteFrom = int.MaxValue;   // no closing quote from here to the end: already searched
    private int _knownAt;
    private long _knownLine = 1;

    /// <summary>The index of the next character.</summary>
    public int At => _at;

    /// <summary>Steps do not go beyond the line: what is missing is then missed where it should be.</summary>
    public bool IsOneLine { get; set; }

    /// <summary>What went wrong first in this statement.</summary>
    public (int At, string What)? Fault { get; private set; }

    /// <summary>Forgets the fault and moves over blanks to the next statement; false at the end of the text.</summary>
    public bool SkipToStatement()
    {
        Fault = null;
        IsOneLine = false;
        while (_at < text.Length && (char.IsWhiteSpace(text[_at]) || text[_at] is ';' or '\0' or '\u001A')) _at++;
        return _at < text.Length;
    }

    /// <summary>Remembers what is wrong, unless something already is.</summary>
    public void Fail(int at, string what) => Fault ??= (at, what);

    /// <summary>Where the next thing begins.</summary>
    public int AtNext()
    {
        SkipBlanks();
        return _at;
    }

    /// <summary>Letters, digits and underscores; empty when something else comes.</summary>
    public ReadOnlySpan<char> Word()
    {
        SkipBlanks();
        int start = _at;
        if (Fault is null) while (_at < text.Length && IsWordPart(text[_at])) _at++;
        return text.AsSpan(start, _at - start);
    }

    /// <summary>A name: anything up to a blank or one of <c>: ; , "</c>. Real files have letters outside ASCII in them.</summary>
    public string Name(string expected)
    {
        SkipBlanks();
        int start = _at;
        if (Fault is null)
            while (_at < text.Length && !char.IsWhiteSpace(text[_at]) && text[_at] is not (':' or ';' or ',' or '"')) _at++;
        if (_at == start) Fail(start, expected);
        if (_at - start <= DbcWords.LongestName) return text[start.._at];
        Fail(start, DbcWords.NameTooLong);
        return "";
    }

    /// <summary>A whole number without sign.</summary>
    public ulong Unsigned(string expected)
    {
        SkipBlanks();
        int start = _at;
        if (Fault is null) while (_at < text.Length && char.IsAsciiDigit(text[_at])) _at++;
        if (ulong.TryParse(text.AsSpan(start, _at - start), NumberStyles.None, CultureInfo.InvariantCulture, out ulong value)) return value;
        Fail(start, expected);
        return 0;
    }

    /// <summary>A finite number; plus signs and exponents are fine.</summary>
    public double Number(string expected)
    {
        SkipBlanks();
        int start = _at;
        if (Fault is null)
            while (_at < text.Length && (char.IsAsciiLetterOrDigit(text[_at]) || text[_at] is '+' or '-' or '.')) _at++;
        if (double.TryParse(text.AsSpan(start, _at - start), NumberStyles.Float, CultureInfo.InvariantCulture, out double value) &&
            double.IsFinite(value)) return value;
        Fail(start, expected);
        return 0;
    }

    /// <summary>Takes a character that has to be there.</summary>
    public void Expect(char wanted, string expected)
    {
        if (!TryTake(wanted)) Fail(_at, expected);
    }

    /// <summary>Takes one of two characters.</summary>
    public char OneOf(char one, char other, string expected)
    {
        if (TryTake(one)) return one;
        if (!TryTake(other)) Fail(_at, expected);
        return other;
    }

    /// <summary>Takes a character if it comes next.</summary>
    public bool TryTake(char wanted)
    {
        SkipBlanks();
        if (Fault is not null || _at >= text.Length || text[_at] != wanted) return false;
        _at++;
        return true;
    }

    /// <summary>Takes a quoted string if one comes next. It may hold <c>\"</c> and line ends.</summary>
    public bool TryString(out string value)
    {
        value = "";
        SkipBlanks();
        if (Fault is not null || _at >= text.Length || text[_at] != '"') return false;
        int end = ClosingQuote(_at);
        if (end < 0)
        {
            Fail(_at, DbcWords.UnclosedString);
            return false;
        }
        value = text[(_at + 1)..end].Replace("\\\"", "\"", StringComparison.Ordinal);
        _at = end + 1;
        return true;
    }

    /// <summary>Moves to the line after the one that holds a place.</summary>
    public void SkipLine(int from)
    {
        int end = from < text.Length ? text.AsSpan(from).IndexOf('\n') : -1;
        _at = end < 0 ? text.Length : from + end + 1;
    }

    /// <summary>Moves to the next line.</summary>
    public void SkipLine()
    {
        if (Fault is null) SkipLine(_at);
    }

    /// <summary>Moves behind the statement that has a fault, or no further than the line of a string that is never closed.</summary>
    public void Recover()
    {
        if (Fault is not { } fault) return;
        if (fault.What is DbcWords.UnclosedString) { SkipLine(fault.At); return; }
        _at = fault.At;
        if (!(IsLineStart() && DbcWords.IsStatement(PeekWord()))) SkipStatement();
    }

    /// <summary>Moves behind the next semicolon outside a string, or to the next line that begins a statement if that comes first.</summary>
    public void SkipStatement()
    {
        while (_at < text.Length)
        {
            int step = text.AsSpan(_at).IndexOfAny("\";\n");
            if (step < 0) { _at = text.Length; return; }
            _at += step + 1;
            switch (text[_at - 1])
            {
                case ';':
                    return;
                case '\n' when DbcWords.IsStatement(PeekWord()):
                    return;
                case '"':
                    int end = ClosingQuote(_at - 1);
                    if (end < 0) { Fail(_at - 1, DbcWords.UnclosedString); return; }
                    _at = end + 1;
                    break;
            }
        }
    }

    /// <summary>Moves over the list under <c>NS_ :</c>: lines of one word each, which name statements without being any.</summary>
    public void SkipSymbolList()
    {
        SkipLine();
        while (_at < text.Length)
        {
            int end = text.AsSpan(_at).IndexOf('\n');
            ReadOnlySpan<char> line = (end < 0 ? text.AsSpan(_at) : text.AsSpan(_at, end)).Trim();
            if (line.ContainsAnyExcept(DbcWords.SymbolCharacters)) return;
            _at = end < 0 ? text.Length : _at + end + 1;
        }
    }

    /// <summary>Line and column, counted from 1, of an index. Quick where the indices asked for are near one another.</summary>
    public (long Line, int Column) Place(int at)
    {
        at = Math.Min(at, text.Length);
        if (at >= _knownAt) _knownLine += text.AsSpan(_knownAt, at - _knownAt).Count('\n');
        else _knownLine -= text.AsSpan(at, _knownAt - at).Count('\n');
        _knownAt = at;
        return (_knownLine, at - text.AsSpan(0, at).LastIndexOf('\n'));
    }

    /// <summary>The index of the quote that closes the string opened at <paramref name="open"/>, or -1.</summary>
    private int ClosingQuote(int open)
    {
        if (open >= _noQuoteFrom) return -1;
        for (int from = open + 1; from < text.Length;)
        {
            int step = text.AsSpan(from).IndexOf('"');
            if (step < 0) break;
            int quote = from + step;
            // \" is a quote inside the string, unless the statement ends there: a folder's name may end in \.
            if (quote == open + 1 || text[quote - 1] != '\\' || EndsStatement(quote + 1)) return quote;
            from = quote + 1;
        }
        _noQuoteFrom = Math.Min(_noQuoteFrom, open);
        return -1;
    }

    private bool IsLineStart()
    {
        int before = _at - 1;
        while (before >= 0 && text[before] is ' ' or '\t') before--;
        return before < 0 || text[before] == '\n';
    }

    private bool EndsStatement(int at)
    {
        if (at >= text.Length || text[at] != ';') return false;
        return at + 1 >= text.Length || text[at + 1] is '\r' or '\n';
    }

    private ReadOnlySpan<char> PeekWord()
    {
        int start = _at;
        while (start < text.Length && text[start] is ' ' or '\t') start++;
        int end = start;
        while (end < text.Length && end - start <= DbcWords.LongestStatement && IsWordPart(text[end])) end++;
        return text.AsSpan(start, end - start);
    }

    private void SkipBlanks()
    {
        if (Fault is not null) return;
        while (_at < text.Length && char.IsWhiteSpace(text[_at]) && !(IsOneLine && text[_at] is '\n' or '\r')) _at++;
    }

    private static bool IsWordPart(char c) => char.IsAsciiLetterOrDigit(c) || c == '_';
}
