using System.Text;

namespace OilWatch.Report.Markup;

/// <summary>What every page has around its content.</summary>
internal static class PageShell
{
    /// <summary>Writes a whole page, UTF-8 without byte-order mark.</summary>
    /// <param name="target">Where to; neither flushed to disk nor closed.</param>
    /// <param name="title">The page's title.</param>
    /// <param name="body">Writes what is between the tags of the body.</param>
    public static void Write(Stream target, string title, Action<HtmlWriter> body)
    {
        using var text = new StreamWriter(target, new UTF8Encoding(encoderShouldEmitUTF8Identifier: false), bufferSize: 1 << 14, leaveOpen: true) { NewLine = "\n" };
        var html = new HtmlWriter(text);
        html.Doctype();
        using (html.Open("html", ("lang", "en")))
        {
            using (html.Open("head"))
            {
                html.Empty("meta", ("charset", "utf-8"));
                html.Leaf("title", title);
                html.Empty("meta", ("name", "viewport"), ("content", "width=device-width, initial-scale=1"));
                // Nothing is fetched and nothing runs, whatever a name in a log may hold.
                html.Empty("meta", ("http-equiv", "Content-Security-Policy"), ("content", "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"));
                html.Empty("meta", ("name", "color-scheme"), ("content", "light dark"));
                html.Empty("link", ("rel", "icon"), ("href", "data:,"));
                html.Style();
            }
            using (html.Open("body")) body(html);
        }
    }
}
