using System.Globalization;

namespace OilWatch.Reading.Can;

/// <summary>Reads the text of a CAN database, keeps what can be used and says what cannot.</summary>
/// <remarks>
/// Used are BO_, SG_, SIG_VALTYPE_, SG_MUL_VAL_ and the attributes that mark SAE J1939; every other statement is stepped over.
/// One pass, no recursion; what is kept is bounded.
/// </remarks>
internal sealed class DbcParser(string file, string text)
{
    private const int MaxMessages = 65_536;
    private const int MaxSignals = 262_144;
    private const int MaxRanges = 1_024;           // of one multiplexed signal
    private const int MaxMessageBytes = 1785;      // SAE J1939-21 transport protocol
    private const int MaxNesting = 16;             // multiplexer switches above a signal
    private const uint NoMessageId = 0xC000_0000;  // VECTOR__INDEPENDENT_SIG_MSG: a place for signals that no message has

    private const string FormatAttribute = "VFrameFormat";
    private const string ProtocolAttribute = "ProtocolType";
    private const string GroupFormat = "J1939PG";
    private const int GroupFormatNumber = 3;       // its usual place in the enumeration

    private readonly DbcCursor _cursor = new(text);
    private readonly Dictionary<uint, MessageInWork> _byId = [];
    private readonly Dictionary<uint, bool> _groupById = [];
    private readonly List<string> _formats = [];
    private MessageInWork? _current;
    private bool _skipSignals;
    private int _signalCount;
    private bool? _groupByDefault;
    private bool _groupByProtocol;
    private bool _fullSaid;

    /// <summary>What was found.</summary>
    public List<CanMessage> Messages { get; } = [];

    /// <summary>The first problems.</summary>
    public List<ReadingProblem> Problems { get; } = [];

    /// <summary>All problems.</summary>
    public long ProblemCount { get; private set; }

    /// <summary>Reads all of the text.</summary>
    public void Run()
    {
        while (_cursor.SkipToStatement()) Statement();
        foreach (CanMessage message in Messages) Complete(message);
    }

    private void Statement()
    {
        int start = _cursor.At;
        string word = _cursor.Word().ToString();
        _cursor.IsOneLine = word is "BO_" or "SG_";
        switch (word)
        {
            case "BO_": Message(start); break;
            case "SG_": Signal(start); break;
            case "SIG_VALTYPE_": ValueType(); break;
            case "SG_MUL_VAL_": MultiplexValues(); break;
            case "BA_DEF_": AttributeDefinition(); break;
            case "BA_DEF_DEF_": AttributeDefault(); break;
            case "BA_": Attribute(); break;
            case "VERSION": _cursor.TryString(out _); break;
            case "NS_": _cursor.SkipSymbolList(); break;
            case "BU_" or "BS_": _cursor.SkipLine(); break;
            default:
                if (DbcWords.IsStatement(word)) _cursor.SkipStatement();
                else { Report(start, DbcWords.UnknownStatement); _cursor.SkipLine(); }
                break;
        }
        if (_cursor.Fault is not { } fault) return;
        Report(fault.At, fault.What);
        if (word is "BO_" or "SG_") _cursor.SkipLine(start);
        else _cursor.Recover();
    }

    private void Message(int start)
    {
        _current = null;
        _skipSignals = true;
        int idAt = _cursor.AtNext();
        ulong id = _cursor.Unsigned(DbcWords.MessageId);
        if (id > uint.MaxValue) _cursor.Fail(idAt, DbcWords.IdTooLarge);
        string name = _cursor.Name(DbcWords.MessageName);
        _cursor.Expect(':', DbcWords.ColonAfterMessageName);
        int lengthAt = _cursor.AtNext();
        ulong length = _cursor.Unsigned(DbcWords.MessageLength);
        if (length > MaxMessageBytes) _cursor.Fail(lengthAt, DbcWords.LengthTooLarge);
        _cursor.SkipLine();                                                  // the node that sends it
        if (_cursor.Fault is not null || id == NoMessageId || name is "VECTOR__INDEPENDENT_SIG_MSG") return;
        if (Messages.Count >= MaxMessages) { ReportFull(start); return; }

        var canId = new CanId((uint)id);
        if (!canId.IsExtended && id > CanId.StandardMask)
        {
            canId = new CanId((uint)id | CanId.ExtendedFlag);
            Report(idAt, DbcWords.ExtendedBitMissing);
        }
        canId = canId.IsExtended ? CanId.Extended(canId.Number) : CanId.Standard(canId.Number);
        if (_byId.TryGetValue(canId.Value, out MessageInWork? earlier))
        {
            Report(idAt, DbcWords.SameId(canId, earlier.Message.Name));
            return;
        }
        _current = new MessageInWork(new CanMessage(canId, name, (int)length));
        _skipSignals = false;
        _byId.Add(canId.Value, _current);
        Messages.Add(_current.Message);
    }

