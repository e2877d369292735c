using System.Net;

namespace OilWatch.Console.Verbs;

/// <summary>Where <c>watch</c> shows its board, and to whom.</summary>
/// <param name="Port">The TCP port, 1 to 65535.</param>
/// <param name="Listen">The address to listen on; null for this machine alone.</param>
/// <param name="TokenFile">The file with the token, or null.</param>
internal sealed record BoardSettings(int Port, IPAddress? Listen, string? TokenFile)
{
    /// <summary>What was asked for, or null when no board was.</summary>
    /// <exception cref="UsageException">The options do not go together.</exception>
    public static BoardSettings? Of(int? port, string? listen, string? tokenFile)
    {
        if (port is not { } asked)
        {
            if ((listen ?? tokenFile) is null) return null;
            throw new UsageException($"{(listen is null ? "--board-token-file" : "--board-listen")} needs --board PORT; see 'oilwatch watch --help'");
        }
        if (asked is not (>= 1 and <= 65535)) throw new UsageException($"--board {asked}: a port from 1 to 65535 is allowed, such as 8440");
        IPAddress? address = null;
        if (listen is not null && !IPAddress.TryParse(listen, out address))
            throw new UsageException($"--board-listen {listen}: an address of this machine is needed, such as 192.168.4.2, or 0.0.0.0 for all of them");
        if (address is not null && !IPAddress.IsLoopback(address) && tokenFile is null)
            throw new UsageException("--board-listen needs --board-token-file FILE: whoever opens the board from another machine has to know the token in it; FILE is made if it is not there");
        return new BoardSettings(asked, address, tokenFile);
    }
}
