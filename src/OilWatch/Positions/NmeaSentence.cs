namespace OilWatch.Positions;

/// <summary>Reads NMEA 0183 sentences: GGA, RMC, GLL and VTG of any satellite system.</summary>
public static class NmeaSentence
{
    /// <summary>Longest line read, bytes. The standard allows 82; receivers exceed it.</summary>
    public const int MaxBytes = 256;

    private const int MaxFields = 32;
    private const double KmhPerKnot = 1.852;

    /// <summary>Reads one line. Never throws.</summary>
    /// <param name="line">The line, with or without its line end; valid only during the call.</param>
    /// <param name="fix">What it says; all absent unless the answer is <see cref="NmeaLine.Fix"/> (date and time also with <see cref="NmeaLine.NoFix"/>).</param>
    /// <param name="problem">What was wrong and what would be right when the answer is <see cref="NmeaLine.Problem"/>; otherwise empty.</param>
    public static NmeaLine Parse(ReadOnlySpan<byte> line, out NmeaFix fix, out string problem)
    {
        fix = new();
        problem = "";
        line = line.Trim(" \t\r\n\0"u8);
        if (line.IsEmpty) return NmeaLine.Empty;
        if (line.Length > MaxBytes) return Bad("a sentence has at most 256 bytes", out problem);
        if (line[0] != (byte)'$') return Bad("a sentence begins with '$'", out problem);
        int star = line.LastIndexOf((byte)'*');
        if (star < 0 || star != line.Length - 3) return Bad("a sentence ends with '*' and two hexadecimal digits", out problem);
        int high = HexDigit(line[star + 1]), low = HexDigit(line[star + 2]);
        if (high < 0 || low < 0) return Bad("a sentence ends with '*' and two hexadecimal digits", out problem);
        ReadOnlySpan<byte> body = line[1..star];
        byte sum = 0;
        foreach (byte b in body) sum ^= b;
        if (sum != ((high << 4) | low)) return Bad("the checksum after '*' is the exclusive or of all bytes between '$' and '*'; this one differs", out problem);

        Span<Range> ranges = stackalloc Range[MaxFields];
        int count = Split(body, ranges);
        var fields = new Fields(body, ranges[..count]);
        ReadOnlySpan<byte> address = fields[0];
        if (address.Length != 5 || address[0] == (byte)'P') return NmeaLine.Other;
        ReadOnlySpan<byte> kind = address[2..];
        if (kind.SequenceEqual("GGA"u8)) return ReadGga(fields, ref fix, out problem);
        if (kind.SequenceEqual("RMC"u8)) return ReadRmc(fields, ref fix, out problem);
        if (kind.SequenceEqual("GLL"u8)) return ReadGll(fields, ref fix, out problem);
        if (kind.SequenceEqual("VTG"u8)) return ReadVtg(fields, ref fix, out problem);
        return NmeaLine.Other;
    }

    // $--GGA,time,lat,N/S,lon,E/W,quality,satellites,hdop,altitude,M,...
    private static NmeaLine ReadGga(in Fields fields, ref NmeaFix fix, out string problem)
    {
        if (fields.Count < 10) return Bad("a GGA sentence has at least 10 fields", out problem);
        if (!TryTime(fields[1], out TimeSpan? time)) return Bad("the time in field 1 is hhmmss with optional decimals", out problem);
        problem = "";
        fix = fix with { TimeOfDay = time };
        if (fields[6].IsEmpty || fields[6] is [(byte)'0'] || fields[2].IsEmpty) return NmeaLine.NoFix;
        if (!TryPosition(fields, 2, out double latitude, out double longitude)) return BadPosition(ref fix, out problem);
        if (!TryNumber(fields[8], out double hdop) || !TryNumber(fields[9], out double altitude))
            return BadNumber(ref fix, out problem);
        fix = fix with { LatitudeDeg = latitude, LongitudeDeg = longitude, Hdop = hdop, AltitudeM = altitude };
        return NmeaLine.Fix;
    }