    private void Signal(int start)
    {
        if (_current is not { } current)
        {
            if (!_skipSignals) Report(start, DbcWords.SignalWithoutMessage);
            _cursor.SkipLine();
            return;
        }
        int nameAt = _cursor.AtNext();
        string name = _cursor.Name(DbcWords.SignalName);
        (bool isSwitch, ulong? switchValue) = Multiplexing();
        _cursor.Expect(':', DbcWords.ColonAfterSignalName);
        int startAt = _cursor.AtNext();
        ulong startBit = _cursor.Unsigned(DbcWords.StartBit);
        _cursor.Expect('|', DbcWords.BarAfterStartBit);
        int bitsAt = _cursor.AtNext();
        ulong bits = _cursor.Unsigned(DbcWords.BitLength);
        _cursor.Expect('@', DbcWords.AtSign);
        bool motorola = _cursor.OneOf('0', '1', DbcWords.ByteOrder) == '0';
        bool signed = _cursor.OneOf('-', '+', DbcWords.Sign) == '-';
        _cursor.Expect('(', DbcWords.ScaleBracket);
        int scaleAt = _cursor.AtNext();
        double scale = _cursor.Number(DbcWords.Scale);
        _cursor.Expect(',', DbcWords.CommaAfterScale);
        double offset = _cursor.Number(DbcWords.Offset);
        _cursor.Expect(')', DbcWords.ScaleBracketEnd);
        (double minimum, double maximum, string? unit) = RangeAndUnit();
        if (startBit > SignalLayout.MaxStartBit) _cursor.Fail(startAt, DbcWords.StartBitTooLarge);
        if (bits is < 1 or > 64) _cursor.Fail(bitsAt, DbcWords.BitsOutOfRange);
        if (scale == 0) _cursor.Fail(scaleAt, DbcWords.ScaleZero);
        if (current.ByName.ContainsKey(name)) _cursor.Fail(nameAt, DbcWords.SameSignal(name));
        _cursor.SkipLine();                                                  // the nodes that receive it
        if (_cursor.Fault is not null) return;

        if (_signalCount >= MaxSignals) { ReportFull(start); return; }
        var signal = new CanSignal(name, new SignalLayout((int)startBit, (int)bits, motorola, signed))
        {
            Scale = scale,
            Offset = offset,
            Minimum = minimum,
            Maximum = maximum,
            Unit = unit,
            IsSwitch = isSwitch,
        };
        current.ByName.Add(name, signal);
        if (current.Message.Length > 0 && signal.Layout.RequiredBytes > current.Message.Length)
            Report(startAt, DbcWords.BeyondMessage(name, signal.Layout.RequiredBytes, current.Message));
        current.Message.Signals.Add(signal);
        if (switchValue is { } value) signal.SwitchValues = [(value, value)];
        if (isSwitch && switchValue is null && current.Root is { } root) Report(nameAt, DbcWords.SecondSwitch(root.Name));
        if (isSwitch && switchValue is null) current.Root ??= signal;
        _signalCount++;
    }

    /// <summary><c>M</c>: a switch; <c>m3</c>: there when the switch is 3; <c>m3M</c>: both.</summary>
    private (bool IsSwitch, ulong? Value) Multiplexing()
    {
        int at = _cursor.AtNext();
        ReadOnlySpan<char> mark = _cursor.Word();
        if (mark.IsEmpty) return (false, null);
        if (mark is "M") return (true, null);
        bool both = mark[^1] == 'M';
        ReadOnlySpan<char> digits = mark[0] == 'm' ? mark[1..(both ? ^1 : ^0)] : [];
        if (!ulong.TryParse(digits, NumberStyles.None, CultureInfo.InvariantCulture, out ulong value)) _cursor.Fail(at, DbcWords.MultiplexMark);
        return (both, value);
    }

