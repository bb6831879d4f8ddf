using Telemetry.Cli;
using Telemetry.Logs;
using Telemetry.Review;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Cli;

/// <summary>Runs the command in this process and keeps what it printed.</summary>
internal sealed record CommandRun(int Code, string Out, string Error)
{
    /// <summary>The car file of the sample run: a real one that can be used.</summary>
    public static string CarPath { get; } = Path.Combine(Repository.Root, "sample-runs", "baseline", "car.toml");

    /// <summary>Stages that give a known review, whatever the log.</summary>
    public static Pipeline Known(RunReview review) => Pipeline.Real with
    {
        ReadLog = (path, _) => File.Exists(path)
            ? new RunLog(Path.GetFileNameWithoutExtension(path), path, [], [])
            : throw new InputError(path, "There is no such file.", "Check the path."),
        ReadLogHashed = (path, _) => (new RunLog(Path.GetFileNameWithoutExtension(path), path, [], []), Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(File.ReadAllBytes(path)))),
        Review = (log, _, _, step) =>
        {
            step("thinking");
            return review with { Run = review.Run with { Name = log.Name } };
        },
        WriteResults = (_, folder, _) => Telemetry.Output.ResultFolder.Write(folder, [draft => draft.Write("summary.json", "{}"u8.ToArray())]),
    };

    /// <summary>Runs with the real stages.</summary>
    public static CommandRun Of(params string[] args) => With(Pipeline.Real, args);

    /// <summary>Runs with a known review.</summary>
    public static CommandRun OnKnownReview(params string[] args) => With(Known(SampleReviews.Full), args);

    public static CommandRun With(Pipeline pipeline, params string[] args)
    {
        using StringWriter output = new();
        using StringWriter error = new();
        int code = PushrodCommand.Run(args, new Screen(output, error), pipeline);
        return new(code, output.ToString().ReplaceLineEndings("\n"), error.ToString().ReplaceLineEndings("\n"));
    }
}
