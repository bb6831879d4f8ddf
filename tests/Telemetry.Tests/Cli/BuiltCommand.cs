using System.Diagnostics;

namespace Telemetry.Tests.Cli;

/// <summary>The command as it is built beside the tests, in a process of its own.</summary>
internal static class BuiltCommand
{
    private static readonly DirectoryInfo Own = new(AppContext.BaseDirectory.TrimEnd(Path.DirectorySeparatorChar));

    /// <summary>The folder of the program 'pushrod'.</summary>
    public static string Folder { get; } = Path.Combine(Own.Parent!.Parent!.FullName, "Telemetry.Cli", Own.Name);

    /// <summary>Where a program lies in the path; null where it is not installed.</summary>
    public static string? Find(string program) => (Environment.GetEnvironmentVariable("PATH") ?? "")
        .Split(Path.PathSeparator, StringSplitOptions.RemoveEmptyEntries).Select(folder => Path.Combine(folder, program)).FirstOrDefault(File.Exists);

    /// <summary>Runs a program that finds 'pushrod' in its path, with nothing on its standard input.</summary>
    /// <param name="program">Its path.</param>
    /// <param name="words">Its words.</param>
    /// <param name="variables">Variables to set; null takes one away.</param>
    public static CommandRun Run(string program, string[] words, params (string Name, string? Value)[] variables)
    {
        ProcessStartInfo start = new(program, words) { RedirectStandardInput = true, RedirectStandardOutput = true, RedirectStandardError = true };
        start.Environment["PATH"] = Folder + Path.PathSeparator + Environment.GetEnvironmentVariable("PATH");
        foreach ((string name, string? value) in variables)
        {
            start.Environment.Remove(name);
            if (value is not null)
            {
                start.Environment[name] = value;
            }
        }

        using Process process = Process.Start(start)!;
        process.StandardInput.Close();
        Task<string> error = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        string output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return new(process.ExitCode, output.ReplaceLineEndings("\n"), error.GetAwaiter().GetResult().ReplaceLineEndings("\n"));
    }
}
