using System.Collections.Immutable;

namespace OilWatch.Results;

/// <summary>One named value of a row: a CSV column and a JSON field alike.</summary>
internal sealed record Column<T>(string Name, Func<T, ResultValue> Value);

/// <summary>Rows as named values.</summary>
internal static class Column
{
    /// <summary>One row as a map of all columns.</summary>
    public static ResultValue Row<T>(ImmutableArray<Column<T>> columns, T row) =>
        new ResultValue.Fields([.. columns.Select(column => (column.Name, column.Value(row)))]);
}
