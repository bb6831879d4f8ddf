using CsCheck;

namespace Telemetry.Tests.Hostile;

/// <summary>Makes damaged inputs out of whole ones: bits turned, bytes set, cut out, doubled, cut off; words exchanged for words that mean something to a reader.</summary>
internal static class DamagedBytes
{
    /// <summary>One wound; the places are shares of the length in thousandths of a thousandth, so that shrinking keeps them inside.</summary>
    private readonly record struct Wound(int Kind, int Place, int Length, int Value);

    private static readonly Gen<Wound> Wounds = Gen.Select(Gen.Int[0, 7], Gen.Int[0, 999_999], Gen.Int[0, 400], Gen.Int[0, 255], (kind, place, length, value) => new Wound(kind, place, length, value));

    /// <summary>Inputs of one to five wounds.</summary>
    /// <param name="whole">Inputs that can be read.</param>
    /// <param name="words">What to put in: signs and numbers that have a meaning in the format.</param>
    public static Gen<byte[]> Of(byte[][] whole, byte[][] words) =>
        Gen.Select(Gen.Int[0, whole.Length - 1], Wounds.Array[1, 5], (which, wounds) => wounds.Aggregate(whole[which], (bytes, wound) => Wounded(bytes, wound, words)));

    private static byte[] Wounded(byte[] bytes, Wound wound, byte[][] words)
    {
        if (bytes.Length == 0)
        {
            return bytes;
        }

        int at = (int)((long)wound.Place * bytes.Length / 1_000_000);
        int to = Math.Min(bytes.Length, at + 1 + wound.Length);
        byte[] word = words[wound.Value % words.Length];
        switch (wound.Kind)
        {
            case 0:
                return [.. bytes[..at], (byte)(bytes[at] ^ (1 << (wound.Value % 8))), .. bytes[(at + 1)..]];
            case 1:
                return [.. bytes[..at], (byte)wound.Value, .. bytes[(at + 1)..]];
            case 2:
                return [.. bytes[..at], .. bytes[to..]];
            case 3:
                return [.. bytes[..to], .. bytes[at..]];
            case 4:
                return [.. bytes[..at], .. word, .. bytes[at..]];
            case 5:
                return [.. bytes[..at], .. word, .. bytes[Math.Min(bytes.Length, at + word.Length)..]];
            case 6:
                // The last bytes hold a Parquet footer, and the first a database's head and a table's names: hit both more often than chance would.
                int edge = wound.Place % 2 == 0 ? Math.Min(bytes.Length - 1, wound.Length) : Math.Max(0, bytes.Length - 1 - wound.Length);
                return [.. bytes[..edge], (byte)wound.Value, .. bytes[(edge + 1)..]];
            default:
                return wound.Value < 200 ? [.. bytes[..at], (byte)(bytes[at] + 1), .. bytes[(at + 1)..]] : bytes[..at];
        }
    }
}
