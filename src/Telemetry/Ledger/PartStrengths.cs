using Telemetry.Car;
using Telemetry.Fatigue;

namespace Telemetry.Ledger;

/// <summary>The strength of each part as the car files that the ledger keeps state it, so that joins between runs can be charged again.</summary>
/// <remarks>Reads each text once; not safe for use by several threads at once.</remarks>
/// <param name="carTexts">Texts of car files by their hash.</param>
public sealed class PartStrengths(IReadOnlyDictionary<string, string> carTexts)
{
    private readonly Dictionary<string, Dictionary<string, CycleDamage>> read = new(StringComparer.Ordinal);

    /// <summary>The strength of a part by the car file of a run.</summary>
    /// <param name="carHash">Hash of the car file's text.</param>
    /// <param name="part">Serial number.</param>
    /// <returns>Null when the text is not kept, cannot be read by this program, or has no S-N line for the part.</returns>
    public CycleDamage? Of(string? carHash, string part)
    {
        if (carHash is null)
        {
            return null;
        }

        if (!read.TryGetValue(carHash, out Dictionary<string, CycleDamage>? parts))
        {
            parts = carTexts.TryGetValue(carHash, out string? text) ? Read(text) : [];
            read.Add(carHash, parts);
        }

        return parts.GetValueOrDefault(part);
    }

    private static Dictionary<string, CycleDamage> Read(string text)
    {
        try
        {
            return CarFile.Parse(text, "the car file that the ledger keeps").Components
                .Where(part => part.Fatigue is not null)
                .ToDictionary(part => part.Id, part => new CycleDamage(part.Fatigue!), StringComparer.Ordinal);
        }
        catch (Exception error) when (error is InputError or ArgumentException)
        {
            // A later program may read car files more strictly; the part's life then says that its joins were not added again.
            return [];
        }
    }
}
