using System.Diagnostics;

namespace Telemetry.Tests.Hostile;

/// <summary>The command as a process of its own: what a shell would see.</summary>
internal static class CommandProcess
{
    // .artifacts/bin/Telemetry.Tests/debug -> .artifacts/bin/Telemetry.Cli/debug
    private static readonly DirectoryInfo Own = new(AppContext.BaseDirectory.TrimEnd(Path.DirectorySeparatorChar));

    public static string Folder { get; } = Path.Combine(Own.Parent!.Parent!.FullName, "Telemetry.Cli", Own.Name);

    public static string Program { get; } = Path.Combine(Folder, OperatingSystem.IsWindows() ? "pushrod.exe" : "pushrod");

    /// <summary>Starts a program with nothing on its standard input.</summary>
    /// <param name="program">Its path.</param>
    /// <param name="environment">Variables to set; null takes one away.</param>
    /// <param name="words">Its words.</param>
    public static Process Start(string program, IReadOnlyDictionary<string, string?> environment, params string[] words)
    {
        ProcessStartInfo start = new(program, words) { RedirectStandardInput = true, RedirectStandardOutput = true, RedirectStandardError = true };
        foreach ((string name, string? value) in environment)
        {
            start.Environment[name] = value;
        }

        Process process = Process.Start(start)!;
        process.StandardInput.Close();
        return process;
    }

    /// <summary>Runs to the end.</summary>
    public static (int Code, string Out, string Error) Run(string program, IReadOnlyDictionary<string, string?> environment, params string[] words)
    {
        using Process process = Start(program, environment, words);
        Task<string> error = process.StandardError.ReadToEndAsync();
        string output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return (process.ExitCode, output, error.GetAwaiter().GetResult());
    }

    /// <summary>Every file of a folder by its path within it.</summary>
    public static SortedDictionary<string, byte[]> Files(string folder) =>
        new(Directory.GetFiles(folder, "*", SearchOption.AllDirectories).ToDictionary(file => Path.GetRelativePath(folder, file), File.ReadAllBytes), StringComparer.Ordinal);
}
