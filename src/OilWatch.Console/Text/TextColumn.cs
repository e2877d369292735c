namespace OilWatch.Console.Text;

/// <summary>A column of a table.</summary>
/// <param name="Header">What stands over it.</param>
/// <param name="IsName">True for names, set left and cut when the page is too narrow; false for numbers, set right.</param>
internal sealed record TextColumn(string Header, bool IsName = false);
