namespace OilWatch.Reading.Can;

/// <summary>Reads any line of a CAN text log. Never throws, allocates nothing.</summary>
internal ref struct CandumpParser
{
    private const long MaxSeconds = 9_000_000_000; // ten digits whose nanoseconds still fit 63 bits

    private readonly ReadOnlySpan<byte> _line;
    private readonly Span<byte> _data;
    private int _at;
    private CanLine _result;

    private CandumpParser(ReadOnlySpan<byte> line, Span<byte> data)
    {
        _line = line;
        _data = data;
    }

    /// <summary>Reads a line.</summary>
    /// <param name="line">The line without its line feed.</param>
    /// <param name="data">At least <see cref="CanFrame.MaxBytes"/>; takes the data bytes.</param>
    public static CanLine Parse(ReadOnlySpan<byte> line, Span<byte> data)
    {
        int end = line.Length;
        while (end > 0 && line[end - 1] is (byte)' ' or (byte)'\t' or (byte)'\r') end--;
        var parser = new CandumpParser(line[..end], data);
        parser.Line();
        if (parser._result.Fault is not null) parser._result.Kind = CanLineKind.Damaged;
        return parser._result;
    }

    private void Line()
    {
        if (IsComment()) { _result.Kind = CanLineKind.Comment; return; }
        SkipBlanks();
        // candump.c writes this into its log when the socket dropped frames.
        if (_line[_at..].StartsWith("DROPCOUNT:"u8)) { _result.Kind = CanLineKind.Notice; return; }
        if (_line[_at] == '(' && !Stamp()) return;
        SkipBlanks();
        _result.InterfaceAt = _at;
        while (_at < _line.Length && _line[_at] > ' ') _at++;
        _result.InterfaceLength = _at - _result.InterfaceAt;
        if (_result.InterfaceLength == 0) { Fail(_at, CanFaults.Interface); return; }
        SkipBlanks();
        ReadOnlySpan<byte> token = _line[_at..];
        int blank = token.IndexOfAny((byte)' ', (byte)'\t');
        if ((blank < 0 ? token : token[..blank]).Contains((byte)'#')) LogForm();
        else ScreenForm();
    }

    private readonly bool IsComment()
    {
        ReadOnlySpan<byte> text = _line.TrimStart(" \t"u8);
        if (text.IsEmpty || text[0] is (byte)'#' or (byte)';' || text.StartsWith("//"u8)) return true;
        // The screen form explains an error frame on indented lines of words below it.
        return _line[0] == '\t' && char.IsAsciiLetterLower((char)text[0]);
    }

    private bool Stamp()
    {
        _at++;
        int start = _at;
        long seconds = Digits(out int digits);
        if (digits == 4 && Next == '-') return DatedStamp(start);
        if (digits == 0) return Fail(_at, CanFaults.Seconds);
        if (digits > 10 || seconds > MaxSeconds) return Fail(start, CanFaults.SecondsTooLarge);
        return Fraction(seconds);
    }

    /// <summary><c>2015-07-10 08:44:12.249713</c>: taken as it stands, without any time zone, since only differences matter.</summary>
    private bool DatedStamp(int start)
    {
        _at = start;
        long year = Field('-', 1970, 2200), month = Field('-', 1, 12), day = Field(' ', 1, 31);
        long hour = Field(':', 0, 23), minute = Field(':', 0, 59);
        if (_result.Fault is not null) return false;
        int secondAt = _at;
        long second = Digits(out int digits);
        if (digits != 2 || second > 60) return Fail(secondAt, CanFaults.Date);
        if (day > DateTime.DaysInMonth((int)year, (int)month)) return Fail(start, CanFaults.Date);
        _result.IsDated = true;
        long days = new DateTime((int)year, (int)month, (int)day, 0, 0, 0, DateTimeKind.Utc).Subtract(DateTime.UnixEpoch).Ticks / TimeSpan.TicksPerDay;
        return Fraction((days * 86_400) + (hour * 3_600) + (minute * 60) + second);
    }

    private long Field(char ending, int smallest, int largest)
    {
        int start = _at;
        long value = Digits(out int digits);
        if (digits is 0 or > 4 || value < smallest || value > largest || Next != ending) Fail(start, CanFaults.Date);
        else _at++;
        return value;
    }

    private bool Fraction(long seconds)
    {
        if (Next != '.') return Fail(_at, CanFaults.Decimals);
        _at++;
        int start = _at;
        long fraction = Digits(out int digits);
        if (digits is 0 or > 9) return Fail(start, CanFaults.Decimals);
        if (Next != ')') return Fail(_at, CanFaults.StampEnd);
        _at++;
        if (_at < _line.Length && _line[_at] is not ((byte)' ' or (byte)'\t')) return Fail(_at, CanFaults.StampEnd);
        for (int i = digits; i < 9; i++) fraction *= 10;
        _result.HasStamp = true;
        _result.Decimals = digits;
        _result.StampNs = (seconds * LogTime.NanosecondsPerSecond) + fraction;
        return true;
    }

    private void LogForm()
    {
        if (!Id() || !Expect('#', CanFaults.Hash)) return;
        if (Next == '#') FlexibleData();
        else if (Next == 'R') Remote();
        else ClassicData();
        if (_result.Fault is not null) return;
        SkipBlanks();
        if (_at < _line.Length && _line[_at] is (byte)'R' or (byte)'T') _at++; // direction
        if (_at < _line.Length) Fail(_at, CanFaults.Trailing);
    }

    private bool Id()
    {
        int start = _at, digits = HexText.CountDigits(_line[_at..]);
        _at += digits;
        if (digits is not (3 or 8)) return Fail(start, CanFaults.IdDigits);
        uint number = HexText.Number(_line.Slice(start, digits));
        if (digits == 3)
        {
            if (number > CanId.StandardMask) return Fail(start, CanFaults.StandardId);
            _result.Id = new CanId(number);
            return true;
        }
        if ((number & ~(CanId.ExtendedMask | CanId.ErrorFlag)) != 0) return Fail(start, CanFaults.ExtendedId);
        _result.Id = new CanId((number & CanId.ErrorFlag) != 0 ? number : number | CanId.ExtendedFlag);
        if (_result.Id.IsError) _result.Kind = CanLineKind.Error;
        return true;
    }

    private void ClassicData()
    {
        Data(CanFrame.ClassicBytes, CanFaults.TooManyClassic);
        RawLength();
    }

    private void FlexibleData()
    {
        _at++;
        if (_at >= _line.Length || !HexText.IsDigit(_line[_at])) { Fail(_at, CanFaults.FlexibleFlags); return; }
        _at++;
        Data(CanFrame.MaxBytes, CanFaults.TooManyFlexible);
    }

    private void Remote()
    {
        _at++;
        if (_result.Id.IsError) { Fail(_at - 1, CanFaults.RemoteError); return; }
        _result.Kind = CanLineKind.Remote;
        if (_at < _line.Length && char.IsAsciiDigit((char)_line[_at]))
        {
            if (_line[_at] > '8') { Fail(_at, CanFaults.RemoteLength); return; }
            _result.Length = _line[_at++] - '0';                                 // the length asked for; there is no data
        }
        _result.Id = new CanId(_result.Id.Value | CanId.RemoteFlag);
        RawLength();
    }

    private void Data(int most, string tooMany)
    {
        int count = 0;
        while (_at < _line.Length)
        {
            if (count > 0 && Next == '.' && _at + 1 < _line.Length && HexText.IsDigit(_line[_at + 1])) _at++;
            int high = HexText.Digit(_line[_at]);
            if (high == HexText.NoDigit) break;
            if (count == most) { Fail(_at, tooMany); return; }
            int low = _at + 1 < _line.Length ? HexText.Digit(_line[_at + 1]) : HexText.NoDigit;
            if (low == HexText.NoDigit) { Fail(_at, CanFaults.HalfByte); return; }
            _data[count++] = (byte)((high << 4) | low);
            _at += 2;
        }
        _result.Length = count;
    }

    /// <summary><c>_E</c>: eight bytes were sent with a length code of 9 to 15.</summary>
    private void RawLength()
    {
        if (Next != '_' || _result.Fault is not null) return;
        _at++;
        int code = _at < _line.Length ? HexText.Digit(_line[_at]) : HexText.NoDigit;
        if (_result.Length != CanFrame.ClassicBytes || code is < 9 or > 15) { Fail(_at - 1, CanFaults.RawLength); return; }
        _at++;
    }

    private void ScreenForm()
    {
        _result.IsScreen = true;
        if (_line[_at..].StartsWith("RX "u8) || _line[_at..].StartsWith("TX "u8))
        {
            _at += 2;
            for (int flag = 0; flag < 2; flag++)                                 // bit-rate switch, error state; '-' when not
            {
                SkipBlanks();
                if (_at < _line.Length && _line[_at] is (byte)'-' or (byte)'B' or (byte)'E') _at++;
            }
            SkipBlanks();
        }
        if (!Id()) return;
        SkipBlanks();
        int lengthAt = _at;
        if (!ScreenLength(out int length)) { Fail(lengthAt, CanFaults.ScreenLength); return; }
        SkipBlanks();
        if (_line[_at..].StartsWith("remote request"u8) && !_result.Id.IsError)
        {
            _result.Kind = CanLineKind.Remote;
            _result.Id = new CanId(_result.Id.Value | CanId.RemoteFlag);
            _result.Length = length;
            return;
        }
        for (int i = 0; i < length; i++)
        {
            SkipBlanks();
            if (HexText.CountDigits(_line[_at..]) != 2) { Fail(_at, CanFaults.ScreenData); return; }
            _data[i] = (byte)HexText.Number(_line.Slice(_at, 2));
            _at += 2;
        }
        _result.Length = length;
        SkipBlanks();
        bool characters = _at < _line.Length && _line[_at] == '\'';
        if (_at < _line.Length && !characters && !_line[_at..].SequenceEqual("ERRORFRAME"u8)) Fail(_at, CanFaults.Trailing);
    }

    /// <summary><c>[8]</c>, <c>[64]</c>, or the raw length code <c>{E}</c> of eight bytes.</summary>
    private bool ScreenLength(out int length)
    {
        length = CanFrame.ClassicBytes;
        if (Next == '{')
        {
            _at += 2;
            return _at < _line.Length && HexText.Digit(_line[_at - 1]) is >= 9 and <= 15 && TryTake('}');
        }
        if (!TryTake('[')) return false;
        length = (int)Digits(out int digits);
        return digits is 1 or 2 && length <= CanFrame.MaxBytes && TryTake(']');
    }

    private readonly int Next => _at < _line.Length ? _line[_at] : -1;

    private long Digits(out int count)
    {
        long value = 0;
        count = 0;
        while (_at < _line.Length && char.IsAsciiDigit((char)_line[_at]))
        {
            if (count < 18) value = (value * 10) + _line[_at] - '0';             // more than 18 are refused by every caller
            count++;
            _at++;
        }
        return value;
    }

    private void SkipBlanks()
    {
        while (_at < _line.Length && _line[_at] is (byte)' ' or (byte)'\t') _at++;
    }

    private bool TryTake(char wanted)
    {
        if (Next != wanted) return false;
        _at++;
        return true;
    }

    private bool Expect(char wanted, string fault) => TryTake(wanted) || Fail(_at, fault);

    private bool Fail(int at, string fault)
    {
        if (_result.Fault is null) (_result.FaultAt, _result.Fault) = (at, fault);
        return false;
    }
}
