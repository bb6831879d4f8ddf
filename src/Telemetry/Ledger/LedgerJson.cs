using System.Text.Json.Serialization;

namespace Telemetry.Ledger;

/// <summary>The first line of a ledger file.</summary>
/// <param name="LifeLedger">Version of the format.</param>
internal sealed record LedgerHead(int LifeLedger);

/// <summary>JSON of the ledger, generated at build time. Doubles are written so that they read back exactly.</summary>
[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.SnakeCaseLower,
    UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
    RespectNullableAnnotations = true,
    RespectRequiredConstructorParameters = true,
    UseStringEnumConverter = true)]
[JsonSerializable(typeof(LedgerHead))]
[JsonSerializable(typeof(RunEntry))]
internal sealed partial class LedgerJson : JsonSerializerContext;
