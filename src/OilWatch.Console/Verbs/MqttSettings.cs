using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using System.Text;
using OilWatch.Mqtt;

namespace OilWatch.Console.Verbs;

/// <summary>Which broker <c>watch</c> tells, and where it keeps what the broker has not got yet.</summary>
/// <param name="Options">The broker and the topics.</param>
/// <param name="Spool">The folder of the spool; null for that of the results, or memory where there is none.</param>
internal sealed record MqttSettings(MqttOptions Options, string? Spool)
{
    public const string UserVariable = "OILWATCH_MQTT_USER", PasswordVariable = "OILWATCH_MQTT_PASSWORD";

    private const int MaxFileBytes = 1024 * 1024;

    /// <summary>What was asked for, or null when no broker was.</summary>
    /// <exception cref="UsageException">It cannot be used.</exception>
    public static MqttSettings? Of(string? address, string? user, string? passwordFile, string? authorities, string? clientId, string? spool, Func<string, string?> variable)
    {
        if (address is null)
        {
            (string Name, string? Value)[] others = [("--mqtt-user", user), ("--mqtt-password-file", passwordFile), ("--mqtt-ca", authorities), ("--mqtt-client-id", clientId), ("--mqtt-spool", spool)];
            return others.FirstOrDefault(option => option.Value is not null).Name is { } lonely
                ? throw new UsageException($"{lonely} needs --mqtt URL; see 'oilwatch watch --help'")
                : null;
        }
        (MqttOptions? options, string? problem) = MqttAddress.Parse(address);
        if (options is null) throw new UsageException($"--mqtt {problem}");
        options = options with
        {
            User = user ?? options.User ?? variable(UserVariable),
            Password = passwordFile is null ? variable(PasswordVariable) : PasswordIn(passwordFile),
            TrustedRoots = authorities is null ? null : AuthoritiesIn(authorities),
            ClientId = clientId,
        };
        if (authorities is not null && !options.UseTls) throw new UsageException("--mqtt-ca is for mqtts:// addresses");
        if (options is { Password: not null, User: null })
            throw new UsageException($"a password for the broker needs a user with it: --mqtt-user NAME, {UserVariable}, or mqtt://NAME@HOST");
        if (options.Problems().FirstOrDefault(said => said.StartsWith(nameof(MqttOptions.ClientId), StringComparison.Ordinal)) is not null)
            throw new UsageException("--mqtt-client-id: 1 to 128 characters are allowed, no control characters");
        return options.Problems().ToList() is { Count: > 0 } problems ? throw new UsageException([.. problems.Select(said => $"--mqtt: {said}")]) : new MqttSettings(options, spool);
    }

    /// <summary>The first line of a file.</summary>
    private static string PasswordIn(string path)
    {
        string[] lines = Encoding.UTF8.GetString(Read(path, "--mqtt-password-file")).TrimStart('\uFEFF').Split('\n', 2);
        string password = lines[0].TrimEnd('\r');
        return password.Length > 0 ? password : throw new UsageException($"--mqtt-password-file {path}: its first line is empty; write the password there");
    }

    private static X509Certificate2Collection AuthoritiesIn(string path)
    {
        var authorities = new X509Certificate2Collection();
        try
        {
            authorities.ImportFromPem(Encoding.UTF8.GetString(Read(path, "--mqtt-ca")));
        }
        catch (CryptographicException error)
        {
            throw new UsageException($"--mqtt-ca {path}: {error.Message.TrimEnd('.')}; a file with certificates in PEM form is needed");
        }
        return authorities.Count > 0 ? authorities : throw new UsageException($"--mqtt-ca {path}: there is no certificate in it; a file with certificates in PEM form is needed");
    }

    private static byte[] Read(string path, string option)
    {
        try
        {
            if (!File.Exists(path)) throw new UsageException($"{option} {path}: there is no such file; check the name");
            return new FileInfo(path).Length <= MaxFileBytes ? File.ReadAllBytes(path) : throw new UsageException($"{option} {path}: is larger than 1 MiB, so it is not what is needed");
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw new UsageException($"{option} {Failures.Reading(path, error)}");
        }
    }
}
