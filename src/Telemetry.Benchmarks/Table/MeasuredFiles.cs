using System.Globalization;

namespace Telemetry.Benchmarks.Table;

/// <summary>Runs of a whole process as measure.sh wrote them, one line a run.</summary>
/// <param name="Wall">Wall clock.</param>
/// <param name="ProcessorS">Processor time, s: median.</param>
/// <param name="PeakMB">Peak memory, MB of 1e6 bytes: median.</param>
internal sealed record ProcessRuns(Timing Wall, double ProcessorS, double PeakMB)
{
    /// <summary>All three in words.</summary>
    public string InWords => string.Create(CultureInfo.InvariantCulture, $"{Shown.Time(Wall)}, {ProcessorS:0.0#} s processor, {PeakMB:0} MB peak");
}

/// <summary>Reads what the shell scripts left in the work folder.</summary>
internal static class MeasuredFiles
{
    /// <summary>The runs of one kind; null when there are none.</summary>
    public static ProcessRuns? Runs(string file)
    {
        if (!File.Exists(file))
        {
            return null;
        }

        double[][] lines = Numbers(file);
        return new(Timing.Of(lines.Select(line => line[0])), OrderStatistics.Median([.. lines.Select(line => line[1])]), OrderStatistics.Median([.. lines.Select(line => line[2])]));
    }

    /// <summary>Wall clocks of files named PREFIX-SIZE, each run with its size.</summary>
    public static List<(double Size, double Seconds)> Sized(string folder, string prefix) =>
        [.. Directory.GetFiles(folder, prefix + "-*").SelectMany(file =>
        {
            double size = double.Parse(Path.GetFileName(file)[(prefix.Length + 1)..], CultureInfo.InvariantCulture);
            return Numbers(file).Select(line => (size, line[0]));
        })];

    /// <summary>A stage of the script, from what it printed in each run; null where it did not run.</summary>
    public static Timing? ScriptStage(string work, string stage)
    {
        string file = Path.Combine(work, "script-stages.txt");
        double[] seconds = !File.Exists(file) ? [] : [.. File.ReadLines(file)
            .Select(line => line.Split(' ', StringSplitOptions.RemoveEmptyEntries))
            .Where(words => words.Length == 3 && words[0] == stage)
            .Select(words => double.Parse(words[1], CultureInfo.InvariantCulture))];
        return seconds.Length == 0 ? null : Timing.Of(seconds);
    }

    /// <summary>Bytes of a file or of everything in a folder; 0 when it is not there.</summary>
    public static double BytesOf(string path)
    {
        if (Directory.Exists(path))
        {
            return Directory.GetFiles(path, "*", SearchOption.AllDirectories).Sum(BytesOf);
        }

        if (!File.Exists(path))
        {
            return 0;
        }

        using FileStream file = File.OpenRead(path);
        return file.Length;
    }

    private static double[][] Numbers(string file) =>
        [.. File.ReadLines(file).Select(line => line.Split(' ').Select(word => double.Parse(word, CultureInfo.InvariantCulture)).ToArray())];
}
