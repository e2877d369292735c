using System.Collections.Immutable;
using OilWatch.Channels;

namespace OilWatch.Reading;

/// <summary>NMEA 0183 sentences recorded beside a log: positions and speed over ground; gzip is unpacked.</summary>
/// <remarks>The core opens no files itself: the host says how.</remarks>
/// <param name="File">Where its bytes come from.</param>
public sealed record PositionSource(LogSource File)
{
    /// <summary>Log time of its first sentence that bears a time, s. Finite.</summary>
    public double StartS { get; init; }

    /// <summary>The roles that it fills: <see cref="Role.Latitude"/>, <see cref="Role.Longitude"/>, <see cref="Role.VehicleSpeed"/>; others are ignored.</summary>
    public ImmutableArray<Role> Fills { get; init; } = [Role.Latitude, Role.Longitude];
}
