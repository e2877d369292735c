using System.Globalization;
using System.Text;
using OilWatch.Reading;

namespace OilWatch.Tests.Reading;

public class CsvReaderTests
{
    [Fact]
    public void A_plain_table_is_read()
    {
        ILogReader reader = CsvLog.Open("Time,Oil Press,RPM\n0.00,412.5,5200\n0.05,408,5210\n0.10,-1,5220\n");

        Assert.Equal("CSV", reader.FormatName);
        Assert.Equal("session.csv", reader.Name);
        Assert.Equal("Oil Press, RPM", CsvLog.Channels(reader));
        Assert.Equal("0: Oil Press=412.5 RPM=5200\n0.05: Oil Press=408 RPM=5210\n0.1: Oil Press=-1 RPM=5220", CsvLog.Records(reader));
        ReadingReport report = CsvLog.Report(reader);
        Assert.Equal("rows 3, header 1", CsvLog.Classes(report));
        Assert.Equal(new LogTime(0), report.First);
        Assert.Equal(new LogTime(100_000_000), report.Last);
        Assert.Equal(0, report.ProblemCount);
        Assert.Equal(
            ["Columns are separated by commas; the decimal sign is a point.",
             "Time is column 1 'Time' in seconds, judged by its step of 0.05 as no unit is given."],
            reader.Assumptions);
    }

    [Fact]
    public void The_same_log_read_twice_gives_the_same()
    {
        ILogReader reader = CsvLog.Open("Time,A\n0,1\n1,x\n");
        Assert.Equal(CsvLog.Records(reader), CsvLog.Records(reader));
        Assert.Equal(CsvLog.Problems(CsvLog.Report(reader)), CsvLog.Problems(CsvLog.Report(reader)));
    }

    [Fact]
    public void Only_what_is_selected_is_given()
    {
        ILogReader reader = CsvLog.Open("Time,A,B,C\n0,1,x,3\n1,4,5,6\n");
        Assert.Equal("0: A=1 C=3\n1: A=4 C=6", CsvLog.Records(reader, 2, 0, 2));
        Assert.Equal(0, CsvLog.Read(reader, new CsvLog.Notes(reader.Channels), 0, 2).ProblemCount);
    }

    [Fact]
    public async Task A_channel_that_does_not_exist_cannot_be_selected()
    {
        ILogReader reader = CsvLog.Open("Time,A\n0,1\n");
        await Assert.ThrowsAsync<ArgumentOutOfRangeException>(async () => await reader.ReadAsync([1], new CsvLog.Notes(reader.Channels)));
    }

