using System.Reflection;
using System.Reflection.Emit;
using System.Reflection.Metadata;
using System.Reflection.Metadata.Ecma335;
using System.Reflection.PortableExecutable;

namespace OilWatch.Tests.Architecture;

/// <summary>What each type of an assembly touches: the members its instructions name, and the types of its fields and signatures.</summary>
internal sealed class IlReferences
{
    private static readonly Dictionary<int, OpCode> Codes = typeof(OpCodes).GetFields(BindingFlags.Public | BindingFlags.Static)
        .Select(field => (OpCode)field.GetValue(null)!).ToDictionary(code => (int)(ushort)code.Value);

    private readonly MetadataReader _metadata;
    private readonly TypeNames _names = new();

    private IlReferences(MetadataReader metadata) => _metadata = metadata;

    /// <summary>Outermost declaring type, and what it touches as <c>Namespace.Type::Member</c> or <c>Namespace.Type</c>; one row each.</summary>
    public static List<(string From, string To)> Of(string assemblyPath)
    {
        using var stream = File.OpenRead(assemblyPath);
        using var image = new PEReader(stream);
        MetadataReader metadata = image.GetMetadataReader();
        var references = new IlReferences(metadata);
        var rows = new HashSet<(string, string)>();
        foreach (TypeDefinitionHandle handle in metadata.TypeDefinitions)
        {
            string from = references.Outermost(handle);
            TypeDefinition type = metadata.GetTypeDefinition(handle);
            foreach (FieldDefinitionHandle field in type.GetFields())
                foreach (string to in metadata.GetFieldDefinition(field).DecodeSignature(references._names, null)) rows.Add((from, to));
            if (!type.BaseType.IsNil) rows.Add((from, references.NameOf(type.BaseType)));
            foreach (MethodDefinitionHandle methodHandle in type.GetMethods())
            {
                MethodDefinition method = metadata.GetMethodDefinition(methodHandle);
                MethodSignature<IEnumerable<string>> signature = method.DecodeSignature(references._names, null);
                foreach (string to in signature.ParameterTypes.Append(signature.ReturnType).SelectMany(names => names)) rows.Add((from, to));
                if (method.RelativeVirtualAddress == 0) continue;
                foreach (string to in references.Touched(image.GetMethodBody(method.RelativeVirtualAddress).GetILReader())) rows.Add((from, to));
            }
        }

        return [.. rows.Order()];
    }

    private List<string> Touched(BlobReader il)
    {
        var touched = new List<string>();
        while (il.RemainingBytes > 0)
        {
            int value = il.ReadByte();
            if (value == 0xFE) value = (value << 8) | il.ReadByte();
            switch (Codes[value].OperandType)
            {
                case OperandType.InlineNone: break;
                case OperandType.ShortInlineBrTarget or OperandType.ShortInlineI or OperandType.ShortInlineVar: il.ReadByte(); break;
                case OperandType.InlineVar: il.ReadInt16(); break;
                case OperandType.InlineI8 or OperandType.InlineR: il.ReadInt64(); break;
                case OperandType.InlineSwitch:
                    int targets = il.ReadInt32();
                    il.Offset += 4 * targets;
                    break;
                case OperandType.InlineField or OperandType.InlineMethod or OperandType.InlineTok or OperandType.InlineType:
                    EntityHandle handle = MetadataTokens.EntityHandle(il.ReadInt32());
                    if (NameOf(handle) is { Length: > 0 } name) touched.Add(name);
                    break;
                default: il.ReadInt32(); break;
            }
        }

        return touched;
    }

