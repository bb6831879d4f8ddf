using System.Text;

namespace Telemetry.Output;

/// <summary>Names of files and folders made from the name of a run, which may come out of a log and say anything.</summary>
public static class RunFileName
{
    /// <summary>Longest name: what file systems, and a page's table, bear with room for a suffix.</summary>
    private const int LongestName = 80;

    /// <summary>The run's own name where it can only name something within a folder, else one without what could lead out of it.</summary>
    /// <param name="runName">Name of the run.</param>
    public static string Of(string runName)
    {
        ArgumentNullException.ThrowIfNull(runName);
        return runName.Trim('.', ' ').Length == 0 || runName.AsSpan().ContainsAny('/', '\\', '\0') ? Plain(runName) : runName;
    }

    /// <summary>A name without anything that could leave the folder, hide it, or that some system refuses.</summary>
    internal static string Plain(string name)
    {
        StringBuilder plain = new();
        foreach (Rune rune in name.Normalize().EnumerateRunes())
        {
            bool isFit = Rune.IsLetterOrDigit(rune) || (rune.IsAscii && "-_.+,=@()[] ".Contains((char)rune.Value, StringComparison.Ordinal));
            plain.Append(isFit ? rune.ToString() : "_");
            if (plain.Length >= LongestName)
            {
                break;
            }
        }

        string text = plain.ToString().TrimStart('.', ' ').TrimEnd('.', ' ');
        return text.Length == 0 ? "run" : text;
    }
}
