namespace OilWatch.Console.Text;

/// <summary>Rows in columns. A column that is empty throughout is left out; columns of names give way when the page is too narrow.</summary>
internal sealed class TextTable(params IReadOnlyList<TextColumn> columns)
{
    private const string Indent = "  ";
    private const int Between = 2;
    private const int NarrowestName = 6;

    private readonly List<string[]> _rows = [];

    public void Add(params IEnumerable<string> cells) => _rows.Add([.. cells.Select(PlainText.Clean)]);

    /// <summary>The header and the rows, none wider than <paramref name="columnsOfPage"/>.</summary>
    public IEnumerable<string> Lines(int columnsOfPage)
    {
        if (_rows.Count == 0) yield break;
        int[] widths = Widths(columnsOfPage - Indent.Length);
        yield return Joined(widths, [.. columns.Select(column => column.Header)], columnsOfPage);
        foreach (string[] row in _rows) yield return Joined(widths, row, columnsOfPage);
    }

    private int[] Widths(int room)
    {
        var widths = new int[columns.Count];
        for (int i = 0; i < widths.Length; i++)
        {
            int widest = _rows.Max(row => PlainText.Width(row[i]));
            if (widest > 0) widths[i] = Math.Max(widest, PlainText.Width(columns[i].Header));
        }
        while (Needed(widths) > room && WidestName(widths) is >= 0 and var name) widths[name]--;
        return widths;
    }

    private static int Needed(int[] widths) =>
        widths.Sum() + (Between * Math.Max(0, widths.Count(width => width > 0) - 1));

    private int WidestName(int[] widths)
    {
        int widest = -1;
        for (int i = 0; i < widths.Length; i++)
            if (columns[i].IsName && widths[i] > NarrowestName && (widest < 0 || widths[i] > widths[widest])) widest = i;
        return widest;
    }

    private string Joined(int[] widths, string[] cells, int columnsOfPage)
    {
        IEnumerable<string> shown = cells
            .Select((cell, i) => (Cell: PlainText.Pad(cell, widths[i], right: !columns[i].IsName), Width: widths[i]))
            .Where(cell => cell.Width > 0)
            .Select(cell => cell.Cell);
        return PlainText.Fit(Indent + string.Join(new string(' ', Between), shown), columnsOfPage).TrimEnd();
    }
}
