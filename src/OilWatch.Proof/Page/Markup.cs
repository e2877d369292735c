using System.Globalization;
using System.Net;
using System.Runtime.CompilerServices;
using System.Text;

namespace OilWatch.Proof.Page;

/// <summary>Markup under construction: what is written literally is markup, what is filled in is escaped.</summary>
internal sealed class Markup
{
    private readonly StringBuilder _text = new();

    public Markup Add([InterpolatedStringHandlerArgument("")] ref Handler _)
    {
        _text.Append('\n');
        return this;
    }

    /// <summary>Markup that is markup already.</summary>
    public Markup Raw(string markup)
    {
        _text.Append(markup).Append('\n');
        return this;
    }

    public override string ToString() => _text.ToString();

    /// <summary>The text with what is no character of a page, or would turn the direction of what stands around it, replaced by U+FFFD.</summary>
    private static string Clean(string text)
    {
        if (!text.AsSpan().ContainsAnyExceptInRange(' ', '~')) return text;
        var clean = new StringBuilder(text.Length);
        foreach (Rune rune in text.EnumerateRunes()) clean.Append(IsShown(rune.Value) ? rune : Rune.ReplacementChar);
        return clean.ToString();
    }

    private static bool IsShown(int value) => value switch
    {
        '\t' or '\n' => true,
        < 0x20 or (>= 0x7F and < 0xA0) => false,
        0x200E or 0x200F or 0x061C or (>= 0x202A and <= 0x202E) or (>= 0x2066 and <= 0x2069) => false,
        _ => (value & 0xFFFE) != 0xFFFE,
    };

    /// <summary>Escapes every hole of an interpolated string; numbers come out invariant, with up to two decimals.</summary>
    [InterpolatedStringHandler]
    public readonly ref struct Handler
    {
        private readonly StringBuilder _text;

        public Handler(int literalLength, int formattedCount, Markup markup) => _text = markup._text;

        public void AppendLiteral(string markup) => _text.Append(markup);

        public void AppendFormatted(string? text) => _text.Append(WebUtility.HtmlEncode(Clean(text ?? "")));

        public void AppendFormatted(double value) => _text.Append(value.ToString("0.##", CultureInfo.InvariantCulture));

        public void AppendFormatted(int value) => _text.Append(value.ToString(CultureInfo.InvariantCulture));
    }
}