    // Separators and decimal signs.
    [Theory]
    [InlineData("Time,A,B\n0.0,1.5,2\n0.1,2.5,3\n", "commas; the decimal sign is a point")]
    [InlineData("Time;A;B\n0.0;1.5;2\n0.1;2.5;3\n", "semicolons; the decimal sign is a point")]
    [InlineData("Time;A;B\n0,0;1,5;2\n0,1;2,5;3\n", "semicolons; the decimal sign is a comma")]
    [InlineData("Time\tA\tB\n0.0\t1.5\t2\n0.1\t2.5\t3\n", "tabs; the decimal sign is a point")]
    [InlineData("Time\tA\tB\n0,0\t1,5\t2\n0,1\t2,5\t3\n", "tabs; the decimal sign is a comma")]
    [InlineData("Time,A,B\n\"0,0\",\"1,5\",2\n\"0,1\",\"2,5\",3\n", "commas; the decimal sign is a comma")]
    [InlineData("Time,A,B\r\n0.0,1.5,2\r\n0.1,2.5,3\r\n", "commas; the decimal sign is a point")]
    [InlineData("Time,A,B\r0.0,1.5,2\r0.1,2.5,3\r", "commas; the decimal sign is a point")]
    [InlineData("Time,A,B\n0.0,1.5,2\n0.1,2.5,3", "commas; the decimal sign is a point")]
    [InlineData("sep=;\nTime;A;B\n0,0;1,5;2\n0,1;2,5;3\n", "semicolons; the decimal sign is a comma")]
    [InlineData("\"Time\",\"A\",\"B\"\n\"0.0\",\"1.5\",\"2\"\n\"0.1\",\"2.5\",\"3\"\n", "commas; the decimal sign is a point")]
    [InlineData("Time , A , B\n 0.0 , 1.5 , 2\n 0.1 , 2.5 , 3\n", "commas; the decimal sign is a point")]
    [InlineData("Time,A,B,\n0.0,1.5,2,\n0.1,2.5,3,\n", "commas; the decimal sign is a point")]
    [InlineData("Time,A,B\n0.0,1.5,2,\n0.1,2.5,3,\n", "commas; the decimal sign is a point")]
    [InlineData("Notes; with, more; commas, than, the, table\nTime;A;B\n0,0;1,5;2\n0,1;2,5;3\n", "semicolons; the decimal sign is a comma")]
    [InlineData("# Time A B follow\n# Time,A,B\n0.0,1.5,2\n0.1,2.5,3\n", "commas; the decimal sign is a point")]
    public void One_table_in_many_dresses(string text, string said)
    {
        ILogReader reader = CsvLog.Open(text);
        Assert.Equal("A, B", CsvLog.Channels(reader));
        Assert.Equal("0: A=1.5 B=2\n0.1: A=2.5 B=3", CsvLog.Records(reader));
        Assert.Equal($"Columns are separated by {said}.", reader.Assumptions[0]);
        ReadingReport report = CsvLog.Report(reader);
        Assert.Equal("", CsvLog.Problems(report));
        Assert.StartsWith("rows 2, ", CsvLog.Classes(report), StringComparison.Ordinal);
    }

    // Units.
    [Theory]
    [InlineData("Time [s],Oil Press [kPa],Oil Temp [°C]")]
    [InlineData("Time (s),Oil Press (kPa),Oil Temp (°C)")]
    [InlineData("Time [s],\"Oil Press [kPa]\",Oil Temp [°C]")]
    [InlineData("Time,Oil Press,Oil Temp\ns,kPa,°C")]
    [InlineData("Time,Oil Press,Oil Temp\n[s],[kPa],[°C]")]
    [InlineData("Time,Oil Press,Oil Temp\ns,kPa,°C\n")]
    [InlineData("Time,Oil Press,Oil Temp\n\ns,kPa,°C\n\n")]
    [InlineData("Time [s],Oil Press [kPa],Oil Temp [°C]\ns,kPa,°C")]
    public void Units_come_from_the_names_or_from_a_row_below_them(string head)
    {
        ILogReader reader = CsvLog.Open(head + "\n0,412,108\n1,408,109\n");
        Assert.Equal("Oil Press [kPa], Oil Temp [°C]", CsvLog.Channels(reader));
        Assert.Equal("0: Oil Press=412 Oil Temp=108\n1: Oil Press=408 Oil Temp=109", CsvLog.Records(reader));
        Assert.Equal(0, CsvLog.Report(reader).ProblemCount);
    }

    [Theory]
    [InlineData("oil_press_kpa", "oil_press [kpa]")]
    [InlineData("engine_rpm", "engine [rpm]")]
    [InlineData("lat_g", "lat [g]")]
    [InlineData("water_temp_degC", "water_temp [degC]")]
    [InlineData("bank_a", "bank_a")]
    [InlineData("cell_1", "cell_1")]
    [InlineData("_kpa", "_kpa")]
    [InlineData("Wheel Speed (FL)", "Wheel Speed (FL)")]
    [InlineData("Wheel Speed (FL) [km/h]", "Wheel Speed (FL) [km/h]")]
    [InlineData("Flow [cc/min]", "Flow [cc/min]")]
    [InlineData("[kPa]", "[kPa]")]
    [InlineData("Press []", "Press")]
    public void A_unit_is_told_from_the_rest_of_a_name(string heading, string channel) =>
        Assert.Equal(channel, CsvLog.Channels(CsvLog.Open($"Time,{heading}\n0,1\n1,2\n")));

