using System.Text;
using OilWatch.Console;

// Names of channels and units such as °C need it wherever the code page is another one.
Console.OutputEncoding = new UTF8Encoding(encoderShouldEmitUTF8Identifier: false);
return await CommandLine.RunAsync(args, Surroundings.OfProcess());
