using System.Buffers;
using System.Collections.Frozen;

namespace OilWatch.Reading.Can;

/// <summary>The words of the DBC format, and what is said about mistakes in it.</summary>
internal static class DbcWords
{
    /// <summary>The length of the longest word that begins a statement.</summary>
    public const int LongestStatement = 20;

    /// <summary>The longest name taken; editors allow 128 characters at most.</summary>
    public const int LongestName = 256;

    public const string NameTooLong = "a name has at most 256 characters";
    public const string UnknownStatement = "unknown statement, skipped; one begins with a word such as BO_, SG_, CM_ or VAL_";
    public const string UnclosedString = "a string is opened here and never closed; expected '\"' before the ';'";
    public const string MessageId = "expected the message id, a decimal number";
    public const string IdTooLarge = "a message id has 32 bits at most: 0 to 2047, or a 29-bit number plus 2147483648";
    public const string ExtendedBitMissing =
        "the id is more than a standard one can be (2047) and lacks bit 31 of an extended one (plus 2147483648); taken as extended";
    public const string MessageName = "expected the message name after its id";
    public const string ColonAfterMessageName = "expected ':' after the message name";
    public const string MessageLength = "expected the message length in bytes, a decimal number";
    public const string LengthTooLarge = "a message has at most 1785 bytes (64 without a transport protocol)";
    public const string SignalWithoutMessage = "a signal before any message; SG_ lines follow the BO_ line of their message";
    public const string SignalName = "expected the signal name";
    public const string MultiplexMark = "expected M, m and a number, or m, a number and M, or ':' after the signal name";
    public const string ColonAfterSignalName = "expected ':' after the signal name";
    public const string StartBit = "expected the start bit, a decimal number";
    public const string BarAfterStartBit = "expected '|' between start bit and length";
    public const string BitLength = "expected the length in bits, 1 to 64";
    public const string AtSign = "expected '@' after the length";
    public const string ByteOrder = "expected the byte order: 1 (Intel) or 0 (Motorola)";
    public const string Sign = "expected '+' (unsigned) or '-' (signed)";
    public const string ScaleBracket = "expected '(' before scale and offset";
    public const string Scale = "expected the scale, a number with a decimal point";
    public const string CommaAfterScale = "expected ',' between scale and offset; decimals are written with a point";
    public const string Offset = "expected the offset, a number with a decimal point";
    public const string ScaleBracketEnd = "expected ')' after the offset; decimals are written with a point";
    public const string Minimum = "expected the smallest value, a number with a decimal point";
    public const string BarInRange = "expected '|' between smallest and largest value";
    public const string Maximum = "expected the largest value, a number with a decimal point";
    public const string RangeEnd = "expected ']' after the largest value";
    public const string Unit = "expected the unit in quotes (\"\" when there is none)";
    public const string StartBitTooLarge = "the start bit lies beyond the longest message (0 to 14279)";
    public const string BitsOutOfRange = "a signal has 1 to 64 bits; left out";
    public const string ScaleZero = "a scale of 0 makes every value the same; left out";
    public const string ValueType = "expected the value type: 0 (integer), 1 (32-bit float) or 2 (64-bit float)";
    public const string SwitchName = "expected the name of the multiplexer switch";
    public const string SwitchRange = "expected a range of switch values such as 0-3 (at most 1024 ranges)";
    public const string FrameFormat = "expected the frame format, a number or a quoted name";

    /// <summary>What the lines of the symbol list are made of.</summary>
    public static readonly SearchValues<char> SymbolCharacters =
        SearchValues.Create("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_");

    private static readonly FrozenSet<string> Statements = new[]
    {
        "VERSION", "NS_", "BS_", "BU_", "BO_", "SG_", "BO_TX_BU_", "EV_", "EV_DATA_", "ENVVAR_DATA_", "SGTYPE_", "SGTYPE_VAL_", "SIG_GROUP_",
        "CM_", "BA_DEF_", "BA_DEF_DEF_", "BA_", "BA_DEF_REL_", "BA_DEF_DEF_REL_", "BA_DEF_SGTYPE_", "BA_SGTYPE_", "BA_REL_", "BU_SG_REL_",
        "BU_EV_REL_", "BU_BO_REL_", "VAL_", "VAL_TABLE_", "SIG_TYPE_REF_", "SIG_VALTYPE_", "SIGTYPE_VALTYPE_", "SG_MUL_VAL_", "CAT_DEF_", "CAT_",
        "FILTER", "NS_DESC_",
    }.ToFrozenSet(StringComparer.Ordinal);

    private static readonly FrozenSet<string>.AlternateLookup<ReadOnlySpan<char>> StatementLookup =
        Statements.GetAlternateLookup<ReadOnlySpan<char>>();

    /// <summary>True for a word that begins a statement.</summary>
    public static bool IsStatement(ReadOnlySpan<char> word) => StatementLookup.Contains(word);

    public static string SameId(CanId id, string name) => $"id {id} already belongs to message '{name}'; this one is left out";

    public static string SameSignal(string name) => $"signal '{name}' appears twice in this message; the second one is left out";

    public static string SecondSwitch(string name) =>
        $"a second multiplexer switch in one message; signals follow '{name}' where SG_MUL_VAL_ does not say otherwise";

    public static string BeyondMessage(string signal, int needed, CanMessage message) => FormattableString.Invariant(
        $"signal '{signal}' reaches into byte {needed} but message '{message.Name}' has {message.Length}; it is absent from shorter frames");

    public static string NoSuchSignal(CanMessage message) => $"message '{message.Name}' has no such signal";

    public static string WrongFloatLength(string signal, int bits, int right) => FormattableString.Invariant(
        $"signal '{signal}' has {bits} bits but a floating-point number of this type has {right}; the signal is left out");

    public static string NoSwitch(string signal, string message) =>
        $"signal '{signal}' of message '{message}' is multiplexed but its switch (a signal marked M, or named in SG_MUL_VAL_) cannot be found; left out";

    public static string TooMany(int messages, int signals) => FormattableString.Invariant(
        $"more than {messages} messages or {signals} signals; the rest is left out");
}