    private string NameOf(EntityHandle handle)
    {
        switch (handle.Kind)
        {
            case HandleKind.TypeReference: return TypeNames.Of(_metadata, (TypeReferenceHandle)handle);
            case HandleKind.TypeDefinition: return Outermost((TypeDefinitionHandle)handle);
            case HandleKind.TypeSpecification: return _metadata.GetTypeSpecification((TypeSpecificationHandle)handle).DecodeSignature(_names, null).FirstOrDefault() ?? "";
            case HandleKind.MethodSpecification: return NameOf(_metadata.GetMethodSpecification((MethodSpecificationHandle)handle).Method);
            case HandleKind.MemberReference:
                MemberReference member = _metadata.GetMemberReference((MemberReferenceHandle)handle);
                return $"{NameOf(member.Parent)}::{_metadata.GetString(member.Name)}";
            case HandleKind.MethodDefinition:
                MethodDefinition method = _metadata.GetMethodDefinition((MethodDefinitionHandle)handle);
                return $"{Outermost(method.GetDeclaringType())}::{_metadata.GetString(method.Name)}";
            case HandleKind.FieldDefinition: return Outermost(_metadata.GetFieldDefinition((FieldDefinitionHandle)handle).GetDeclaringType());
            default: return "";
        }
    }

    private string Outermost(TypeDefinitionHandle handle) => TypeNames.Outermost(_metadata, handle);

    /// <summary>The names of the types in a signature.</summary>
    private sealed class TypeNames : ISignatureTypeProvider<IEnumerable<string>, object?>
    {
        public static string Of(MetadataReader reader, TypeReferenceHandle handle)
        {
            TypeReference type = reader.GetTypeReference(handle);
            while (type.ResolutionScope.Kind == HandleKind.TypeReference) type = reader.GetTypeReference((TypeReferenceHandle)type.ResolutionScope);
            return $"{reader.GetString(type.Namespace)}.{reader.GetString(type.Name)}";
        }

        public static string Outermost(MetadataReader reader, TypeDefinitionHandle handle)
        {
            TypeDefinition type = reader.GetTypeDefinition(handle);
            while (type.GetDeclaringType() is { IsNil: false } outer) type = reader.GetTypeDefinition(outer);
            return $"{reader.GetString(type.Namespace)}.{reader.GetString(type.Name)}";
        }

        public IEnumerable<string> GetTypeFromDefinition(MetadataReader reader, TypeDefinitionHandle handle, byte rawTypeKind) => [Outermost(reader, handle)];

        public IEnumerable<string> GetTypeFromReference(MetadataReader reader, TypeReferenceHandle handle, byte rawTypeKind) => [Of(reader, handle)];

        public IEnumerable<string> GetTypeFromSpecification(MetadataReader reader, object? genericContext, TypeSpecificationHandle handle, byte rawTypeKind) =>
            reader.GetTypeSpecification(handle).DecodeSignature(this, genericContext);

        public IEnumerable<string> GetGenericInstantiation(IEnumerable<string> genericType, System.Collections.Immutable.ImmutableArray<IEnumerable<string>> typeArguments) =>
            [.. genericType, .. typeArguments.SelectMany(argument => argument)];

        public IEnumerable<string> GetArrayType(IEnumerable<string> elementType, ArrayShape shape) => elementType;

        public IEnumerable<string> GetByReferenceType(IEnumerable<string> elementType) => elementType;

        public IEnumerable<string> GetPointerType(IEnumerable<string> elementType) => elementType;

        public IEnumerable<string> GetPinnedType(IEnumerable<string> elementType) => elementType;

        public IEnumerable<string> GetSZArrayType(IEnumerable<string> elementType) => elementType;

        public IEnumerable<string> GetModifiedType(IEnumerable<string> modifier, IEnumerable<string> unmodifiedType, bool isRequired) => unmodifiedType;

        public IEnumerable<string> GetFunctionPointerType(MethodSignature<IEnumerable<string>> signature) => [];

        public IEnumerable<string> GetGenericMethodParameter(object? genericContext, int index) => [];

        public IEnumerable<string> GetGenericTypeParameter(object? genericContext, int index) => [];

        public IEnumerable<string> GetPrimitiveType(PrimitiveTypeCode typeCode) => [];
    }
}
