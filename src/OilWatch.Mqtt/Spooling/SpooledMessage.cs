namespace OilWatch.Mqtt.Spooling;

/// <summary>A message that has to arrive.</summary>
/// <param name="Run">Which run of the program it came from, 16 hexadecimal digits.</param>
/// <param name="Sequence">Its number within the run, from 1.</param>
/// <param name="AtUs">When it arose, µs since 1970.</param>
/// <param name="Rank">What goes first when there is no more room: 0 before 1 before 2.</param>
/// <param name="Topic">Where it goes.</param>
/// <param name="Payload">What it says.</param>
internal sealed record SpooledMessage(string Run, long Sequence, long AtUs, int Rank, string Topic, byte[] Payload);
