using System.Diagnostics.CodeAnalysis;
using System.Security.Cryptography;
using System.Text;

namespace OilWatch.Board;

/// <summary>What somebody has to know to see the board from another machine. Compared in constant time; never printed.</summary>
public sealed class AccessToken
{
    /// <summary>Characters at least.</summary>
    public const int Shortest = 16;

    /// <summary>Characters at most.</summary>
    public const int Longest = 256;

    // Without letters and figures that are taken for each other: it is typed on a phone, with cold hands.
    private const string Letters = "abcdefghjkmnpqrstuvwxyz23456789";
    private const int GroupLength = 5;
    private const int Groups = 5;                            // 25 of 31 letters: 123 bits

    private readonly byte[] _digest;

    private AccessToken(byte[] text)
    {
        _digest = SHA256.HashData(text);
        Ticket = Convert.ToHexStringLower(HMACSHA256.HashData(text, "oilwatch pit board, signed in"u8));
    }

    /// <summary>What a browser keeps in the place of the token once it has signed in; the token cannot be had from it.</summary>
    internal string Ticket { get; }

    /// <summary>Makes a new token's text, at random.</summary>
    public static string NewText() =>
        string.Join('-', Enumerable.Range(0, Groups).Select(_ => RandomNumberGenerator.GetString(Letters, GroupLength)));

    /// <summary>Takes a token's text, without the white space around it.</summary>
    /// <param name="text">The text, <see cref="Shortest"/> to <see cref="Longest"/> visible ASCII characters.</param>
    /// <param name="token">The token.</param>
    /// <returns>False when the text is too short, too long or holds anything else.</returns>
    public static bool TryParse(string text, [NotNullWhen(true)] out AccessToken? token)
    {
        ArgumentNullException.ThrowIfNull(text);
        string trimmed = text.Trim();
        bool fits = trimmed.Length is >= Shortest and <= Longest && !trimmed.AsSpan().ContainsAnyExceptInRange('!', '~');
        token = fits ? new AccessToken(Encoding.ASCII.GetBytes(trimmed)) : null;
        return fits;
    }

    /// <summary>True when this is the token, in a time that does not depend on how much of it is right.</summary>
    internal bool Matches(string offered) => CryptographicOperations.FixedTimeEquals(SHA256.HashData(Encoding.UTF8.GetBytes(offered.Trim())), _digest);

    /// <summary>True when this is the ticket of somebody who has signed in.</summary>
    internal bool MatchesTicket(string offered) =>
        CryptographicOperations.FixedTimeEquals(Encoding.UTF8.GetBytes(offered), Encoding.UTF8.GetBytes(Ticket));
}
