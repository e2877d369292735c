namespace OilWatch.Vibration;

/// <summary>An order of vibration that means something for an engine.</summary>
/// <param name="Order">Cycles per crank revolution.</param>
/// <param name="Name">What the trade calls it, such as <c>firing order</c>.</param>
/// <param name="Tells">What a rise of it points to, in one sentence.</param>
public sealed record NamedOrder(double Order, string Name, string Tells);
