namespace OilWatch.Report.Markup;

/// <summary>A column of a table.</summary>
/// <param name="Head">What stands over it.</param>
/// <param name="Phone">Its share of the width of a phone, %, one of those that the style sheet knows; 0 for a column whose cells stand there in a second line, each with its head.</param>
/// <param name="Words">True to set it left.</param>
/// <param name="Long">True for sentences.</param>
/// <param name="Tail">What stands after the cell in that second line, instead of the head before it; null for the head.</param>
internal readonly record struct Column(string Head, int Phone = 0, bool Words = false, bool Long = false, string? Tail = null);
