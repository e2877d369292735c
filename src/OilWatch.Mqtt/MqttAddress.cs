namespace OilWatch.Mqtt;

/// <summary>Brokers by their addresses: <c>mqtt://HOST[:PORT][/PREFIX]</c>, and <c>mqtts://</c> for TLS.</summary>
public static class MqttAddress
{
    private const string Form = "mqtt://HOST[:PORT][/PREFIX] or mqtts://HOST[:PORT][/PREFIX]";
    private const int MostChars = 1024;

    /// <summary>The broker of an address.</summary>
    /// <param name="address">Such as <c>mqtt://192.0.2.1:1883/pit</c>; a user before <c>@</c> may be named, a password not.</param>
    /// <returns>The options, or what is wrong and what would be right. A password in the address is never repeated.</returns>
    public static (MqttOptions? Options, string? Problem) Parse(string address)
    {
        ArgumentNullException.ThrowIfNull(address);
        string shown = Shown(address);
        if (address.Length > MostChars) return (null, $"{shown}: an address of a broker is not so long");
        if (!Uri.TryCreate(address, UriKind.Absolute, out Uri? uri) || uri.Scheme is not ("mqtt" or "mqtts") || !address.Contains("://", StringComparison.Ordinal))
            return (null, $"{shown}: {Form} is allowed");
        bool tls = string.Equals(uri.Scheme, "mqtts", StringComparison.Ordinal);
        string user = Uri.UnescapeDataString(uri.UserInfo);
        if (uri.UserInfo.Contains(':', StringComparison.Ordinal))
            return (null, $"{shown}: everybody on the machine can read a password given there; put it in a file or in the environment");
        if (uri.Host.Length == 0) return (null, $"{shown}: a host is needed: {Form}");
        if (uri.Port == 0) return (null, $"{shown}: a port from 1 to 65535 is allowed");
        if (uri.Query.Length > 0 || uri.Fragment.Length > 0) return (null, $"{shown}: ? and # have no place there: {Form}");
        string prefix = Uri.UnescapeDataString(uri.AbsolutePath).Trim('/');
        if (prefix.Length == 0) prefix = MqttOptions.UsualPrefix;
        if (!TopicNames.IsPrefix(prefix)) return (null, $"{shown}: the prefix of the topics cannot be used: {TopicNames.PrefixRule}");
        return (new MqttOptions
        {
            Host = uri.IdnHost.Trim('[', ']'),
            Port = uri.Port > 0 ? uri.Port : tls ? 8883 : 1883,
            UseTls = tls,
            User = user.Length == 0 ? null : user,
            Prefix = prefix,
        }, null);
    }

    /// <summary>The address with whatever might be a password left out.</summary>
    private static string Shown(string address)
    {
        if (address.Length > MostChars) address = address[..40] + "...";
        int at = address.LastIndexOf('@');
        int slashes = address.IndexOf("://", StringComparison.Ordinal);
        return at < 0 ? address : string.Concat(slashes >= 0 && slashes < at ? address.AsSpan(0, slashes + 3) : "", "...", address.AsSpan(at));
    }
}
