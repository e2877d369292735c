using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Options;
using OilWatch.Live;

namespace OilWatch.Hosting;

/// <summary>Says everything that is wrong with the options, before the host runs.</summary>
internal sealed class OilWatchValidation(IServiceProviderIsService registered) : IValidateOptions<OilWatchOptions>
{
    public ValidateOptionsResult Validate(string? name, OilWatchOptions options)
    {
        List<string> problems = [.. options.Problems(needsSource: !registered.IsService(typeof(ILiveSource))).Select(problem => $"OilWatch:{problem}")];
        return problems.Count == 0 ? ValidateOptionsResult.Success : ValidateOptionsResult.Fail(problems);
    }
}
