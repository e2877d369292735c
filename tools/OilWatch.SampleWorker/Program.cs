using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using OilWatch.Hosting;
using OilWatch.SampleWorker;

HostApplicationBuilder builder = Host.CreateApplicationBuilder(args);
builder.Services.AddSystemd();
builder.Services.AddOilWatch(builder.Configuration.GetSection("OilWatch"));
builder.Services.AddHostedService<AlertPrinter>();
await builder.Build().RunAsync();