    private (double Minimum, double Maximum, string? Unit) RangeAndUnit()
    {
        double minimum = 0, maximum = 0;
        if (_cursor.TryTake('['))
        {
            minimum = _cursor.Number(DbcWords.Minimum);
            _cursor.Expect('|', DbcWords.BarInRange);
            maximum = _cursor.Number(DbcWords.Maximum);
            _cursor.Expect(']', DbcWords.RangeEnd);
        }
        int unitAt = _cursor.AtNext();
        if (!_cursor.TryString(out string unit)) _cursor.Fail(unitAt, DbcWords.Unit);
        unit = unit.Trim();
        return (minimum, maximum, unit.Length == 0 ? null : unit);
    }

    /// <summary><c>SIG_VALTYPE_ 258 Name : 1;</c></summary>
    private void ValueType()
    {
        (MessageInWork? message, CanSignal? signal, int nameAt) = SignalReference();
        _cursor.TryTake(':');
        int at = _cursor.AtNext();
        ulong form = _cursor.Unsigned(DbcWords.ValueType);
        if (form > 2) _cursor.Fail(at, DbcWords.ValueType);
        if (message is not null && signal is null) _cursor.Fail(nameAt, DbcWords.NoSuchSignal(message.Message));
        if (_cursor.Fault is null && signal is not null)
        {
            int bits = form switch { 1 => 32, 2 => 64, _ => signal.Layout.Bits };
            if (signal.Layout.Bits == bits)
            {
                signal.Layout = signal.Layout.As((CanNumberForm)form);
            }
            else
            {
                signal.IsUnusable = true;                                    // neither reading of its bits would be right
                _cursor.Fail(at, DbcWords.WrongFloatLength(signal.Name, signal.Layout.Bits, bits));
            }
        }
        _cursor.SkipStatement();
    }

    /// <summary><c>SG_MUL_VAL_ 260 Name Switch 0-2, 5-5;</c></summary>
    private void MultiplexValues()
    {
        (MessageInWork? message, CanSignal? signal, int nameAt) = SignalReference();
        int switchAt = _cursor.AtNext();
        string switchName = _cursor.Name(DbcWords.SwitchName);
        var ranges = new List<(ulong From, ulong To)>();
        do
        {
            int at = _cursor.AtNext();
            ulong from = _cursor.Unsigned(DbcWords.SwitchRange);
            _cursor.Expect('-', DbcWords.SwitchRange);
            ulong to = _cursor.Unsigned(DbcWords.SwitchRange);
            if (to < from || ranges.Count == MaxRanges) _cursor.Fail(at, DbcWords.SwitchRange);
            ranges.Add((from, to));
        }
        while (_cursor.TryTake(','));
        if (message is not null)
        {
            if (signal is null) _cursor.Fail(nameAt, DbcWords.NoSuchSignal(message.Message));
            if (!message.ByName.TryGetValue(switchName, out CanSignal? by) || by == signal)
                _cursor.Fail(switchAt, DbcWords.NoSuchSignal(message.Message));
            if (_cursor.Fault is null && signal is not null)
            {
                signal.Switch = by;
                signal.SwitchValues = [.. ranges];
            }
        }
        _cursor.SkipStatement();
    }

    private (MessageInWork? Message, CanSignal? Signal, int NameAt) SignalReference()
    {
        ulong id = _cursor.Unsigned(DbcWords.MessageId);
        int nameAt = _cursor.AtNext();
        string name = _cursor.Name(DbcWords.SignalName);
        MessageInWork? message = Find(id);
        CanSignal? signal = null;
        message?.ByName.TryGetValue(name, out signal);
        return (message, signal, nameAt);
    }

    /// <summary>The message of an id as a statement writes it: bit 31 may be missing there too.</summary>
    private MessageInWork? Find(ulong id)
    {
        if (id > uint.MaxValue) return null;
        return _byId.GetValueOrDefault((uint)id) ??
            (id > CanId.StandardMask ? _byId.GetValueOrDefault((uint)id | CanId.ExtendedFlag) : null);
    }

