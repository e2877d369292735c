using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using OilWatch.Mqtt;

namespace OilWatch.Hosting;

/// <summary>The broker that a host tells.</summary>
public sealed class OilWatchMqttOptions
{
    private const int MaxFileBytes = 1024 * 1024;

    /// <summary><c>mqtt://HOST[:PORT][/PREFIX]</c>, or <c>mqtts://</c> for TLS; null for no broker.</summary>
    public string? Url { get; set; }

    /// <summary>User name, or null.</summary>
    public string? User { get; set; }

    /// <summary>Password, or null: for the environment (<c>OilWatch__Mqtt__Password</c>) and secret stores, not for files that others read.</summary>
    public string? Password { get; set; }

    /// <summary>A file whose first line is the password, such as a credential of the service manager; goes before <see cref="Password"/>.</summary>
    public string? PasswordFile { get; set; }

    /// <summary>Certificate authorities (PEM) to trust in place of the system's; null for the system's.</summary>
    public string? CaFile { get; set; }

    /// <summary>The name by which the broker knows this client; null for <c>oilwatch-CAR</c>.</summary>
    public string? ClientId { get; set; }

    /// <summary>Where alerts and laps wait while the broker is away; null for the folder of results, or memory where there is none.</summary>
    public string? SpoolFolder { get; set; }

    internal IEnumerable<string> Problems() => Read().Problems;

    /// <summary>The options of the publisher, or null where no broker is to be told; and everything that is wrong.</summary>
    internal (MqttOptions? Options, IReadOnlyList<string> Problems) Read()
    {
        var problems = new List<string>();
        if (string.IsNullOrWhiteSpace(Url)) return (null, problems);
        (MqttOptions? options, string? problem) = MqttAddress.Parse(Url);
        if (options is null) return (null, [$"Url: {problem}"]);
        options = options with
        {
            User = User ?? options.User,
            Password = PasswordFile is null ? Password : Text(PasswordFile, nameof(PasswordFile), problems)?.Split('\n', 2)[0].TrimEnd('\r'),
            ClientId = ClientId,
            TrustedRoots = CaFile is null ? null : Authorities(problems),
        };
        problems.AddRange(options.Problems());
        return (options, problems);
    }

    private X509Certificate2Collection? Authorities(List<string> problems)
    {
        var authorities = new X509Certificate2Collection();
        try
        {
            if (Text(CaFile!, nameof(CaFile), problems) is not { } pem) return null;
            authorities.ImportFromPem(pem);
        }
        catch (CryptographicException)
        {
            authorities.Clear();
        }
        if (authorities.Count == 0) problems.Add($"CaFile: {CaFile}: a file with certificates in PEM form is needed");
        return authorities;
    }

    private static string? Text(string path, string name, List<string> problems)
    {
        try
        {
            if (new FileInfo(path).Length <= MaxFileBytes) return File.ReadAllText(path);
            problems.Add($"{name}: {path}: is larger than 1 MiB, so it is not what is needed");
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            problems.Add($"{name}: {error.Message.TrimEnd('.')}");
        }
        return null;
    }
}
