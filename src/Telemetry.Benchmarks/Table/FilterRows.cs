using System.Diagnostics;
using System.Globalization;
using System.Runtime.InteropServices;
using Telemetry.Filters;

namespace Telemetry.Benchmarks.Table;

/// <summary>The zero-phase filter against SciPy on the same samples, one core each, one after the other.</summary>
internal static class FilterRows
{
    private const double RateHz = 1000;
    private const double CutoffHz = 10;
    private const int Repeats = 31;
    private const int WarmUps = 60;
    private const int BytesOfSample = 16; // read once, written once

    /// <summary>A row an order.</summary>
    /// <param name="work">Folder for what passes between the two.</param>
    /// <param name="script">The peer's script.</param>
    /// <param name="roofline">The memory's bandwidth.</param>
    public static IEnumerable<TableRow> From(string work, string script, Roofline roofline)
    {
        double[] samples = LoadLikeSignal.Make();
        double[] result = new double[samples.Length];
        string input = Path.Combine(work, "filter-samples.f64");
        File.WriteAllBytes(input, MemoryMarshal.AsBytes(samples.AsSpan()));
        foreach (int order in (int[])[4, 8])
        {
            ButterworthFilter filter = ButterworthFilter.LowPass(order, CutoffHz, RateHz, CutoffMeaning.SinglePass);
            Timing ours = Timing.InTurn(Repeats, WarmUps, () => ZeroPhase.Filter(samples, filter, result))[0];
            TableRow row = new(
                string.Create(CultureInfo.InvariantCulture, $"zero-phase low-pass, order {order}"),
                string.Create(CultureInfo.InvariantCulture, $"{samples.Length:N0} samples, 10 Hz of 1 kHz, one core"),
                Shown.Rate(ours, samples.Length))
            {
                Moved = roofline.Moved((double)BytesOfSample * samples.Length, ours, oneCore: true),
            };
            yield return Peer(work, script, input, order, ZeroPhaseSettings.Default.PaddingFor(filter)) is not { } peer
                ? row with { Peer = "SciPy is not on this machine (Debian: python3-scipy)" }
                : row with
                {
                    Peer = $"SciPy {peer.Version} sosfiltfilt: {Shown.Rate(peer.Time, samples.Length)}",
                    Ratio = Shown.Ratio(peer.Time, ours),
                    Reached = Difference(result, peer.Result, samples),
                };
        }

        File.Delete(input);
    }

    private static string Difference(double[] ours, double[] theirs, double[] samples)
    {
        double largest = 0;
        for (int i = 0; i < ours.Length; i++)
        {
            largest = Math.Max(largest, Math.Abs(ours[i] - theirs[i]));
        }

        return string.Create(CultureInfo.InvariantCulture, $"the same to {largest / samples.Max(Math.Abs):0.0e-0} of the largest sample");
    }

    private static (string Version, Timing Time, double[] Result)? Peer(string work, string script, string input, int order, int padding)
    {
        string output = Path.Combine(work, "filter-result.f64");
        ProcessStartInfo start = new("/usr/bin/python3", [script, input, output, Text(order), Text(CutoffHz), Text(RateHz), Text(padding), "9"]) { RedirectStandardOutput = true, RedirectStandardError = true };
        if (!File.Exists(start.FileName))
        {
            return null;
        }

        // Our result goes into memory that is there already; without these SciPy would pay for fresh pages at every call (glibc's mallopt(3)): a factor of three on a machine where they are dear.
        start.Environment["MALLOC_MMAP_THRESHOLD_"] = "1073741824";
        start.Environment["MALLOC_TRIM_THRESHOLD_"] = "4294967296";
        using Process process = Process.Start(start)!;
        string[] lines = process.StandardOutput.ReadToEnd().Split('\n', StringSplitOptions.RemoveEmptyEntries);
        process.WaitForExit();
        if (process.ExitCode != 0)
        {
            return null;
        }

        double[] result = MemoryMarshal.Cast<byte, double>(File.ReadAllBytes(output)).ToArray();
        File.Delete(output);
        return (lines[0], Timing.Of(lines[1..].Select(line => double.Parse(line, CultureInfo.InvariantCulture))), result);
    }

    private static string Text(double number) => number.ToString(CultureInfo.InvariantCulture);
}
