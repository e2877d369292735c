using System.Net;
using OilWatch.Live;
using OilWatch.Report;

namespace OilWatch.Board;

/// <summary>Where a board is shown, to whom, and how.</summary>
public sealed record BoardOptions
{
    /// <summary>The TCP port, 1 to 65535; 0 for any that is free.</summary>
    public required int Port { get; init; }

    /// <summary>The address to listen on; null for this machine alone.</summary>
    public IPAddress? Listen { get; init; }

    /// <summary>Who is let in; null for everybody, which only a board for this machine alone may do.</summary>
    public AccessToken? Token { get; init; }

    /// <summary>What the car is called, or null.</summary>
    public string? CarName { get; init; }

    /// <summary>Units of pressures and temperatures.</summary>
    public ReportUnits Units { get; init; } = ReportUnits.Si;

    /// <summary>Pages that may look on at the same time, 1 or more. Default 32.</summary>
    public int MostReaders { get; init; } = 32;

    /// <summary>A page that takes nothing for so long is cut off. Default 10 s.</summary>
    public TimeSpan Patience { get; init; } = TimeSpan.FromSeconds(10);

    /// <summary>Told what happens to the board; null when nobody asks. Never told a token.</summary>
    public Action<LiveNotice>? Said { get; init; }

    /// <summary>The clock by which silence is measured.</summary>
    public TimeProvider Time { get; init; } = TimeProvider.System;

    /// <summary>Every problem at once, a sentence each; empty when usable.</summary>
    public IEnumerable<string> Problems()
    {
        if (Port is not (>= 0 and <= 65535)) yield return $"port {Port}: 0 to 65535 is allowed";
        if (MostReaders < 1) yield return $"{MostReaders} readers: 1 or more is allowed";
        if (Patience <= TimeSpan.Zero) yield return "patience must be longer than nothing";
        if (Listen is { } address && !IPAddress.IsLoopback(address) && Token is null)
            yield return $"{address} can be reached by other machines: a token is needed";
    }
}
