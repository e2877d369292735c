using System.Collections.Immutable;
using System.Globalization;
using OilWatch.Reading;

namespace OilWatch.Cars;

/// <summary>Gathers the problems of a car file; a hostile file cannot make it large.</summary>
internal sealed class CarProblems(string fileName)
{
    private const int AtMost = 100;

    private readonly List<ReadingProblem> _problems = [];
    private int _more;

    /// <summary>How many there are.</summary>
    public int Count => _problems.Count + _more;

    /// <summary>Adds a problem at a place counted from 1.</summary>
    public void Add(int line, int column, string text)
    {
        if (_problems.Count < AtMost) _problems.Add(new ReadingProblem(fileName, line, column, text));
        else _more++;
    }

    /// <summary>All in the order of the file, the first hundred in full.</summary>
    public ImmutableArray<ReadingProblem> InOrder()
    {
        IEnumerable<ReadingProblem> ordered = _problems.OrderBy(problem => problem.Line).ThenBy(problem => problem.Column);
        return _more == 0
            ? [.. ordered]
            : [.. ordered, new ReadingProblem(fileName, 0, 0, string.Create(CultureInfo.InvariantCulture, $"and {_more} more problems"))];
    }
}
