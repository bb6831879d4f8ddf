namespace Telemetry.Output;

/// <summary>Names for what is written beside its place before it takes it.</summary>
internal static class DraftNames
{
    /// <summary>So much of the place's own name that a person knows it again, characters: with four bytes each and the rest of the draft's name still within the 255 bytes of a file name.</summary>
    private const int MostCharacters = 48;

    /// <summary>The start of a name that nobody else has.</summary>
    /// <param name="path">The place.</param>
    public static string Beside(string path) => $"{Beginning(path)}{Guid.NewGuid():N}";

    /// <summary>What such names of one place have in common: its own name, or so much of it as is kept, and a point.</summary>
    public static string Beginning(string path)
    {
        string name = Path.GetFileName(path);
        return $"{(name.Length > MostCharacters ? name[..MostCharacters] : name)}.";
    }
}
