using System.Text.Encodings.Web;
using System.Text.Unicode;

namespace OilWatch.Report.Markup;

/// <summary>Writes HTML that is also well-formed XML. All text and every attribute go through here and are escaped; there is no way round it.</summary>
internal sealed class HtmlWriter(TextWriter target)
{
    private static readonly HtmlEncoder Encoder = HtmlEncoder.Create(UnicodeRanges.All);
    private int _ids;

    /// <summary>Starts the document.</summary>
    public void Doctype() => target.Write("<!DOCTYPE html>\n");

    /// <summary>Opens an element until the scope is disposed.</summary>
    /// <param name="name">The element's name, a constant.</param>
    /// <param name="attributes">Names, constants, and values; an attribute whose value is null is left out.</param>
    public Scope Open(string name, params ReadOnlySpan<(string Name, string? Value)> attributes)
    {
        Tag(name, attributes);
        target.Write('>');
        return new Scope(this, name);
    }

    /// <summary>An element with nothing in it.</summary>
    public void Empty(string name, params ReadOnlySpan<(string Name, string? Value)> attributes)
    {
        Tag(name, attributes);
        target.Write("/>");
    }

    /// <summary>An element with text.</summary>
    public void Leaf(string name, string text, params ReadOnlySpan<(string Name, string? Value)> attributes)
    {
        using (Open(name, attributes)) Text(text);
    }

    /// <summary>Text.</summary>
    public void Text(string text) => Encoder.Encode(target, PageText.Clean(text));

    /// <summary>A name out of a file: cut when very long, and kept from turning the direction of what stands around it.</summary>
    public void Name(string name) => Leaf("bdi", PageText.Cut(name, 120));

    /// <summary>The page's own style sheet.</summary>
    public void Style()
    {
        using (Open("style")) target.Write(PageStyle.Sheet);
    }

    /// <summary>An id that no other element has.</summary>
    public string NewId() => string.Create(System.Globalization.CultureInfo.InvariantCulture, $"n{++_ids}");

    private void Tag(string name, ReadOnlySpan<(string Name, string? Value)> attributes)
    {
        target.Write('<');
        target.Write(name);
        foreach ((string attribute, string? value) in attributes)
        {
            if (value is null) continue;
            target.Write(' ');
            target.Write(attribute);
            target.Write("=\"");
            Encoder.Encode(target, PageText.Clean(value));
            target.Write('"');
        }
    }

    private void Close(string name)
    {
        target.Write("</");
        target.Write(name);
        target.Write('>');
        // A line break only where it cannot be seen.
        if (name is "section" or "div" or "table" or "thead" or "tbody" or "tr" or "figure" or "article" or "ul" or "ol" or "dl" or "p" or "h2" or "h3"
            or "header" or "footer" or "main" or "head" or "body" or "html" or "style" or "nav" or "details") target.Write('\n');
    }

    /// <summary>Closes the element it was opened for.</summary>
    public readonly ref struct Scope(HtmlWriter html, string name)
    {
        /// <summary>Closes the element.</summary>
        public void Dispose() => html.Close(name);
    }
}
