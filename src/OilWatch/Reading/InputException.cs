namespace OilWatch.Reading;

/// <summary>An input as a whole cannot be used. Its message is fit for a person: file, place, what is wrong, what would be right.</summary>
public sealed class InputException : Exception
{
    /// <summary>With a message of its own.</summary>
    public InputException(string message) : base(message) { }

    /// <summary>With the problem as the message.</summary>
    public InputException(ReadingProblem problem) : base(problem.ToString()) { }

    /// <summary>With the error that led to it.</summary>
    public InputException(string message, Exception innerException) : base(message, innerException) { }

    /// <summary>Without a message; for serializers only.</summary>
    public InputException() { }
}
