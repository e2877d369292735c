using System.Text;

namespace OilWatch.Reading.Can;

/// <summary>Shows the spot of a mistake in a line: a few characters before it, <c>▸</c>, a few behind.</summary>
internal static class Excerpt
{
    private const int Before = 40;
    private const int After = 24;

    /// <summary>Of a line of bytes; what is not printable ASCII shows as a dot.</summary>
    /// <param name="line">The line without its end.</param>
    /// <param name="at">Index of the spot, up to the line's length.</param>
    public static string Of(ReadOnlySpan<byte> line, int at)
    {
        int from = Math.Max(0, at - Before), to = Math.Min(line.Length, at + After);
        Span<char> window = stackalloc char[Before + After];
        for (int i = from; i < to; i++) window[i - from] = (char)(line[i] < 0x7F ? line[i] : 0);
        return Mark(window[..(to - from)], at - from, from > 0, to < line.Length);
    }

    /// <summary>Of the line of a text that holds a position.</summary>
    /// <param name="text">All of it.</param>
    /// <param name="at">Index of the spot, up to the text's length.</param>
    public static string Of(string text, int at)
    {
        int from = at, to = at;
        while (from > 0 && at - from < Before && text[from - 1] is not '\n') from--;
        while (to < text.Length && to - at < After && text[to] is not ('\n' or '\r')) to++;
        bool cutFront = from > 0 && text[from - 1] is not '\n', cutBack = to < text.Length && text[to] is not ('\n' or '\r');
        return Mark(text.AsSpan(from, to - from), at - from, cutFront, cutBack);
    }

    private static string Mark(ReadOnlySpan<char> window, int at, bool cutFront, bool cutBack)
    {
        var text = new StringBuilder(window.Length + 3);
        if (cutFront) text.Append('…');
        for (int i = 0; i <= window.Length; i++)
        {
            if (i == at) text.Append('▸');
            if (i == window.Length) break;
            char c = window[i];
            text.Append(c == '\t' ? ' ' : c == 0 || char.IsControl(c) || char.IsSurrogate(c) ? '·' : c);
        }
        if (cutBack) text.Append('…');
        return text.ToString();
    }
}
