using Telemetry.Tests.Hostile;

namespace Telemetry.Tests.Cli;

/// <summary>Shells and terminals that find the command, as it is built beside the tests, in their path.</summary>
internal static class BuiltCommand
{
    private static readonly string[] Path = (Environment.GetEnvironmentVariable("PATH") ?? "").Split(System.IO.Path.PathSeparator, StringSplitOptions.RemoveEmptyEntries);

    /// <summary>Where a program lies in the path; null where it is not installed.</summary>
    public static string? Find(string program) => Path.Select(folder => System.IO.Path.Combine(folder, program)).FirstOrDefault(File.Exists);

    /// <summary>Runs a program.</summary>
    /// <param name="program">Its path.</param>
    /// <param name="words">Its words.</param>
    /// <param name="variables">Variables to set; null takes one away.</param>
    public static CommandRun Run(string program, string[] words, params (string Name, string? Value)[] variables)
    {
        Dictionary<string, string?> environment = variables.ToDictionary(variable => variable.Name, variable => variable.Value);
        environment["PATH"] = string.Join(System.IO.Path.PathSeparator, [CommandProcess.Folder, .. Path]);
        (int code, string output, string error) = CommandProcess.Run(program, environment, words);
        return new(code, output.ReplaceLineEndings("\n"), error.ReplaceLineEndings("\n"));
    }
}
