using System.Buffers;
using System.Collections.Frozen;
using System.Collections.Immutable;
using System.Globalization;
using System.Text;

namespace OilWatch.Reading.Csv;

/// <summary>Finds where the time of a row comes from: a column by name, a monotone column, or a rate in the preamble.</summary>
internal sealed class CsvTimeFinder(
    string file, CsvSample sample, int data, CsvSniffer.Column[] table, ImmutableArray<(string Key, string Value)> preamble, List<string> assumptions)
{
    private const long SecondNs = LogTime.NanosecondsPerSecond;

    /// <summary>From this on, a number of seconds is a date: 1973. No log is three years long.</summary>
    private const long EpochNs = 100_000_000 * SecondNs;

    /// <summary>Names that say "time" and nothing else, the best first.</summary>
    private static readonly ImmutableArray<string> Names =
    [
        "time", "timestamp", "t", "datetime", "elapsed", "elapsedtime", "sessiontime", "logtime", "runtime", "recordtime", "timeofday",
        "utc", "utctime", "gpstime", "localtime", "clock", "seconds", "sec", "secs", "s", "milliseconds", "millis", "ms", "date",
    ];

    private static readonly FrozenSet<string> NameSet = Names.ToFrozenSet(StringComparer.Ordinal);

    /// <summary>Monotone columns that are no time.</summary>
    private static readonly ImmutableArray<string> Counters =
        ["dist", "odometer", "lap", "index", "sample", "row", "record", "frame", "line", "count", "number", "no", "id", "mile", "fuel", "hour"];

    private static readonly SearchValues<char> NumberLetters = SearchValues.Create("0123456789.,");

    private static readonly ImmutableArray<string> RateKeys =
        ["samplerate", "samplingrate", "samplefrequency", "samplingfrequency", "rate", "lograte", "loggingrate", "datarate", "frequency", "hz"];

    private static readonly ImmutableArray<string> IntervalKeys =
        ["sampleinterval", "samplinginterval", "sampleperiod", "samplingperiod", "interval", "period", "loginterval", "timestep", "dt"];

    /// <summary>True when a heading, without its unit, is a usual name of a time column.</summary>
    public static bool IsTimeName(string heading) => Plain(heading) is { Length: > 2 } plain && NameSet.Contains(plain);

    /// <summary>Finds the time.</summary>
    /// <exception cref="InputException">There is none.</exception>
    public CsvTimeSource Find()
    {
        foreach (string name in Names)
            for (int column = 0; column < table.Length; column++)
                if (string.Equals(Plain(table[column].Name), name, StringComparison.Ordinal) && Accept(column, strict: false) is { } byName) return byName;
        for (int column = 0; column < table.Length; column++)
            if (MentionsTime(table[column].Name) && Accept(column, strict: true) is { } byMention) return byMention;
        if (FromPreamble() is { } rate) return rate;
        for (int column = 0; column < table.Length; column++)
            if (!IsCounter(column) && Accept(column, strict: true) is { } monotone)
            {
                assumptions.Add($"No column is called time; {Named(column)} only ever grows and was taken for it.");
                return monotone;
            }
        throw new InputException(new ReadingProblem(file, 0, 0,
            "no column holds the time: none is called Time or Timestamp, and no column of numbers only ever grows; add a time column in seconds, or a line 'Sample Rate,20' (rows a second) above the column names"));
    }

    private static string Plain(string name)
    {
        var plain = new StringBuilder(name.Length);
        foreach (char letter in name)
            if (char.IsAsciiLetterOrDigit(letter)) plain.Append(char.ToLowerInvariant(letter));
        return plain.ToString();
    }

    private static bool MentionsTime(string name)
    {
        string plain = Plain(name);
        return (plain.StartsWith("time", StringComparison.Ordinal) || plain.EndsWith("time", StringComparison.Ordinal) || plain.Contains("timestamp", StringComparison.Ordinal))
            && !plain.Contains("lap", StringComparison.Ordinal) && !plain.Contains("sector", StringComparison.Ordinal)
            && !plain.Contains("split", StringComparison.Ordinal) && !plain.Contains("delta", StringComparison.Ordinal);
    }

    private bool IsCounter(int column)
    {
        string plain = Plain(table[column].Name);
        return Counters.Any(word => plain.Contains(word, StringComparison.Ordinal));
    }

    private string Named(int column) =>
        string.Create(CultureInfo.InvariantCulture, $"column {column + 1}{(table[column].Heading.Length > 0 ? $" '{table[column].Heading}'" : "")}");

    /// <summary>The time source of a column, or null when it does not hold times.</summary>
    /// <param name="column">The column.</param>
    /// <param name="strict">True when its name does not vouch for it: then it must grow from row to row.</param>
    private CsvTimeSource? Accept(int column, bool strict)
    {
        if (column >= sample.UsualCells) return null;
        List<int> rows = [.. Enumerable.Range(data, sample.Count - data).Where(row => sample[row].Cells > column && !sample.Cell(row, column).IsEmpty)];
        if (rows.Count == 0) return null;
        return Number(column, rows, strict) ?? Clock(column, rows, strict) ?? DateAndClock(column, rows, strict);
    }

    private delegate bool TryTime(ReadOnlySpan<byte> cell, out long ns);

    /// <summary>The times of the rows, or null when fewer than half can be read, or they do not grow; never change, when not strict.</summary>
    private List<long>? Times(int column, List<int> rows, bool strict, TryTime read)
    {
        var times = new List<long>(rows.Count);
        foreach (int row in rows)
            if (read(sample.Cell(row, column), out long ns)) times.Add(ns);
        if (times.Count * 2 < rows.Count) return null;
        int up = 0, down = 0;
        for (int i = 1; i < times.Count; i++)
        {
            if (times[i] > times[i - 1]) up++;
            if (times[i] < times[i - 1]) down++;
        }
        bool grows = strict
            ? up > 0 && up * 10 >= (times.Count - 1) * 9 && down * 20 <= times.Count
            : times.Count == 1 || up + down > 0;
        return grows ? times : null;
    }

    private CsvTimeSource? Number(int column, List<int> rows, bool strict)
    {
        // In millionths of whatever the unit is, so that steps can be judged before the unit is known.
        if (Times(column, rows, strict, static (cell, out ns) => CsvTime.TryNumber(cell, 1_000_000, out ns)) is not { } millionths) return null;
        string heading = table[column].Name;
        long unit = CsvUnits.TimeUnitNs(table[column].Unit);
        string why = "as its unit says";
        if (unit == 0)
        {
            unit = CsvUnits.TimeUnitNs(heading is { Length: > 1 } ? heading : null);
            why = "as its name says";
        }
        if (unit == 0) (unit, why) = UnitBySteps(millionths);

        bool fromFirst = CsvTime.TryNumber(sample.Cell(rows[0], column), unit, out long firstNs) && Math.Abs(firstNs) > EpochNs;
        assumptions.Add($"Time is {Named(column)} in {UnitWords(unit)}, {why}{(fromFirst ? "; it counts from the first row" : "")}.");
        return new CsvTimeSource
        {
            Form = TimeForm.Number,
            Name = table[column].Name,
            Column = column,
            UnitNs = unit,
            DecimalSign = rows.Any(row => sample.Cell(row, column).Contains((byte)',')) ? (byte)',' : (byte)'.',
            FromFirst = fromFirst,
        };
    }

    /// <summary>Logs have between one row in two seconds and some thousand rows a second; that leaves one unit for any step.</summary>
    private static (long UnitNs, string Why) UnitBySteps(List<long> millionths)
    {
        long[] ordered = [.. millionths.Order()];
        var steps = new List<long>();
        for (int i = 1; i < ordered.Length; i++)
            if (ordered[i] > ordered[i - 1]) steps.Add(ordered[i] - ordered[i - 1]);
        steps.Sort();
        double step = steps.Count == 0 ? 0 : steps[steps.Count / 2] / 1e6, size = Math.Abs(millionths[0] / 1e6);
        long unit = size switch
        {
            >= 1e17 => 1,                       // nanoseconds since 1970
            >= 1e14 => 1_000,
            >= 1e11 => 1_000_000,
            _ => step switch { > 2500 => 1_000, > 2.5 => 1_000_000, _ => SecondNs },
        };
        return (unit, size >= 1e11
            ? "since 1970, judged by its size as no unit is given"
            : step == 0
                ? "the usual unit, as none is given"
                : string.Create(CultureInfo.InvariantCulture, $"judged by its step of {step:0.######} as no unit is given"));
    }

    private static string UnitWords(long unitNs) => unitNs switch
    {
        1 => "nanoseconds",
        1_000 => "microseconds",
        1_000_000 => "milliseconds",
        SecondNs => "seconds",
        60 * SecondNs => "minutes",
        _ => "hours",
    };

    private CsvTimeSource? Clock(int column, List<int> rows, bool strict)
    {
        if (Times(column, rows, strict, static (cell, out ns) => CsvTime.TryClock(cell, false, out ns)) is null) return null;
        if (DateFor(column, rows) is { } withDate) return withDate;
        assumptions.Add($"Time is {Named(column)} as hours, minutes and seconds.");
        return new CsvTimeSource { Form = TimeForm.Clock, Name = table[column].Name, Column = column };
    }

    /// <summary>The clock with the date beside it, or null where there is no date to go by.</summary>
    private CsvTimeSource? DateFor(int clock, List<int> rows)
    {
        for (int column = 0; column < Math.Min(table.Length, sample.UsualCells); column++)
        {
            if (column == clock || !Plain(table[column].Name).Contains("date", StringComparison.Ordinal)) continue;
            if (OrderOf(column, rows, CsvTime.TryDate, out bool certain) is not { } order) continue;
            if (!certain)
            {
                assumptions.Add($"The dates in {Named(column)} may have the day or the month first; days are counted by the clock passing midnight instead.");
                return null;
            }
            assumptions.Add($"Time is {Named(clock)} on the date in {Named(column)}; it counts from the first row.");
            return new CsvTimeSource
            {
                Form = TimeForm.DateBesideClock,
                Name = table[clock].Name,
                Column = clock,
                DateColumn = column,
                Order = order,
                FromFirst = true,
            };
        }
        return null;
    }

    private CsvTimeSource? DateAndClock(int column, List<int> rows, bool strict)
    {
        if (OrderOf(column, rows, CsvTime.TryDateAndClock, out bool certain) is not { } order) return null;
        TryTime read = order == DateOrder.DayFirst
            ? static (cell, out ns) => CsvTime.TryDateAndClock(cell, DateOrder.DayFirst, out ns)
            : static (cell, out ns) => CsvTime.TryDateAndClock(cell, DateOrder.MonthFirst, out ns);
        if (Times(column, rows, strict, read) is null) return null;
        assumptions.Add($"Time is {Named(column)} as date and clock{(certain ? "" : ", taken with the day first")}; it counts from the first row.");
        return new CsvTimeSource { Form = TimeForm.DateAndClock, Name = table[column].Name, Column = column, Order = order, FromFirst = true };
    }

    private delegate bool TryDate(ReadOnlySpan<byte> cell, DateOrder order, out long ns);

    /// <summary>
    /// Which part of a date comes first; null when these are no dates. Not certain when both orders can be read all along and do not
    /// come to the same.
    /// </summary>
    private DateOrder? OrderOf(int column, List<int> rows, TryDate read, out bool certain)
    {
        int dayFirst = 0, monthFirst = 0;
        bool differ = false;
        foreach (int row in rows)
        {
            ReadOnlySpan<byte> cell = sample.Cell(row, column);
            bool isDayFirst = read(cell, DateOrder.DayFirst, out long one), isMonthFirst = read(cell, DateOrder.MonthFirst, out long other);
            if (isDayFirst) dayFirst++;
            if (isMonthFirst) monthFirst++;
            differ |= isDayFirst && isMonthFirst && one != other;
        }
        certain = !differ || dayFirst != monthFirst;
        if (Math.Max(dayFirst, monthFirst) * 2 < rows.Count) return null;
        return dayFirst >= monthFirst ? DateOrder.DayFirst : DateOrder.MonthFirst;
    }

    /// <summary>A rate or an interval that a line before the header gives.</summary>
    private CsvTimeSource? FromPreamble()
    {
        foreach ((string key, string value) in preamble)
        {
            string plain = Plain(CsvUnits.Split(key, out string? unit));
            bool isRate = RateKeys.Contains(plain, StringComparer.Ordinal);
            if (!isRate && !IntervalKeys.Contains(plain, StringComparer.Ordinal)) continue;
            ReadOnlySpan<char> number = value.AsSpan().Trim();
            int end = number.IndexOfAnyExcept(NumberLetters);
            string after = CsvUnits.Plain((end < 0 ? unit ?? "" : number[end..].ToString()).TrimStart(',').Trim());
            byte[] digits = Encoding.ASCII.GetBytes((end < 0 ? number : number[..end]).TrimEnd(",.").ToString());
            if (!CsvNumber.TryDecimal(digits, (byte)'.', out DecimalText rate) && !CsvNumber.TryDecimal(digits, (byte)',', out rate)) continue;
            if (rate.Digits is 0 or > 1_000_000_000 || rate.Exponent is < -9 or > 0) continue;

            ulong scale = 1;
            for (int i = rate.Exponent; i < 0; i++) scale *= 10;
            long unitNs = isRate ? SecondNs : Math.Max(CsvUnits.TimeUnitNs(after), after.Length == 0 ? SecondNs : 0);
            if (unitNs == 0 || unitNs > SecondNs) continue;
            bool kilo = isRate && after.StartsWith("khz", StringComparison.Ordinal);
            assumptions.Add($"No column is called time; rows were timed by '{key}, {value}' above the column names.");
            return isRate
                ? new CsvTimeSource { Form = TimeForm.Rate, PeriodNs = scale * SecondNs, PeriodRows = rate.Digits * (kilo ? 1000UL : 1) }
                : new CsvTimeSource { Form = TimeForm.Rate, PeriodNs = rate.Digits * (ulong)unitNs, PeriodRows = scale };
        }
        return null;
    }
}