    [Fact]
    public void A_windows_1252_degree_sign_is_read()
    {
        byte[] bytes = Encoding.Latin1.GetBytes("Time,Oil Temp [°C]\n0,108\n1,109\n");
        ILogReader reader = CsvLog.Open(bytes);
        Assert.Equal("Oil Temp [°C]", CsvLog.Channels(reader));
        Assert.Contains("The header is not UTF-8; it was read as Windows-1252.", reader.Assumptions, StringComparer.Ordinal);
    }

    // Preamble.
    [Fact]
    public void Lines_before_the_names_are_kept()
    {
        var reader = (CsvReader)CsvLog.Open(
            "Session,Friday test\nCar,\"Number 27, blue\"\nDate,2026-04-12\nAmbient: 21\n\n# exported\nTime,A\ns,kPa\n0,1\n1,2\n");
        Assert.Equal(
            [("Session", "Friday test"), ("Car", "Number 27, blue"), ("Date", "2026-04-12"), ("Ambient", "21"), ("", "exported")], reader.Preamble);
        Assert.Equal("A [kPa]", CsvLog.Channels(reader));
        Assert.Equal("rows 2, blank 1, preamble 4, header 1, units 1, comments 1", CsvLog.Classes(CsvLog.Report(reader)));
        Assert.Contains("The names of the columns are on line 7; the lines before it are notes.", reader.Assumptions, StringComparer.Ordinal);
        Assert.Contains("Units are on line 8.", reader.Assumptions, StringComparer.Ordinal);
    }

    [Fact]
    public void A_preamble_with_numbers_is_no_table()
    {
        ILogReader reader = CsvLog.Open("Laps,12\nSample Rate,20\nVenue,Home\nTime,A\n0.00,1\n0.05,2\n0.10,3\n");
        Assert.Equal("0: A=1\n0.05: A=2\n0.1: A=3", CsvLog.Records(reader));
        Assert.Equal("rows 3, preamble 3, header 1", CsvLog.Classes(CsvLog.Report(reader)));
    }

    [Fact]
    public void A_note_that_is_mostly_numbers_is_no_row()
    {
        ILogReader reader = CsvLog.Open("Gate,48.5,9.2\nTime,Latitude,Longitude\n0,48.1,9.1\n1,48.2,9.2\n2,48.3,9.3\n");
        Assert.Equal("Latitude, Longitude", CsvLog.Channels(reader));
        Assert.Equal("rows 3, preamble 1, header 1", CsvLog.Classes(CsvLog.Report(reader)));
    }

    [Fact]
    public void A_first_row_with_a_word_in_it_is_a_row() =>
        Assert.Equal("0: A=NaN\n1: A=2\n2: A=3", CsvLog.Records("Time,A\n0,low\n1,2\n2,3\n"));

    [Fact]
    public void A_table_without_names_is_read_by_number()
    {
        ILogReader reader = CsvLog.Open("0.0,5,7\n0.1,6,7\n0.2,5,7\n");
        Assert.Equal("Column 2, Column 3", CsvLog.Channels(reader));
        Assert.Equal(
            ["Columns are separated by commas; the decimal sign is a point.",
             "No line of names was found above the first row of numbers (line 1); columns are called by their number.",
             "Time is column 1 in seconds, judged by its step of 0.1 as no unit is given.",
             "No column is called time; column 1 only ever grows and was taken for it."],
            reader.Assumptions);
    }

    // Cells.
    [Fact]
    public void An_empty_cell_is_no_reading_and_a_word_for_none_is_nan()
    {
        ILogReader reader = CsvLog.Open("Time,A,B\n0,1,\n1,,2\n2,,\n3,NaN,n/a\n4,-,inf\n5, ,\"\"\n6,1,1\n");
        Assert.Equal("0: A=1\n1: B=2\n2:\n3: A=NaN B=NaN\n4: A=NaN B=NaN\n5:\n6: A=1 B=1", CsvLog.Records(reader));
        Assert.Equal(0, CsvLog.Report(reader).ProblemCount);
    }

