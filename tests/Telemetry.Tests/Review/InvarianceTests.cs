using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using Telemetry.Car;
using Telemetry.Logs;
using Telemetry.Output;
using Telemetry.Review;
using Telemetry.Runs;
using Telemetry.Simulation;

namespace Telemetry.Tests.Review;

/// <summary>What must not change an answer: how the file is written, in which order, unit and sign, and when its clock began.</summary>
public class InvarianceTests
{
    private static readonly Lazy<(RunLog Log, CarDefinition Car, string Answer)> Base = new(() =>
    {
        Scenario scenario = ScenarioFile.Read(Path.Combine(Repository.Root, "sample-runs", "baseline", "scenario.toml"));
        CarDefinition car = ScenarioFile.ReadCar(scenario);
        RunLog log = Simulator.Run(scenario with { Seed = 7500, Laps = 2 }, car).Log;
        return (log, car, Answer(log, car));
    });

    /// <summary>Every number of the summary but names and times.</summary>
    private static string Answer(RunLog log, CarDefinition car)
    {
        RunReview review = RunAnalysis.Review(log with { Name = "run", StartedAtUtc = null }, car, ReviewOptions.Default);
        Assert.NotNull(review.Aero.AtReference);
        Assert.NotEmpty(review.Kerbs.Strikes);
        return Encoding.UTF8.GetString(SummaryFile.ToJson(SummaryFile.From(review)));
    }

    private static RunLog Map(RunLog log, Func<LoggedChannel, LoggedChannel> change) => log with { Channels = [.. log.Channels.Select(change)] };

    private static LoggedChannel Scaled(LoggedChannel channel, double factor, string unit) =>
        channel with { Unit = unit, Samples = [.. channel.Samples.Select(value => value * factor)] };

    private static CarDefinition WithUnits(CarDefinition car, Func<ChannelMapping, ChannelMapping> change) =>
        car with { Channels = [.. car.Channels.Select(change)] };

    [Fact]
    public void The_order_of_the_channels_changes_nothing()
    {
        RunLog turned = Base.Value.Log with { Channels = [.. Base.Value.Log.Channels.Reverse()] };
        Assert.Equal(Base.Value.Answer, Answer(turned, Base.Value.Car));
    }

    [Fact]
    public void A_load_cell_that_counts_tension_changes_nothing_when_the_car_file_says_so()
    {
        RunLog turned = Map(Base.Value.Log, channel => channel.Name.StartsWith("Pushrod load F", StringComparison.Ordinal) ? Scaled(channel, -1, channel.Unit) : channel);
        CarDefinition car = WithUnits(Base.Value.Car, m => m.Role <= ChannelRole.PushrodLoadFR ? m with { Sign = -1 } : m);
        Assert.Equal(Base.Value.Answer, Answer(turned, car));
    }

    [Fact]
    public void Units_of_the_file_change_nothing_beyond_rounding()
    {
        // Kilonewtons and metres a second for newtons and kilometres an hour: the factors are not exact in binary, six digits of the summary are.
        RunLog other = Map(Base.Value.Log, channel =>
            channel.Name.StartsWith("Pushrod", StringComparison.Ordinal) ? Scaled(channel, 1e-3, "kN")
            : channel.Name == "Speed" ? Scaled(channel, 1 / 3.6, "m/s")
            : channel);
        CarDefinition car = WithUnits(Base.Value.Car, m => m.Role <= ChannelRole.PushrodLoadRR ? m with { Unit = "kN" } : m.Role == ChannelRole.Speed ? m with { Unit = "m/s" } : m);
        AssertSameNumbers(Base.Value.Answer, Answer(other, car), 1e-4);
    }

