using System.Globalization;
using System.Reflection;
using System.Text;

namespace OilWatch.Tests.Architecture;

/// <summary>What the core library promises to those who call it: a reviewed text, so that no member comes or goes unseen.</summary>
public sealed class PublicApiTests
{
    private const BindingFlags Declared = BindingFlags.Public | BindingFlags.NonPublic | BindingFlags.Instance | BindingFlags.Static | BindingFlags.DeclaredOnly;

    [Fact]
    public void The_public_members_are_those_that_were_reviewed()
    {
        string approvedPath = RepositoryFolder.PathOf("tests", "OilWatch.Tests", "Architecture", "PublicApi.txt");
        string receivedPath = Path.Combine(AppContext.BaseDirectory, "PublicApi.received.txt");
        string received = Text(typeof(LogTime).Assembly);
        string approved = File.Exists(approvedPath) ? File.ReadAllText(approvedPath).ReplaceLineEndings("\n") : "";
        if (string.Equals(received, approved, StringComparison.Ordinal)) return;
        File.WriteAllText(receivedPath, received);
        string[] was = approved.Split('\n'), now = received.Split('\n');
        string changes = string.Join('\n', was.Except(now, StringComparer.Ordinal).Select(line => "- " + line).Concat(now.Except(was, StringComparer.Ordinal).Select(line => "+ " + line)).Take(60));
        Assert.Fail($"The public members have changed. If that is meant, replace {approvedPath} by {receivedPath}.\n{changes}");
    }

    private static string Text(Assembly assembly)
    {
        var text = new StringBuilder();
        foreach (Type type in assembly.GetExportedTypes().OrderBy(type => type.FullName, StringComparer.Ordinal))
        {
            text.Append(CultureInfo.InvariantCulture, $"{Kind(type)} {Name(type)}\n");
            IEnumerable<string> members = type.IsEnum
                ? Enum.GetValues(type).Cast<object>().Select(value => string.Create(CultureInfo.InvariantCulture, $"{value} = {Convert.ToInt64(value, CultureInfo.InvariantCulture)}"))
                : type.GetMembers(Declared).Select(Line).OfType<string>().Order(StringComparer.Ordinal);
            foreach (string member in members) text.Append(CultureInfo.InvariantCulture, $"    {member}\n");
        }

        return text.ToString();
    }

    private static string Kind(Type type) => type switch
    {
        { IsEnum: true } => "enum",
        { IsValueType: true } => "struct",
        { IsInterface: true } => "interface",
        _ when type.IsSubclassOf(typeof(Delegate)) => "delegate",
        { IsAbstract: true, IsSealed: true } => "static class",
        { IsAbstract: true } => "abstract class",
        _ => "class",
    };

    private static string? Line(MemberInfo member) => member switch
    {
        // What the compiler makes for records is the same for all of them.
        MethodInfo { Name: "Equals" or "GetHashCode" or "ToString" or "PrintMembers" or "Deconstruct" or "op_Equality" or "op_Inequality" or "<Clone>$" } => null,
        PropertyInfo { Name: "EqualityContract" } => null,
        MethodInfo { IsSpecialName: true } accessor when accessor.Name.StartsWith("get_", StringComparison.Ordinal) || accessor.Name.StartsWith("set_", StringComparison.Ordinal) => null,
        FieldInfo { IsPublic: true } field => $"{(field.IsLiteral ? "const" : "field")} {Name(field.FieldType)} {field.Name}",
        ConstructorInfo { IsPublic: true } made => $"new({Parameters(made)})",
        MethodInfo method when method.IsPublic || method.IsFamily => $"{(method.IsStatic ? "static " : "")}{Name(method.ReturnType)} {method.Name}{Generic(method)}({Parameters(method)})",
        PropertyInfo property when property.GetMethod is { IsPublic: true } get =>
            $"{(get.IsStatic ? "static " : "")}{Name(property.PropertyType)} {property.Name}{Index(property)} {{ get;{(property.SetMethod is { IsPublic: true } set ? IsInit(set) ? " init;" : " set;" : "")} }}",
        EventInfo raised => $"event {Name(raised.EventHandlerType!)} {raised.Name}",
        _ => null,
    };

    private static string Generic(MethodInfo method) => method.IsGenericMethod ? $"<{string.Join(", ", method.GetGenericArguments().Select(Name))}>" : "";

    private static string Index(PropertyInfo property) =>
        property.GetIndexParameters() is { Length: > 0 } parameters ? $"[{string.Join(", ", parameters.Select(parameter => Name(parameter.ParameterType)))}]" : "";

    private static bool IsInit(MethodInfo set) =>
        set.ReturnParameter.GetRequiredCustomModifiers().Contains(typeof(System.Runtime.CompilerServices.IsExternalInit));

    private static string Parameters(MethodBase method) =>
        string.Join(", ", method.GetParameters().Select(parameter =>
            $"{(parameter.IsOut ? "out " : parameter.IsIn ? "in " : parameter.ParameterType.IsByRef ? "ref " : "")}{Name(parameter.ParameterType)} {parameter.Name}{(parameter.IsOptional ? " = default" : "")}"));

    private static string Name(Type type)
    {
        if (type.IsByRef || type.IsPointer) return Name(type.GetElementType()!);
        if (type.IsArray) return Name(type.GetElementType()!) + "[]";
        if (type.IsGenericParameter) return type.Name;
        if (Nullable.GetUnderlyingType(type) is { } inner) return Name(inner) + "?";
        string name = type.FullName is { } full && full.StartsWith("OilWatch.", StringComparison.Ordinal) ? full["OilWatch.".Length..] : type.Name;
        if (!type.IsGenericType) return name.Replace('+', '.');
        name = type.IsGenericTypeDefinition || !name.Contains('[', StringComparison.Ordinal) ? name : name[..name.IndexOf('[', StringComparison.Ordinal)];
        int tick = name.IndexOf('`', StringComparison.Ordinal);
        return $"{(tick < 0 ? name : name[..tick])}<{string.Join(", ", type.GetGenericArguments().Select(Name))}>";
    }
}