    [Fact]
    public void Text_where_a_number_should_be_is_a_problem_and_nan()
    {
        ILogReader reader = CsvLog.Open("Time,Oil Press,B\n0,1,2\n1,low,2\n2,\"5 \u001b[31mbar\",3\n3,4,5\n4,5,6\n");
        Assert.Equal("0: Oil Press=1 B=2\n1: Oil Press=NaN B=2\n2: Oil Press=NaN B=3\n3: Oil Press=4 B=5\n4: Oil Press=5 B=6", CsvLog.Records(reader));
        Assert.Equal(
            "session.csv:3:3: 'Oil Press' holds 'low', which is no number; a number such as 12.5 is expected, or nothing where there is no reading\n"
            + "session.csv:4:4: 'Oil Press' holds '5 ·[31mbar', which is no number; a number such as 12.5 is expected, or nothing where there is no reading",
            CsvLog.Problems(CsvLog.Report(reader)));
    }

    [Fact]
    public void A_column_of_words_is_said_once_and_is_no_problem()
    {
        ILogReader reader = CsvLog.Open("Time,State,A\n0,idle,1\n1,run,2\n2,run,3\n");
        Assert.Contains("Columns of words have no values: 'State'.", reader.Assumptions, StringComparer.Ordinal);
        Assert.Equal(0, CsvLog.Report(reader).ProblemCount);
    }

    [Theory]
    [InlineData(50)]
    [InlineData(2000)]
    public void Decimal_commas_beside_many_empty_cells_do_not_beat_the_semicolon(int rows)
    {
        var log = new System.Text.StringBuilder("Time;Oil Press\ns;kPa\n");
        for (int i = 0; i < rows; i++) log.Append(CultureInfo.InvariantCulture, $"{i / 50},{i % 50 * 2:D2}0;{(i % 3 == 0 ? $"{70 + (i % 7)},500" : "")}\n");
        ILogReader reader = CsvLog.Open(log.ToString());
        Assert.Equal("Oil Press [kPa]", CsvLog.Channels(reader));
        Assert.Equal((rows + 2) / 3, CsvLog.Records(reader).Count(letter => letter == '='));
    }

    [Fact]
    public void Quoted_cells_hold_separators_line_ends_and_quotes()
    {
        ILogReader reader = CsvLog.Open("Time,\"A \"\"x\"\", y\",\"B\nb\"\n0,\"1\",\"2\"\n1,\"he said\n\"\"3\"\"\",4\n2,5,6\n");
        Assert.Equal("A \"x\", y, B b", CsvLog.Channels(reader));
        Assert.Equal("0: A \"x\", y=1 B b=2\n1: A \"x\", y=NaN B b=4\n2: A \"x\", y=5 B b=6", CsvLog.Records(reader));
        ReadingReport report = CsvLog.Report(reader);
        Assert.Equal("rows 4, header 2", CsvLog.Classes(report));
        Assert.Equal(
            "session.csv:4:4: 'A \"x\", y' holds 'he said·\"\"3\"\"', which is no number; a number such as 12.5 is expected, or nothing where there is no reading",
            CsvLog.Problems(report));
    }

    [Fact]
    public void A_stray_quote_costs_its_line_and_not_the_rest_of_the_log()
    {
        ILogReader reader = CsvLog.Open("Time,A\n0,1\n1,\"2\n2,3\n3,4\n4,\"a\"b\n5,6\n");
        Assert.Equal("0: A=1\n2: A=3\n3: A=4\n5: A=6", CsvLog.Records(reader));
        const string Text = "a quoted cell is not closed, or goes on behind its closing quote; write a quote inside quotes twice (RFC 4180), the line was left out";
        ReadingReport report = CsvLog.Report(reader);
        Assert.Equal($"session.csv:3: {Text}\nsession.csv:6: {Text}", CsvLog.Problems(report));
        Assert.Equal("rows 4, header 1, damaged 2", CsvLog.Classes(report));
    }