    // $--RMC,time,status,lat,N/S,lon,E/W,knots,course,ddmmyy,...
    private static NmeaLine ReadRmc(in Fields fields, ref NmeaFix fix, out string problem)
    {
        if (fields.Count < 10) return Bad("an RMC sentence has at least 10 fields", out problem);
        if (!TryTime(fields[1], out TimeSpan? time)) return Bad("the time in field 1 is hhmmss with optional decimals", out problem);
        if (!TryDate(fields[9], out DateOnly? date)) return Bad("the date in field 9 is ddmmyy", out problem);
        problem = "";
        fix = fix with { TimeOfDay = time, Date = date };
        if (fields[2] is not [(byte)'A'] || fields[3].IsEmpty) return NmeaLine.NoFix;
        if (!TryPosition(fields, 3, out double latitude, out double longitude)) return BadPosition(ref fix, out problem);
        if (!TryNumber(fields[7], out double knots) || !TryNumber(fields[8], out double course))
            return BadNumber(ref fix, out problem);
        fix = fix with { LatitudeDeg = latitude, LongitudeDeg = longitude, SpeedKmh = knots * KmhPerKnot, CourseDeg = course };
        return NmeaLine.Fix;
    }

    // $--GLL,lat,N/S,lon,E/W,time,status,...; old receivers end after the longitude.
    private static NmeaLine ReadGll(in Fields fields, ref NmeaFix fix, out string problem)
    {
        if (fields.Count < 5) return Bad("a GLL sentence has at least 5 fields", out problem);
        if (!TryTime(fields[5], out TimeSpan? time)) return Bad("the time in field 5 is hhmmss with optional decimals", out problem);
        problem = "";
        fix = fix with { TimeOfDay = time };
        if (fields[1].IsEmpty || (fields.Count > 6 && fields[6] is not [(byte)'A'])) return NmeaLine.NoFix;
        if (!TryPosition(fields, 1, out double latitude, out double longitude)) return BadPosition(ref fix, out problem);
        fix = fix with { LatitudeDeg = latitude, LongitudeDeg = longitude };
        return NmeaLine.Fix;
    }

    // $--VTG,course,T,magnetic,M,knots,N,kmh,K,...
    private static NmeaLine ReadVtg(in Fields fields, ref NmeaFix fix, out string problem)
    {
        if (fields.Count < 9) return Bad("a VTG sentence has at least 9 fields", out problem);
        if (!TryNumber(fields[1], out double course) || !TryNumber(fields[5], out double knots) || !TryNumber(fields[7], out double kmh))
            return BadNumber(ref fix, out problem);
        problem = "";
        double speed = double.IsNaN(kmh) ? knots * KmhPerKnot : kmh;
        if (double.IsNaN(speed) || fields[9] is [(byte)'N']) return NmeaLine.NoFix;
        fix = fix with { SpeedKmh = speed, CourseDeg = course };
        return NmeaLine.Fix;
    }

    private static bool TryPosition(in Fields fields, int first, out double latitude, out double longitude)
    {
        longitude = double.NaN;
        return TryAngle(fields[first], 2, 90, out latitude) && TrySign(fields[first + 1], (byte)'N', (byte)'S', ref latitude)
            && TryAngle(fields[first + 2], 3, 180, out longitude) && TrySign(fields[first + 3], (byte)'E', (byte)'W', ref longitude);
    }

    private static bool TrySign(ReadOnlySpan<byte> field, byte positive, byte negative, ref double angle)
    {
        if (field.Length != 1 || (field[0] != positive && field[0] != negative)) return false;
        if (field[0] == negative) angle = -angle;
        return true;
    }

    // Degrees in the first two or three digits, then minutes with decimals.
    private static bool TryAngle(ReadOnlySpan<byte> field, int degreeDigits, double most, out double angle)
    {
        angle = double.NaN;
        if (field.Length < degreeDigits + 2) return false;
        if (!TryDigits(field[..degreeDigits], out int degrees)) return false;
        ReadOnlySpan<byte> minutesText = field[degreeDigits..];
        if (!char.IsAsciiDigit((char)minutesText[1]) || !TryNumber(minutesText, out double minutes)) return false;
        if (minutes is not (>= 0 and < 60)) return false;
        angle = degrees + (minutes / 60);
        return angle <= most;
    }

