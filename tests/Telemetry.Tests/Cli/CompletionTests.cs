using System.Text;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Cli;

/// <summary>The completion scripts in real shells, with the command as it is built beside the tests.</summary>
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
        string script = $"source <(pushrod completion bash); COMP_LINE='{line}'; COMP_WORDS=({line} ''); COMP_CWORD={word}; COMP_POINT=${{#COMP_LINE}}; _pushrod; echo \"${{COMPREPLY[@]}}\"";
        CommandRun bash = BuiltCommand.Run("/bin/bash", ["--norc", "-c", script]);
        Assert.Equal(expected, bash.Out.Trim());
    }

    // compadd and compdef only work while a person presses the tab key; in their place stand functions that print what they are given.
    [Theory]
    [InlineData("(pushrod an)", "analyse")]
    [InlineData("(pushrod life fo)", "forecast")]
    [InlineData("(pushrod analyse --sp)", "--spikes")]
    [InlineData("(pushrod analyse --spikes '')", "keep remove")]
    [InlineData("(pushrod import run7.)", "files")]
    public void Zsh_reads_the_script_and_completes(string words, string expected)
    {
        string? zsh = BuiltCommand.Find("zsh");
        Assert.SkipWhen(zsh is null, "No zsh on this machine: install Debian's package 'zsh'.");
        string script = $"compdef() {{ }}; compadd() {{ shift; print -r -- $@; }}; _files() {{ print files; }}; source <(pushrod completion zsh) || exit 9; words={words}; CURRENT=$#words; _pushrod";
        CommandRun run = BuiltCommand.Run(zsh, ["-f", "-c", script]);
        Assert.Equal((0, expected, ""), (run.Code, run.Out.Trim(), run.Error));
    }

    [Theory]
    [InlineData("pushrod an", "analyse")]
    [InlineData("pushrod analyse --sp", "--spikes")]
    [InlineData("pushrod analyse --spikes ", "keep remove")]
    public void PowerShell_reads_the_script_and_completes(string line, string expected)
    {
        string? shell = BuiltCommand.Find("pwsh");
        Assert.SkipWhen(shell is null, "No PowerShell (pwsh) on this machine.");
        string script = $"pushrod completion powershell | Out-String | Invoke-Expression; ([System.Management.Automation.CommandCompletion]::CompleteInput('{line}', {line.Length}, $null)).CompletionMatches.CompletionText -join ' '";
        CommandRun run = BuiltCommand.Run(shell, ["-NoProfile", "-NonInteractive", "-EncodedCommand", Convert.ToBase64String(Encoding.Unicode.GetBytes(script))]);
        Assert.Equal(expected, run.Out.Trim());
    }

    [Fact]
    public void A_part_is_completed_from_the_car_file_that_was_named()
    {
        string line = $"pushrod life fit --car {CommandRun.CarPath} PR-R";
        CommandRun run = CommandRun.Of($"[suggest:{line.Length}]", line);
        // The car file's two rear pushrods.
        Assert.Equal(["PR-RL-008", "PR-RR-008"], run.Out.Split('\n', StringSplitOptions.RemoveEmptyEntries).Order(StringComparer.Ordinal));
    }

    [Theory]
    [InlineData("name = \"x\"\n[geometry]\nwheelbase = \"2.95\"\n")]
    [InlineData("no TOML at all")]
    public void A_car_file_that_cannot_be_used_completes_nothing_and_says_nothing(string text)
    {
        using TemporaryFolder folder = new();
        string line = $"pushrod life fit --car {folder.Write("car.toml", text)} PR-R";
        CommandRun run = CommandRun.Of($"[suggest:{line.Length}]", line);
        Assert.Equal((0, "", ""), (run.Code, run.Out.Trim(), run.Error));
    }
}