    // Rows.
    [Fact]
    public void Ragged_rows_give_what_fits_and_are_counted()
    {
        ILogReader reader = CsvLog.Open("Time,A,B\n0,1,2\n1,3\n2,4,5,6\n3,7,8,,\n4,9,10\n");
        Assert.Equal("0: A=1 B=2\n1: A=3\n2: A=4 B=5\n3: A=7 B=8\n4: A=9 B=10", CsvLog.Records(reader));
        Assert.Equal(
            "session.csv:3: the row has 2 cells where 3 are expected; the missing ones have no reading\n"
            + "session.csv:4: the row has 4 cells where the table has 3 columns; those beyond were left out",
            CsvLog.Problems(CsvLog.Report(reader)));
    }

    [Fact]
    public void A_log_cut_off_in_a_cell_does_not_give_half_a_number()
    {
        ILogReader reader = CsvLog.Open("Time,A,B,C\n0,100,200,300\n1,100,200,300\n2,100,20");
        Assert.Equal("0: A=100 B=200 C=300\n1: A=100 B=200 C=300\n2: A=100", CsvLog.Records(reader));
        Assert.Equal(
            "session.csv:4: the file ends in the middle of a row, with 3 cells of 4; the last one may be cut and was left out",
            CsvLog.Problems(CsvLog.Report(reader)));
    }

    [Fact]
    public void A_row_of_separators_is_a_row_without_a_time_and_no_problem()
    {
        ILogReader reader = CsvLog.Open("Time,A\n,\n0,1\n,\n1,2\n,3\n\n   \n2,3\n");
        Assert.Equal("0: A=1\n1: A=2\n2: A=3", CsvLog.Records(reader));
        ReadingReport report = CsvLog.Report(reader);
        Assert.Equal("rows 3, without time 3, blank 2, header 1", CsvLog.Classes(report));
        Assert.Equal("session.csv:6: 'Time' is empty, so that nobody can say when this row was; it was left out", CsvLog.Problems(report));
    }

    [Fact]
    public void The_header_in_the_middle_of_joined_files_is_passed_over()
    {
        ILogReader reader = CsvLog.Open("Time,A\ns,kPa\n0,1\n1,2\nTime,A\ns,kPa\n# note\n2,3\n");
        Assert.Equal("0: A=1\n1: A=2\n2: A=3", CsvLog.Records(reader));
        ReadingReport report = CsvLog.Report(reader);
        Assert.Equal("rows 3, header 2, units 2, comments 1", CsvLog.Classes(report));
        Assert.Equal(0, report.ProblemCount);
    }

    [Fact]
    public void Rows_out_of_order_are_put_in_order()
    {
        ILogReader reader = CsvLog.Open("Time,A\n0,1\n2,3\n1,2\n4,5\n3,4\n");
        Assert.Equal("0: A=1\n1: A=2\n2: A=3\n3: A=4\n4: A=5", CsvLog.Records(reader));
        Assert.Equal(0, CsvLog.Report(reader).TimeWentBack);
    }

    [Fact]
    public void A_row_far_out_of_order_is_left_out_and_counted()
    {
        string text = "Time,A\n" + string.Concat(Enumerable.Range(0, 300).Select(i => $"{i},1\n")) + "5.5,2\n6.5,2\n" + string.Concat(Enumerable.Range(300, 300).Select(i => $"{i},1\n"));
        ILogReader reader = CsvLog.Open(text);
        ReadingReport report = CsvLog.Report(reader);
        Assert.Equal("rows 600, out of order 2, header 1", CsvLog.Classes(report));
        Assert.Equal(1, report.TimeWentBack);
        Assert.Equal(2, report.ProblemCount);
        Assert.Equal(
            "session.csv:302: the time goes back to 37.5 s before rows already read; rows up to 256 rows out of place are put in order, this one was left out",
            report.Problems[0].ToString());
    }