    private static bool TryTime(ReadOnlySpan<byte> field, out TimeSpan? time)
    {
        time = null;
        if (field.IsEmpty) return true;
        if (field.Length < 6 || !TryDigits(field[..2], out int hours) || !TryDigits(field[2..4], out int minutes)
            || !char.IsAsciiDigit((char)field[4]) || !char.IsAsciiDigit((char)field[5])
            || !TryNumber(field[4..], out double seconds))
        {
            return false;
        }

        if (hours > 23 || minutes > 59 || seconds is not (>= 0 and < 61)) return false;     // 60 is a leap second
        time = new TimeSpan((((hours * 60L) + minutes) * TimeSpan.TicksPerMinute) + (long)Math.Round(seconds * TimeSpan.TicksPerSecond));
        return true;
    }

    private static bool TryDate(ReadOnlySpan<byte> field, out DateOnly? date)
    {
        date = null;
        if (field.IsEmpty) return true;
        if (field.Length != 6 || !TryDigits(field[..2], out int day) || !TryDigits(field[2..4], out int month)
            || !TryDigits(field[4..], out int year))
        {
            return false;
        }

        year += year >= 80 ? 1900 : 2000;     // satellite time began in 1980
        if (month is < 1 or > 12 || day < 1 || day > DateTime.DaysInMonth(year, month)) return false;
        date = new DateOnly(year, month, day);
        return true;
    }

    private static bool TryDigits(ReadOnlySpan<byte> text, out int value)
    {
        value = 0;
        foreach (byte b in text)
        {
            if (!char.IsAsciiDigit((char)b)) return false;
            value = (value * 10) + (b - '0');
        }

        return true;
    }

    // A plain decimal of at most 18 digits; empty is absent, not an error.
    private static bool TryNumber(ReadOnlySpan<byte> text, out double value)
    {
        value = double.NaN;
        if (text.IsEmpty) return true;
        bool negative = text[0] == (byte)'-';
        if (negative) text = text[1..];
        long digits = 0;
        int count = 0;
        double divisor = 1;
        bool point = false;
        foreach (byte b in text)
        {
            if (b == (byte)'.' && !point)
            {
                point = true;
                continue;
            }

            if (!char.IsAsciiDigit((char)b) || ++count > 18) return false;
            digits = (digits * 10) + (b - '0');
            if (point) divisor *= 10;
        }

        if (count == 0) return false;
        value = (negative ? -digits : digits) / divisor;
        return true;
    }

    private static int Split(ReadOnlySpan<byte> body, Span<Range> ranges)
    {
        int count = 0, start = 0;
        for (int i = 0; i <= body.Length && count < ranges.Length; i++)
        {
            if (i < body.Length && body[i] != (byte)',') continue;
            ranges[count++] = start..i;
            start = i + 1;
        }

        return count;
    }

    private static int HexDigit(byte b) => b switch
    {
        >= (byte)'0' and <= (byte)'9' => b - '0',
        >= (byte)'A' and <= (byte)'F' => b - 'A' + 10,
        >= (byte)'a' and <= (byte)'f' => b - 'a' + 10,
        _ => -1,
    };

    private static NmeaLine BadPosition(ref NmeaFix fix, out string problem)
    {
        fix = new();
        return Bad("a position is ddmm.mmmm,N or S,dddmm.mmmm,E or W", out problem);
    }

    private static NmeaLine BadNumber(ref NmeaFix fix, out string problem)
    {
        fix = new();
        return Bad("a number has up to 18 digits and one decimal point", out problem);
    }

    private static NmeaLine Bad(string what, out string problem)
    {
        problem = what;
        return NmeaLine.Problem;
    }

    private readonly ref struct Fields(ReadOnlySpan<byte> body, ReadOnlySpan<Range> ranges)
    {
        private readonly ReadOnlySpan<byte> _body = body;
        private readonly ReadOnlySpan<Range> _ranges = ranges;

        public int Count => _ranges.Length;

        /// <summary>A field by its place, the address being 0; empty where the sentence ends before it.</summary>
        public ReadOnlySpan<byte> this[int index] => index < _ranges.Length ? _body[_ranges[index]] : default;
    }
}
