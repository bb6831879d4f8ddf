using System.Text.Json.Serialization;
using Telemetry.Zero;

namespace Telemetry.Ledger;

/// <summary>The first line of a zero file.</summary>
/// <param name="ZeroFile">Version of the format.</param>
internal sealed record ZeroFileHead(int ZeroFile);

/// <summary>JSON of the zero file, generated at build time. Doubles are written so that they read back exactly.</summary>
[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.SnakeCaseLower,
    UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
    RespectNullableAnnotations = true,
    RespectRequiredConstructorParameters = true,
    UseStringEnumConverter = true)]
[JsonSerializable(typeof(ZeroFileHead))]
[JsonSerializable(typeof(ZeroRun))]
internal sealed partial class ZeroFileJson : JsonSerializerContext;