    [Fact]
    public void A_wild_time_stamp_does_not_make_the_rest_late()
    {
        string text = "Time,A\n0,1\n1,1\n9999999,1\n" + string.Concat(Enumerable.Range(2, 2000).Select(i => $"{i},1\n"));
        ReadingReport report = CsvLog.Report(CsvLog.Open(text));
        Assert.Equal("rows 2002, out of order 1, header 1", CsvLog.Classes(report));
        Assert.Equal(new LogTime(2001 * 1_000_000_000L), report.Last);
        Assert.Equal("session.csv: the time of 1 earlier rows was far ahead of all that followed; they were left out", CsvLog.Problems(report));
    }

    [Fact]
    public void A_repeated_row_is_skipped_and_a_second_row_of_the_same_time_is_not()
    {
        ILogReader reader = CsvLog.Open("Time,A,B\n0,1,\n0,1,\n1,2,\n1,,3\n1,2,\n2,4,5\n");
        Assert.Equal("0: A=1\n1: A=2\n1: B=3\n2: A=4 B=5", CsvLog.Records(reader));
        Assert.Equal("rows 4, repeated 2, header 1", CsvLog.Classes(CsvLog.Report(reader)));
    }

    [Fact]
    public void Two_columns_of_one_name_are_told_apart_by_their_number()
    {
        ILogReader reader = CsvLog.Open("Note,x\nTime,Oil Press,B,Oil Press\n0,1,2,3\n1,4,5,6\n");
        Assert.Equal("Oil Press, B, Oil Press#4", CsvLog.Channels(reader));
        const string Text = "session.csv:2: column 'Oil Press' appears twice (columns 2 and 4); rename one, or name the second as source = \"Oil Press#4\"";
        Assert.Contains(Text, reader.Assumptions, StringComparer.Ordinal);
        Assert.Equal(Text, CsvLog.Problems(CsvLog.Report(reader)));
    }

    [Fact]
    public void A_line_too_long_is_skipped()
    {
        string text = "Time,A\n0,1\n1," + new string('7', RecordPump.MaxRecordBytes) + "\n2,3\n";
        ReadingReport report = CsvLog.Report(CsvLog.Open(text));
        Assert.Equal("rows 2, header 1, too long 1", CsvLog.Classes(report));
        Assert.Equal(
            "session.csv:3: the line is longer than 256 KiB and was left out; it begins with '1,777777777777777777777777777777…'", CsvLog.Problems(report));
    }

    [Fact]
    public void Four_thousand_and_ninety_six_columns_are_read_and_one_more_is_refused()
    {
        Assert.Equal(4095, CsvLog.Open(Table(4096)).Channels.Count);
        Assert.Equal(
            "session.csv: the table has 4097 columns; at most 4096 can be read, leave out those that are not needed", CsvLog.Error(Table(4097)));

        static string Table(int columns)
        {
            string rest = string.Concat(Enumerable.Repeat(",1", columns - 1));
            return "Time" + string.Concat(Enumerable.Range(2, columns - 1).Select(i => $",channel number {i}")) + $"\n0{rest}\n1{rest}\n2{rest}\n";
        }
    }

