using System.CommandLine;
using System.Reflection;

namespace Telemetry.Cli.Verbs;

/// <summary>Prints the script by which a shell completes this command's words.</summary>
internal static class CompletionVerb
{
    private static readonly string[] Shells = ["bash", "zsh", "powershell"];

    public static Command Create(Screen screen)
    {
        Argument<string> shell = new("SHELL") { Description = "bash, zsh or powershell." };
        shell.AcceptOnlyFromAmong(Shells);
        HelpExamples.Verb verb = new(
            "completion",
            "Print the script that lets a shell complete verbs, options and values. bash: add 'source <(pushrod completion bash)' to ~/.bashrc. zsh: the same with zsh in ~/.zshrc, behind compinit. PowerShell: add 'pushrod completion powershell | Out-String | Invoke-Expression' to $PROFILE.",
            "pushrod completion bash",
            "pushrod completion zsh",
            "pushrod completion powershell")
        {
            shell,
        };
        verb.SetAction(parsed =>
        {
            using Stream stream = Assembly.GetExecutingAssembly().GetManifestResourceStream("completion." + parsed.GetRequiredValue(shell))!;
            using StreamReader reader = new(stream);
            screen.Out.Write(reader.ReadToEnd().ReplaceLineEndings("\n"));
            return ExitCode.Done;
        });
        return verb;
    }
}
