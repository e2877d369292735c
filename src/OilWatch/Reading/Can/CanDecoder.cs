using System.Runtime.CompilerServices;

namespace OilWatch.Reading.Can;

/// <summary>Gives the values of selected channels from frames. Built once a pass; decoding allocates nothing.</summary>
internal sealed class CanDecoder
{
    /// <summary>What <see cref="Find"/> gives for a frame that no selected channel wants.</summary>
    public const int Unwanted = -1;

    private const int CacheSize = 1024;                                          // a power of two

    private readonly CanCatalog _catalog;
    private readonly int[] _standard = new int[CanId.StandardMask + 1];
    private readonly (uint Id, int Plan)[] _cache = new (uint, int)[CacheSize];
    private readonly Dictionary<uint, int> _whole = [];
    private readonly Dictionary<uint, List<(int Source, int Plan)>> _groups = [];
    private readonly List<Plan> _building = [];
    private readonly Plan[] _plans;
    private readonly int _anyResponder = Unwanted;

    /// <summary>Prepares for some channels of a catalog.</summary>
    /// <param name="catalog">Where each channel comes from.</param>
    /// <param name="selected">Indices of its channels.</param>
    public CanDecoder(CanCatalog catalog, IReadOnlyCollection<int> selected)
    {
        _catalog = catalog;
        Array.Fill(_standard, Unwanted);
        Array.Fill(_cache, (uint.MaxValue, Unwanted));
        foreach (IGrouping<MatchRule?, int> message in selected.Order().Distinct().Where(Exists).GroupBy(index => catalog.Sources[index].Rule))
        {
            if (message.Key is { } rule) AddMessage(rule, message);
            else AddDiagnostics(message, ref _anyResponder);
        }
        _plans = [.. _building];
    }

    /// <summary>The messages that some frames were too short for, with how many frames that were.</summary>
    public IEnumerable<(CanMessage Message, CanSignal Signal, int Length, long Record, long Count)> ShortFrames =>
        from plan in _plans
        where plan.ShortCount > 0
        select (plan.Rule!.Message, plan.ShortSignal!, plan.ShortLength, plan.ShortRecord, plan.ShortCount);

    /// <summary>The plan for an id, to be given to <see cref="Decode"/>, or <see cref="Unwanted"/>.</summary>
    /// <param name="id">Without remote and error flag.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public int Find(CanId id)
    {
        if (!id.IsExtended) return _standard[id.Value & CanId.StandardMask];
        (uint cached, int plan) = _cache[Slot(id.Value)];
        return cached == id.Value ? plan : FindUncached(id);
    }

    /// <summary>The only interface a plan takes frames from, as <see cref="CanSurvey.InterfaceKey"/> gives it; 0 for any.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public ulong InterfaceOf(int plan) => _plans[plan].Interface;

    /// <summary>Gives the values in a frame to a sink, and ends the record if there were any.</summary>
    /// <param name="plan">What <see cref="Find"/> gave for the frame's id.</param>
    /// <param name="at">When.</param>
    /// <param name="firstEight">The first eight data bytes, the first one least significant; anything behind the frame's end.</param>
    /// <param name="length">How many data bytes the frame has.</param>
    /// <param name="data">All of them; needed for frames of more than eight only.</param>
    /// <param name="record">The frame's line, for messages.</param>
    /// <param name="sink">Takes the values.</param>
    public void Decode(int plan, LogTime at, ulong firstEight, int length, ReadOnlySpan<byte> data, long record, IReadingSink sink)
    {
        Plan work = _plans[plan];
        if (work.Parameters.Length > 0)
        {
            if (length <= CanFrame.ClassicBytes) DecodeAnswer(work, at, firstEight, length, sink);
            return;
        }
        bool any = false;
        foreach (ref readonly SignalWork slot in work.Slots.AsSpan())
        {
            if (slot.Conditions.Length > 0 && !Holds(slot.Conditions, firstEight, length, data)) continue;
            if (slot.Layout.RequiredBytes > length)
            {
                work.NoteShort(slot.Signal, length, record);
                continue;
            }
            ulong raw = slot.Layout.IsWide ? slot.Layout.Raw(data) : slot.Layout.Raw(firstEight);
            double value = raw > slot.LargestRaw ? double.NaN : (slot.Layout.Number(raw) * slot.Scale) + slot.Offset;
            sink.Add(at, slot.Channel, double.IsFinite(value) ? value : double.NaN);
            any = true;
        }
        if (any) sink.EndRecord(at);
    }

    private bool Exists(int channel) => (uint)channel < (uint)_catalog.Sources.Length;

    private void AddMessage(MatchRule rule, IEnumerable<int> channels)
    {
        int plan = _building.Count;
        _building.Add(new Plan
        {
            Rule = rule,
            Interface = rule.Interface,
            Slots = [.. channels.Select(channel => NewSlot(channel, _catalog.Sources[channel].Signal!))],
        });
        CanId id = rule.Message.Id;
        if (!rule.ByGroup && !id.IsExtended) _standard[id.Number] = plan;
        else if (!rule.ByGroup) _whole[id.Value] = plan;
        else if (_groups.TryGetValue(id.ParameterGroup, out List<(int, int)>? sources)) sources.Add((rule.Source, plan));
        else _groups.Add(id.ParameterGroup, [(rule.Source, plan)]);
    }

