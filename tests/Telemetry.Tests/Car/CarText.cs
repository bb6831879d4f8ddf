using Telemetry.Car;

namespace Telemetry.Tests.Car;

/// <summary>The sample car's text, changed in one place at a time.</summary>
internal static class CarText
{
    public const string Name = "car.toml";

    public static string Sample { get; } = System.IO.File.ReadAllText(Path.Combine(Repository.Root, "sample-runs", "baseline", "car.toml")).ReplaceLineEndings("\n");

    /// <summary>The sample with the first occurrence of a text replaced; fails when it is not there.</summary>
    public static string With(string old, string change)
    {
        int at = Sample.IndexOf(old, StringComparison.Ordinal);
        Assert.True(at >= 0, $"The sample has no '{old}'.");
        return Sample[..at] + change + Sample[(at + old.Length)..];
    }

    /// <summary>The line, from 1, on which a text first stands.</summary>
    public static int LineOf(string text, string part)
    {
        int at = text.IndexOf(part, StringComparison.Ordinal);
        Assert.True(at >= 0, $"The text has no '{part}'.");
        return 1 + text.AsSpan(0, at).Count('\n');
    }

    public static IReadOnlyList<InputFault> Faults(string text) => CarFile.CheckText(text, Name).Faults;

    public static IReadOnlyList<InputFault> Warnings(string text) => CarFile.CheckText(text, Name).Warnings;
}