    // Time.
    [Theory]
    [InlineData("Time [s],A\n10.5,1\n10.75,2\n", "10.5: A=1\n10.75: A=2", "Time is column 1 'Time [s]' in seconds, as its unit says.")]
    [InlineData("Time (ms),A\n500,1\n550,2\n", "0.5: A=1\n0.55: A=2", "Time is column 1 'Time (ms)' in milliseconds, as its unit says.")]
    [InlineData("time_us,A\n500,1\n550,2\n", "0.0005: A=1\n0.00055: A=2", "Time is column 1 'time_us' in microseconds, as its unit says.")]
    [InlineData("Milliseconds,A\n500,1\n550,2\n", "0.5: A=1\n0.55: A=2", "Time is column 1 'Milliseconds' in milliseconds, as its name says.")]
    [InlineData("A,Time\n1,500\n2,550\n", "0.5: A=1\n0.55: A=2", "Time is column 2 'Time' in milliseconds, judged by its step of 50 as no unit is given.")]
    [InlineData("Time,A\n0,1\n50000,2\n", "0: A=1\n0.05: A=2", "Time is column 1 'Time' in microseconds, judged by its step of 50000 as no unit is given.")]
    [InlineData("Timestamp,A\n1436509052.25,1\n1436509052.75,2\n", "0: A=1\n0.5: A=2", "Time is column 1 'Timestamp' in seconds, judged by its step of 0.5 as no unit is given; it counts from the first row.")]
    [InlineData("Timestamp,A\n1436509052250,1\n1436509052750,2\n", "0: A=1\n0.5: A=2", "Time is column 1 'Timestamp' in milliseconds, since 1970, judged by its size as no unit is given; it counts from the first row.")]
    [InlineData("Time,A\n2026-04-12T10:15:30.5Z,1\n2026-04-12T10:15:31Z,2\n", "0: A=1\n0.5: A=2", "Time is column 1 'Time' as date and clock; it counts from the first row.")]
    [InlineData("Time,A\n2026-04-12 23:59:59.5,1\n2026-04-13 00:00:01,2\n", "0: A=1\n1.5: A=2", "Time is column 1 'Time' as date and clock; it counts from the first row.")]
    [InlineData("Time,A\n10:15:30.5,1\n10:15:31,2\n", "36930.5: A=1\n36931: A=2", "Time is column 1 'Time' as hours, minutes and seconds.")]
    [InlineData("Time,A\n0:59.5,1\n1:00.25,2\n", "59.5: A=1\n60.25: A=2", "Time is column 1 'Time' as hours, minutes and seconds.")]
    [InlineData("Time,A\n23:59:59.5,1\n00:00:00,2\n00:00:01,3\n", "86399.5: A=1\n86400: A=2\n86401: A=3", "Time is column 1 'Time' as hours, minutes and seconds.")]
    [InlineData("Date,Time,A\n2026-04-12,23:59:59,1\n2026-04-14,00:00:01,2\n", "0: A=1\n86402: A=2", "Time is column 2 'Time' on the date in column 1 'Date'; it counts from the first row.")]
    [InlineData("Date,Time,A\n12.04.2026,10:00:00,1\n12.04.2026,10:00:01,2\n", "0: A=1\n1: A=2", "Time is column 2 'Time' on the date in column 1 'Date'; it counts from the first row.")]
    [InlineData("Lap,Session Clock Time,A\n1,0.5,7\n1,0.6,7\n1,0.7,7\n", "0.5: Lap=1 A=7\n0.6: Lap=1 A=7\n0.7: Lap=1 A=7", "Time is column 2 'Session Clock Time' in seconds, judged by its step of 0.1 as no unit is given.")]
    [InlineData("Lap,x,A\n1,0.5,7\n2,0.6,7\n3,0.7,7\n", "0.5: Lap=1 A=7\n0.6: Lap=2 A=7\n0.7: Lap=3 A=7", "No column is called time; column 2 'x' only ever grows and was taken for it.")]
    [InlineData("Sample Rate,20\nA,B\n1,2\n1,3\n\n2,1\n", "0: A=1 B=2\n0.05: A=1 B=3\n0.1: A=2 B=1", "No column is called time; rows were timed by 'Sample Rate, 20' above the column names.")]
    [InlineData("Rate [kHz],1.6\nA,B\n1,2\n1,3\n2,1\n", "0: A=1 B=2\n0.000625: A=1 B=3\n0.00125: A=2 B=1", "No column is called time; rows were timed by 'Rate [kHz], 1.6' above the column names.")]
    [InlineData("Interval,50 ms\nA,B\n1,2\n1,3\n2,1\n", "0: A=1 B=2\n0.05: A=1 B=3\n0.1: A=2 B=1", "No column is called time; rows were timed by 'Interval, 50 ms' above the column names.")]
    [InlineData("Time [s],A\n-0.5,1\n0.5,2\n", "-0.5: A=1\n0.5: A=2", "Time is column 1 'Time [s]' in seconds, as its unit says.")]
    [InlineData("Time [s];A\n0,5;1\n0,75;2\n", "0.5: A=1\n0.75: A=2", "Time is column 1 'Time [s]' in seconds, as its unit says.")]
    [InlineData("Time [s],A\n1.0e+00,1\n1.5e+00,2\n", "1: A=1\n1.5: A=2", "Time is column 1 'Time [s]' in seconds, as its unit says.")]
    public void The_time_is_found_and_said(string text, string records, string said)
    {
        ILogReader reader = CsvLog.Open(text);
        Assert.Equal(records, CsvLog.Records(reader));
        Assert.Contains(said, reader.Assumptions, StringComparer.Ordinal);
        Assert.Equal(0, CsvLog.Report(reader).ProblemCount);
    }