    [Fact]
    public void A_log_whose_clock_began_earlier_gives_the_same_answer_later()
    {
        // A power of two: the times stay exact.
        RunLog later = Map(Base.Value.Log, channel => channel with { Time = TimeBase.Even(channel.Time.StartS + 1024, channel.Time.StepS, channel.Time.Count) });
        RunReview ours = RunAnalysis.Review(Base.Value.Log, Base.Value.Car, ReviewOptions.Default);
        RunReview shifted = RunAnalysis.Review(later, Base.Value.Car, ReviewOptions.Default);
        Assert.Equal(ours.Aero.AtReference!.TotalLoadN.Value, shifted.Aero.AtReference!.TotalLoadN.Value, 1e-6 * ours.Aero.AtReference.TotalLoadN.Value);
        Assert.Equal(ours.Kerbs.Strikes.Length, shifted.Kerbs.Strikes.Length);
        for (int i = 0; i < ours.Kerbs.Strikes.Length; i++)
        {
            Assert.Equal(ours.Kerbs.Strikes[i].TimeS + 1024, shifted.Kerbs.Strikes[i].TimeS, 1e-6);
            Assert.Equal(ours.Kerbs.Strikes[i].PeakLoadN, shifted.Kerbs.Strikes[i].PeakLoadN, 1e-6);
        }
    }

    [Fact]
    public void Through_our_Parquet_and_through_CSV_text_the_answer_is_the_same()
    {
        using MemoryStream parquet = new();
        ParquetLogWriter.Write(Base.Value.Log, parquet);
        Assert.Equal(Base.Value.Answer, Answer(LogReader.Read(parquet.ToArray(), "run.parquet", Base.Value.Car.Log), Base.Value.Car));
        byte[] csv = Encoding.UTF8.GetBytes(Csv(Base.Value.Log));
        AssertSameNumbers(Base.Value.Answer, Answer(LogReader.Read(csv, "run.csv", Base.Value.Car.Log), Base.Value.Car), 1e-4);
    }

    /// <summary>A semicolon file with units in a row of their own, decimal commas, and blanks where a slower channel has no sample.</summary>
    private static string Csv(RunLog log)
    {
        TimeBase fast = log.Channels.MinBy(channel => channel.Time.StepS)!.Time;
        StringBuilder text = new();
        text.Append("Time").AppendJoin("", log.Channels.Select(channel => ";" + channel.Name)).Append('\n');
        text.Append('s').AppendJoin("", log.Channels.Select(channel => ";" + channel.Unit)).Append('\n');
        int[] next = new int[log.Channels.Length];
        CultureInfo comma = CultureInfo.GetCultureInfo("");
        for (int i = 0; i < fast.Count; i++)
        {
            double t = fast.At(i);
            text.Append(t.ToString("0.000", comma).Replace('.', ','));
            for (int c = 0; c < next.Length; c++)
            {
                LoggedChannel channel = log.Channels[c];
                text.Append(';');
                if (next[c] < channel.Time.Count && Math.Abs(channel.Time.At(next[c]) - t) < fast.StepS / 2)
                {
                    text.Append(channel.Samples[next[c]++].ToString("R", comma).Replace('.', ','));
                }
            }

            text.Append('\n');
        }

        return text.ToString();
    }

    /// <summary>The same text, with numbers equal to a share of themselves.</summary>
    private static void AssertSameNumbers(string expected, string actual, double share)
    {
        string[] a = expected.Split('\n');
        string[] b = actual.Split('\n');
        Assert.Equal(a.Length, b.Length);
        for (int i = 0; i < a.Length; i++)
        {
            string x = a[i].Split(": ")[^1].TrimEnd(',', '\r');
            string y = b[i].Split(": ")[^1].TrimEnd(',', '\r');
            if (double.TryParse(x, CultureInfo.InvariantCulture, out double first) && double.TryParse(y, CultureInfo.InvariantCulture, out double second))
            {
                Assert.True(Math.Abs(first - second) <= share * Math.Max(Math.Abs(first), 1), $"{a[i]} became {b[i]}");
            }
            else if (!x.Contains('"', StringComparison.Ordinal))
            {
                Assert.Equal(x, y);
            }
        }
    }
}