    private void AddDiagnostics(IEnumerable<int> channels, ref int anyResponder)
    {
        foreach (IGrouping<uint, int> responder in channels.GroupBy(channel => _catalog.Sources[channel].Responder))
        {
            int plan = _building.Count;
            _building.Add(new Plan { Parameters = [.. responder.Select(channel => (_catalog.Sources[channel].Parameter!, channel))] });
            var id = new CanId(responder.Key);
            if (id.Value == 0) anyResponder = plan;
            else if (id.IsExtended) _whole[id.Value] = plan;
            else _standard[id.Number] = plan;
        }
        if (anyResponder < 0) return;
        for (uint id = 0x7E8; id <= 0x7EF; id++) if (_standard[id] == Unwanted) _standard[id] = anyResponder;
    }

    private static SignalWork NewSlot(int channel, CanSignal signal)
    {
        var conditions = new List<Condition>();
        for (CanSignal child = signal; child.SwitchValues.Length > 0 && child.Switch is { } above; child = above)
            conditions.Add(new Condition(above.Layout, child.SwitchValues));
        return new SignalWork
        {
            Layout = signal.Layout,
            Signal = signal,
            Scale = signal.Scale,
            Offset = signal.Offset,
            LargestRaw = signal.LargestRaw,
            Channel = channel,
            Conditions = [.. conditions],
        };
    }

    private int FindUncached(CanId id)
    {
        if (!_whole.TryGetValue(id.Value, out int plan))
        {
            plan = Unwanted;
            foreach ((int source, int candidate) in _groups.GetValueOrDefault(id.ParameterGroup) ?? [])
                if (source == id.SourceAddress || (source < 0 && plan == Unwanted)) plan = candidate;
            if (plan == Unwanted && DiagnosticParameters.IsAnswerId(id)) plan = _anyResponder;
        }
        _cache[Slot(id.Value)] = (id.Value, plan);
        return plan;
    }

    private static bool Holds(Condition[] conditions, ulong firstEight, int length, ReadOnlySpan<byte> data)
    {
        foreach (Condition condition in conditions)
        {
            if (condition.Switch.RequiredBytes > length) return false;
            ulong value = condition.Switch.IsWide ? condition.Switch.Raw(data) : condition.Switch.Raw(firstEight);
            if (!Contains(condition.Values, value)) return false;
        }
        return true;
    }

    private static bool Contains((ulong From, ulong To)[] ranges, ulong value)
    {
        foreach ((ulong from, ulong to) in ranges) if (value >= from && value <= to) return true;
        return false;
    }

    private static void DecodeAnswer(Plan work, LogTime at, ulong firstEight, int length, IReadingSink sink)
    {
        Span<byte> data = stackalloc byte[sizeof(ulong)];
        System.Buffers.Binary.BinaryPrimitives.WriteUInt64LittleEndian(data, firstEight);
        ReadOnlySpan<byte> body = DiagnosticParameters.Body(data[..length]);
        bool any = false;
        while (!body.IsEmpty && DiagnosticParameters.Find(body[0]) is { } parameter && body.Length > parameter.Bytes)
        {
            int raw = parameter.Bytes == 1 ? body[1] : (body[1] << 8) | body[2];
            foreach ((DiagnosticParameter wanted, int channel) in work.Parameters)
            {
                if (wanted.Pid != parameter.Pid) continue;
                sink.Add(at, channel, (raw * parameter.Scale) + parameter.Offset);
                any = true;
            }
            body = body[(parameter.Bytes + 1)..];
        }
        if (any) sink.EndRecord(at);
    }

    /// <summary>A place in the cache; the multiplier is 2³² over the golden ratio, so that near ids spread out.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static int Slot(uint id) => (int)((id * 2_654_435_769u) >> 22);

    private readonly record struct Condition(SignalLayout Switch, (ulong From, ulong To)[] Values);

    private struct SignalWork
    {
        public SignalLayout Layout;
        public CanSignal Signal;
        public double Scale;
        public double Offset;
        public ulong LargestRaw;
        public int Channel;
        public Condition[] Conditions;
    }

    /// <summary>What is wanted from the frames of one message or responder.</summary>
    private sealed class Plan
    {
        public MatchRule? Rule { get; init; }

        public ulong Interface { get; init; }

        public SignalWork[] Slots { get; init; } = [];

        public (DiagnosticParameter Parameter, int Channel)[] Parameters { get; init; } = [];

        private long _lastShortRecord = -1;

        public long ShortCount { get; private set; }

        public long ShortRecord { get; private set; }

        public int ShortLength { get; private set; }

        public CanSignal? ShortSignal { get; private set; }

        /// <summary>Counts each frame once, however many signals it lacks.</summary>
        public void NoteShort(CanSignal signal, int length, long record)
        {
            if (_lastShortRecord == record) return;
            _lastShortRecord = record;
            if (ShortCount++ > 0) return;
            (ShortSignal, ShortLength, ShortRecord) = (signal, length, record);
        }
    }
}