    [Fact]
    public void A_slashed_date_that_may_be_either_is_left_to_the_clock()
    {
        ILogReader reader = CsvLog.Open("Date,Time,A\n04/05/2026,23:59:59,1\n05/05/2026,00:00:00,2\n");
        Assert.Equal("86399: A=1\n86400: A=2", CsvLog.Records(reader, 1));
        Assert.Contains("The dates in column 1 'Date' may have the day or the month first; days are counted by the clock passing midnight instead.", reader.Assumptions, StringComparer.Ordinal);
    }

    [Fact]
    public void A_row_whose_time_is_no_time_is_damaged()
    {
        ILogReader reader = CsvLog.Open("Time,A\n0,1\nx2,2\n2,3\n3,4\n4,5\n5,6\n");
        ReadingReport report = CsvLog.Report(reader);
        Assert.Equal("rows 5, header 1, damaged 1", CsvLog.Classes(report));
        Assert.Equal("session.csv:3:1: 'Time' holds 'x2', which is no time; a number is expected, the row was left out", CsvLog.Problems(report));
    }

    [Fact]
    public void Without_any_time_the_log_is_refused_with_advice() =>
        Assert.Equal(
            "session.csv: no column holds the time: none is called Time or Timestamp, and no column of numbers only ever grows; add a time column in seconds, or a line 'Sample Rate,20' (rows a second) above the column names",
            CsvLog.Error("A,B\n1,2\n1,1\n2,2\n1,1\n"));

    [Theory]
    [InlineData("de-DE", ",")]
    [InlineData("tr-TR", "١")]
    public void The_culture_of_the_machine_changes_nothing(string name, string sign)
    {
        // The build has no culture data, so the culture is one that could not be more awkward.
        var culture = (CultureInfo)CultureInfo.InvariantCulture.Clone();
        culture.NumberFormat = new NumberFormatInfo { NumberDecimalSeparator = sign, NumberGroupSeparator = ".", NegativeSign = "~", PositiveSign = name };
        CultureInfo before = CultureInfo.CurrentCulture;
        const string Log = "TIME [s],IdLiI [KPA]\n-0.5,1.5\n0.5,-2.5\n1.5,1e3\n2.5,abc\n3.5,12345678901234567890.5\n";
        (string, string, string, string) Everything()
        {
            ILogReader reader = CsvLog.Open(Log);
            return (CsvLog.Channels(reader), CsvLog.Records(reader), string.Join('\n', reader.Assumptions), CsvLog.Problems(CsvLog.Report(reader)));
        }
        var expected = Everything();
        try
        {
            CultureInfo.CurrentCulture = culture;
            Assert.Equal(expected, Everything());
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }
}
