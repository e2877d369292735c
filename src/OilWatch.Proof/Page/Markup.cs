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

    /// <summary>Escapes every hole of an interpolated string; numbers come out invariant, with up to two decimals.</summary>
    [InterpolatedStringHandler]
    public readonly ref struct Handler
    {
        private readonly StringBuilder _text;

        public Handler(int literalLength, int formattedCount, Markup markup) => _text = markup._text;

        public void AppendLiteral(string markup) => _text.Append(markup);

        public void AppendFormatted(string? text) => _text.Append(WebUtility.HtmlEncode(text));

        public void AppendFormatted(double value) => _text.Append(value.ToString("0.##", CultureInfo.InvariantCulture));

        public void AppendFormatted(int value) => _text.Append(value.ToString(CultureInfo.InvariantCulture));
    }
}