    /// <summary><c>BA_DEF_ BO_ "VFrameFormat" ENUM "StandardCAN","ExtendedCAN","reserved","J1939PG";</c></summary>
    private void AttributeDefinition()
    {
        _cursor.Word();
        if (_cursor.TryString(out string name) && name is FormatAttribute && _cursor.Word() is "ENUM")
        {
            _formats.Clear();
            while (_formats.Count < 64 && _cursor.TryString(out string value))
            {
                _formats.Add(value);
                if (!_cursor.TryTake(',')) break;
            }
        }
        _cursor.SkipStatement();
    }

    /// <summary><c>BA_DEF_DEF_ "VFrameFormat" "J1939PG";</c></summary>
    private void AttributeDefault()
    {
        if (_cursor.TryString(out string name))
        {
            if (name is FormatAttribute) _groupByDefault = IsGroupFormat();
            if (name is ProtocolAttribute && _cursor.TryString(out string value)) _groupByProtocol = value is "J1939";
        }
        _cursor.SkipStatement();
    }

    /// <summary><c>BA_ "VFrameFormat" BO_ 2364540158 3;</c> or <c>BA_ "ProtocolType" "J1939";</c></summary>
    private void Attribute()
    {
        if (_cursor.TryString(out string name))
        {
            if (name is FormatAttribute && _cursor.Word() is "BO_")
            {
                ulong id = _cursor.Unsigned(DbcWords.MessageId);
                if (Find(id) is { } message) _groupById[message.Message.Id.Value] = IsGroupFormat();
            }
            if (name is ProtocolAttribute && _cursor.TryString(out string value)) _groupByProtocol = value is "J1939";
        }
        _cursor.SkipStatement();
    }

    private bool IsGroupFormat()
    {
        if (_cursor.TryString(out string named)) return named is GroupFormat;
        ulong number = _cursor.Unsigned(DbcWords.FrameFormat);
        if (_formats.Count == 0) return number == GroupFormatNumber;
        return number < (ulong)_formats.Count && _formats[(int)number] is GroupFormat;
    }

    /// <summary>What can be said of a message only when the whole file has been read.</summary>
    private void Complete(CanMessage message)
    {
        MessageInWork work = _byId[message.Id.Value];
        message.IsParameterGroup = message.Id.IsExtended &&
            (_groupById.TryGetValue(message.Id.Value, out bool said) ? said : _groupByProtocol || (_groupByDefault ?? false));
        foreach (CanSignal signal in message.Signals)
        {
            if (signal.SwitchValues.Length > 0) signal.Switch ??= work.Root == signal ? null : work.Root;
            if (message.IsParameterGroup) signal.LargestRaw = ParameterGroups.LargestRaw(signal);
        }
        message.Signals.RemoveAll(signal => signal.IsUnusable || !IsReachable(message, signal));
    }

    /// <summary>False, with a report, for a multiplexed signal whose chain of switches is broken or goes round.</summary>
    private bool IsReachable(CanMessage message, CanSignal signal)
    {
        CanSignal? above = signal;
        for (int depth = 0; depth < MaxNesting; depth++)
        {
            if (above.SwitchValues.Length == 0) return true;
            above = above.Switch;
            if (above is null) break;
        }
        Add(new ReadingProblem(file, 0, 0, DbcWords.NoSwitch(signal.Name, message.Name)));
        return false;
    }

    private void ReportFull(int at)
    {
        if (!_fullSaid) Report(at, DbcWords.TooMany(MaxMessages, MaxSignals));
        _fullSaid = true;
    }

    private void Report(int at, string what)
    {
        ProblemCount++;
        if (Problems.Count >= CanDatabase.MaxProblemsKept) return;
        (long line, int column) = _cursor.Place(at);
        Problems.Add(new ReadingProblem(file, line, column, $"{what}: {Excerpt.Of(text, at)}"));
    }

    private void Add(ReadingProblem problem)
    {
        ProblemCount++;
        if (Problems.Count < CanDatabase.MaxProblemsKept) Problems.Add(problem);
    }

    private sealed class MessageInWork(CanMessage message)
    {
        public CanMessage Message { get; } = message;

        public Dictionary<string, CanSignal> ByName { get; } = new(StringComparer.Ordinal);

        /// <summary>The switch of simple multiplexing.</summary>
        public CanSignal? Root { get; set; }
    }
}
