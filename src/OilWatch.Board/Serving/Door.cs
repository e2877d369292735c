using System.Net;
using System.Net.Http.Headers;
using Microsoft.AspNetCore.Http;
using Microsoft.Net.Http.Headers;

namespace OilWatch.Board.Serving;

/// <summary>Who is let in: asked for by a name that is ours, by a page of our own, by somebody who knows the token.</summary>
internal sealed class Door(IPAddress? listen, AccessToken? token)
{
    private static readonly string Machine = Environment.MachineName;

    /// <summary>True when a token is asked for.</summary>
    public bool IsLocked => token is not null;

    /// <summary>True when the Host header names this machine, by address, and this port.</summary>
    /// <remarks>A page of anybody else's, whose name was made to lead here, gives itself away by that name.</remarks>
    public bool IsOurHost(HttpContext context)
    {
        HostString host = context.Request.Host;
        if (!host.HasValue || (host.Port ?? 80) != context.Connection.LocalPort) return false;
        IPAddress? here = Plain(context.Connection.LocalIpAddress);
        if (here is null) return false;
        if (IPAddress.TryParse(host.Host.AsSpan().Trim("[]"), out IPAddress? named))
            return IsCanonical(host.Host, named) && (named.Equals(here) || (IPAddress.IsLoopback(here) && IPAddress.IsLoopback(named) && !named.IsIPv4MappedToIPv6));
        if (IPAddress.IsLoopback(here) && Is(host.Host, "localhost")) return true;
        return listen is not null && !IPAddress.IsLoopback(listen) && (Is(host.Host, Machine) || Is(host.Host, Machine + ".local"));
    }

    /// <summary>True unless a browser says that a page of somebody else's asks.</summary>
    /// <param name="context">The request.</param>
    /// <param name="mustSay">True when the request changes something: it has to say that one of our own pages asks.</param>
    public static bool IsOurPage(HttpContext context, bool mustSay)
    {
        IHeaderDictionary headers = context.Request.Headers;
        if (headers.TryGetValue(HeaderNames.Origin, out var origin))
        {
            if (origin.Count != 1 || !Is(origin[0]!, "http://" + context.Request.Host.Value)) return false;
        }
        else if (mustSay)
        {
            return false;
        }
        string site = headers["Sec-Fetch-Site"].ToString();
        if (site is "" or "same-origin" or "none") return true;
        // A link on somebody else's page may lead to the board; the page gets nothing of it, and cannot frame it.
        return HttpMethods.IsGet(context.Request.Method) && context.Request.Path == "/"
            && headers["Sec-Fetch-Mode"] == "navigate" && headers["Sec-Fetch-Dest"] == "document";
    }

    /// <summary>True when the token, or the ticket that was given for it, comes with the request.</summary>
    public bool Knows(HttpContext context)
    {
        if (token is null) return true;
        if (AuthenticationHeaderValue.TryParse(context.Request.Headers.Authorization.ToString(), out AuthenticationHeaderValue? given)
            && Is(given.Scheme, "Bearer") && given.Parameter is { } offered)
            return token.Matches(offered);
        return context.Request.Cookies.TryGetValue(CookieName(context), out string? ticket) && token.MatchesTicket(ticket);
    }

    /// <summary>Lets somebody in who knows the token, and gives a browser the ticket to come back with.</summary>
    public bool SignIn(HttpContext context, string offered)
    {
        if (token?.Matches(offered) != true) return false;
        context.Response.Cookies.Append(CookieName(context), token.Ticket, new CookieOptions
        {
            HttpOnly = true,
            SameSite = Microsoft.AspNetCore.Http.SameSiteMode.Strict,
            Path = "/",
            MaxAge = TimeSpan.FromHours(16),                     // a day at the track
        });
        return true;
    }

    // Cookies do not tell ports apart: two boards on one machine must not take each other's.
    private static string CookieName(HttpContext context) => FormattableString.Invariant($"oilwatch-board-{context.Connection.LocalPort}");

    private static IPAddress? Plain(IPAddress? address) => address is { IsIPv4MappedToIPv6: true } ? address.MapToIPv4() : address;

    /// <summary>Browsers write an address in one way only; 0x7f.1 is none of theirs.</summary>
    private static bool IsCanonical(string text, IPAddress address) => Is(text.Trim('[', ']'), address.ToString());

    private static bool Is(string one, string other) => string.Equals(one, other, StringComparison.OrdinalIgnoreCase);
}
