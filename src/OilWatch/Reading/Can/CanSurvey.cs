using System.Globalization;
using System.Text;

namespace OilWatch.Reading.Can;

/// <summary>What the beginning of a log holds: ids, interfaces, diagnostic answers, stamps. Bounded whatever comes.</summary>
internal sealed class CanSurvey
{
    private const int MaxIds = 8_192;
    private const int MaxInterfaces = 32;
    private const int MaxStamps = 4_096;
    private const int MaxResponders = 256;
    private const int MaxIdsShown = 12;

    private readonly Dictionary<(uint Id, ulong Interface), long> _counts = [];
    private readonly Dictionary<uint, long> _frames = [];
    private readonly List<(ulong Key, string Name)> _interfaces = [];
    private readonly SortedDictionary<uint, HashSet<byte>> _responders = [];
    private readonly List<long> _stamps = [];

    /// <summary>True when the log ends within what was surveyed.</summary>
    public bool IsWhole { get; set; }

    /// <summary>Data frames, each id's number with its extended flag.</summary>
    public IReadOnlyDictionary<uint, long> Frames => _frames;

    /// <summary>The interfaces in the order in which they first came.</summary>
    public IReadOnlyList<(ulong Key, string Name)> Interfaces => _interfaces;

    /// <summary>The ids that answered SAE J1979 requests, lowest first, with the parameters they gave.</summary>
    public IReadOnlyDictionary<uint, HashSet<byte>> Responders => _responders;

    /// <summary>The first time stamps, ns.</summary>
    public IReadOnlyList<long> Stamps => _stamps;

    /// <summary>A number for an interface's name: the name itself up to eight bytes, a hash of a longer one.</summary>
    public static ulong InterfaceKey(ReadOnlySpan<byte> name)
    {
        if (name.Length <= sizeof(ulong)) return SignalLayout.FirstEight(name);
        ulong hash = 14_695_981_039_346_656_037;                                 // FNV-1a
        foreach (byte b in name) hash = (hash ^ b) * 1_099_511_628_211;
        return hash | (1UL << 63);                                               // no name of ASCII has this bit
    }

    /// <summary>Takes note of an instant.</summary>
    public void AddStamp(long nanoseconds)
    {
        if (_stamps.Count < MaxStamps) _stamps.Add(nanoseconds);
    }

    /// <summary>Takes note of a data frame.</summary>
    public void Add(in CanFrame frame, ReadOnlySpan<byte> interfaceName)
    {
        ulong key = InterfaceKey(interfaceName);
        if (!_interfaces.Exists(known => known.Key == key) && _interfaces.Count < MaxInterfaces)
            _interfaces.Add((key, Printable(interfaceName)));
        uint id = frame.Id.Value;
        if (_frames.Count < MaxIds || _frames.ContainsKey(id)) _frames[id] = _frames.GetValueOrDefault(id) + 1;
        if (_counts.Count < 2 * MaxIds || _counts.ContainsKey((id, key))) _counts[(id, key)] = _counts.GetValueOrDefault((id, key)) + 1;
        if (DiagnosticParameters.IsAnswerId(frame.Id)) AddAnswer(id, DiagnosticParameters.Body(frame.Data));
    }

    /// <summary>How many frames of an id came on an interface.</summary>
    public long Count(uint id, ulong interfaceKey) => _counts.GetValueOrDefault((id, interfaceKey));

    /// <summary>The ids for a message to a person, the most frequent first: <c>123 (40 frames), 18FEEF00 (2 frames) and 3 more</c>.</summary>
    public string DescribeIds()
    {
        var text = new StringBuilder();
        foreach ((uint id, long count) in _frames.OrderByDescending(pair => pair.Value).ThenBy(pair => pair.Key).Take(MaxIdsShown))
        {
            text.Append(CultureInfo.InvariantCulture, $"{(text.Length > 0 ? ", " : "")}{new CanId(id)} ({count} frame{(count == 1 ? "" : "s")})");
        }
        if (_frames.Count > MaxIdsShown) text.Append(CultureInfo.InvariantCulture, $" and {_frames.Count - MaxIdsShown} more");
        return text.ToString();
    }

    private static string Printable(ReadOnlySpan<byte> name)
    {
        Span<char> text = stackalloc char[Math.Min(name.Length, 32)];
        for (int i = 0; i < text.Length; i++) text[i] = name[i] is > 0x20 and < 0x7F ? (char)name[i] : '·';
        return new string(text);
    }

    private void AddAnswer(uint id, ReadOnlySpan<byte> body)
    {
        while (!body.IsEmpty && DiagnosticParameters.Find(body[0]) is { } parameter && body.Length > parameter.Bytes)
        {
            if (!_responders.TryGetValue(id, out HashSet<byte>? pids))
            {
                if (_responders.Count >= MaxResponders) return;
                _responders.Add(id, pids = []);
            }
            pids.Add(parameter.Pid);
            body = body[(parameter.Bytes + 1)..];
        }
    }
}
