using System.Security.Cryptography;
using System.Text;
using OilWatch.Alerts;

namespace OilWatch.Board.Serving;

/// <summary>The two pages, each in one piece: nothing is fetched but events, and only the script and style that are in it may run.</summary>
internal sealed class BoardPages
{
    /// <summary>A page and the policy that goes with it.</summary>
    public sealed record Page(byte[] Html, string Policy);

    /// <summary>The board.</summary>
    public Page Board { get; } = Make("board.html", "board.js");

    /// <summary>The form for the token.</summary>
    public Page SignIn { get; } = Make("sign-in.html", "sign-in.js");

    private static Page Make(string html, string script)
    {
        string style = Text("board.css"), code = Text(script);
        string page = Text(html)
            .Replace("{{caution}}", string.Join(' ', Cautions.All), StringComparison.Ordinal)
            .Replace("{{style}}", style, StringComparison.Ordinal)
            .Replace("{{script}}", code, StringComparison.Ordinal);
        string policy = $"default-src 'none'; script-src '{Hash(code)}'; style-src '{Hash(style)}'; img-src data:; connect-src 'self'; base-uri 'none'; "
            + "form-action 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'; trusted-types 'none'";
        return new Page(Encoding.UTF8.GetBytes(page), policy);
    }

    private static string Hash(string text) => "sha256-" + Convert.ToBase64String(SHA256.HashData(Encoding.UTF8.GetBytes(text)));

    private static string Text(string name)
    {
        using Stream stream = typeof(BoardPages).Assembly.GetManifestResourceStream(name)!;
        using var reader = new StreamReader(stream, Encoding.UTF8);
        return reader.ReadToEnd().ReplaceLineEndings("\n");
    }
}
