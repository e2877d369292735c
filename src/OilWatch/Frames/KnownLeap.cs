namespace OilWatch.Frames;

/// <summary>A stretch in which oil pressure read wrong by a constant, as a look at the whole run found it.</summary>
/// <param name="From">Between the last reading before it and its first.</param>
/// <param name="To">Between its last reading and the first after it.</param>
/// <param name="Kpa">By how much, kPa; negative when it read too little.</param>
internal readonly record struct KnownLeap(LogTime From, LogTime To, double Kpa);
