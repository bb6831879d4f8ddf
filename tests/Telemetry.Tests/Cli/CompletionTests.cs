using System.Diagnostics;

namespace Telemetry.Tests.Cli;

/// <summary>The completion script in a real bash, with the command as it is built beside the tests.</summary>
public class CompletionTests
{
    [Theory]
    [InlineData("pushrod an", 1, "analyse")]
    [InlineData("pushrod life fo", 2, "forecast")]
    [InlineData("pushrod analyse --sp", 2, "--spikes")]
    [InlineData("pushrod analyse --spikes ", 3, "keep remove")]
    public void Bash_completes_verbs_options_and_values(string line, int word, string expected)
    {
        Assert.SkipUnless(File.Exists("/bin/bash"), "No bash on this machine.");
        DirectoryInfo own = new(AppContext.BaseDirectory.TrimEnd(Path.DirectorySeparatorChar));
        string commands = Path.Combine(own.Parent!.Parent!.FullName, "Telemetry.Cli", own.Name);
        string script = $"source <(pushrod completion bash); COMP_LINE='{line}'; COMP_WORDS=({line} ''); COMP_CWORD={word}; COMP_POINT=${{#COMP_LINE}}; _pushrod; echo \"${{COMPREPLY[@]}}\"";
        ProcessStartInfo start = new("/bin/bash", ["--norc", "-c", script]) { RedirectStandardOutput = true, RedirectStandardError = true };
        start.Environment["PATH"] = commands + ":" + Environment.GetEnvironmentVariable("PATH");
        using Process bash = Process.Start(start)!;
        Task<string> error = bash.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        Assert.Equal(expected, bash.StandardOutput.ReadToEnd().Trim());
        bash.WaitForExit();
    }
}
