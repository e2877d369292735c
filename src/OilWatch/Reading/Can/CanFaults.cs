namespace OilWatch.Reading.Can;

/// <summary>What is said about a damaged line of a CAN text log: what would be right at the spot shown.</summary>
internal static class CanFaults
{
    public const string Seconds = "expected the seconds of the time stamp after '('";
    public const string SecondsTooLarge = "a time stamp has at most 9000000000 seconds";
    public const string Decimals = "expected '.' and 1 to 9 decimals in the time stamp";
    public const string StampEnd = "expected ')' and a blank after the time stamp";
    public const string Date = "expected a date and time such as 2015-07-10 08:44:12.249713";
    public const string NoStamp = "expected a time stamp such as (1436509052.249713) at the start of the line";
    public const string Interface = "expected the interface, such as can0, and a frame, such as 123#DEADBEEF";
    public const string IdDigits = "an id has 3 (standard) or 8 (extended) hexadecimal digits";
    public const string StandardId = "a standard id is 000 to 7FF; an extended one has 8 digits";
    public const string ExtendedId = "an extended id is 00000000 to 1FFFFFFF (20000000 and more: an error frame)";
    public const string Hash = "expected '#' after the id";
    public const string TooManyClassic = "a classic frame has at most 8 data bytes; an FD frame is written with ##";
    public const string TooManyFlexible = "an FD frame has at most 64 data bytes";
    public const string FlexibleFlags = "expected one hexadecimal digit of FD flags after '##'";
    public const string HalfByte = "a data byte has two hexadecimal digits";
    public const string RemoteLength = "a remote frame asks for 0 to 8 bytes";
    public const string RemoteError = "an error frame is never a remote frame; expected data bytes";
    public const string RawLength = "a raw length code, _9 to _F, follows eight bytes only";
    public const string Trailing = "expected the end of the line here";
    public const string ScreenLength = "expected '#' and data after the id, or the length as in [8]";
    public const string ScreenData = "expected as many data bytes of two hexadecimal digits as the length says";
    public const string TooLong = "the line is longer than 4096 bytes; a frame needs fewer than 200";

    public const string SlcanCommand = "expected t, T, r or R and a frame, such as t1232AABB";
    public const string SlcanShort = "the line ends too early: 3 (t, r) or 8 (T, R) hexadecimal digits of id and a length of 0 to 8 are expected";
    public const string SlcanLength = "expected a length of 0 to 8 here";
    public const string SlcanData = "expected two hexadecimal digits for each data byte, and at most a time stamp of four behind them";
    public const string SlcanErrorCount = "expected as many error letters as the digit says";
    public const string SlcanErrorLetter = "expected an error letter: a b B c f o O s";
    public const string SlcanNoStamp = "expected a time stamp of four hexadecimal digits at the end, as other lines have";
    public const string SlcanStamp = "a time stamp counts milliseconds from 0000 to EA5F";
}
