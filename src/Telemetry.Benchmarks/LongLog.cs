using System.Buffers.Text;
using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using Telemetry.Car;
using Telemetry.Logs;
using Telemetry.Simulation;

namespace Telemetry.Benchmarks;

/// <summary>
/// Writes the logs that the benchmarks read: the car and the circuit of sample-runs/baseline driven for about 15 minutes or another time,
/// time and 20 channels or another number, at 1 kHz, as CSV with a header row and a units row; and the car file that fits it.
/// </summary>
internal static class LongLog
{
    private const int RateHz = 1000;
    private const double LapsAMinute = 14.0 / 15;
    private const int MostLapsOnFuel = 30;

    /// <summary>Rows from one value of a slow channel to the next: 100 Hz.</summary>
    private const int SlowEvery = 10;

    /// <summary>Columns that stay fast in a log of mixed rates: the first of the list below.</summary>
    private const int FastColumns = 12;

    /// <summary>What a log with few channels has: those first that most answers need.</summary>
    private static readonly ImmutableArray<string> Wanted =
    [
        "push_FL", "push_FR", "push_RL", "push_RR", "speed", "ax", "ay", "az", "brake", "lap",
        "damp_FL", "damp_FR", "damp_RL", "damp_RR", "yaw_rate", "throttle", "steer", "rh_front", "rh_rear", "lap_distance",
    ];

    // The last columns are not asked for by the script; they are there because a log has them.
    private const string Channels = """
        [channels]
        pushrod_load_fl = { name = "push_FL", unit = "N", range = ["-12 kN", "20 kN"], resolution = "1 N", gain_uncertainty = "0.3 %" }
        pushrod_load_fr = { name = "push_FR", unit = "N", range = ["-12 kN", "20 kN"], resolution = "1 N", gain_uncertainty = "0.3 %" }
        pushrod_load_rl = { name = "push_RL", unit = "N", range = ["-12 kN", "20 kN"], resolution = "1 N", gain_uncertainty = "0.3 %" }
        pushrod_load_rr = { name = "push_RR", unit = "N", range = ["-12 kN", "20 kN"], resolution = "1 N", gain_uncertainty = "0.3 %" }
        damper_travel_fl = { name = "damp_FL", unit = "mm", range = ["-60 mm", "80 mm"], resolution = "0.001 mm" }
        damper_travel_fr = { name = "damp_FR", unit = "mm", range = ["-60 mm", "80 mm"], resolution = "0.001 mm" }
        damper_travel_rl = { name = "damp_RL", unit = "mm", range = ["-60 mm", "80 mm"], resolution = "0.001 mm" }
        damper_travel_rr = { name = "damp_RR", unit = "mm", range = ["-60 mm", "80 mm"], resolution = "0.001 mm" }
        speed = { name = "speed", unit = "km/h", resolution = "0.01 km/h" }
        acceleration_x = { name = "ax", unit = "m/s2", range = ["-60 m/s2", "60 m/s2"], resolution = "0.01 m/s2" }
        acceleration_y = { name = "ay", unit = "m/s2", range = ["-60 m/s2", "60 m/s2"], resolution = "0.01 m/s2" }
        acceleration_z = { name = "az", unit = "m/s2", range = ["-80 m/s2", "80 m/s2"], resolution = "0.01 m/s2" }
        brake = { name = "brake", unit = "bar", threshold = "3 bar" }
        throttle = { name = "throttle", unit = "%" }
        steer_angle = { name = "steer", unit = "deg" }
        ride_height_front = { name = "rh_front", unit = "mm", range = ["0 mm", "100 mm"], resolution = "0.001 mm" }
        ride_height_rear = { name = "rh_rear", unit = "mm", range = ["0 mm", "150 mm"], resolution = "0.001 mm" }
        yaw_rate = { name = "yaw_rate", unit = "deg/s" }
        lap_number = "lap"
        lap_distance = { name = "lap_distance", unit = "m" }

        """;

    /// <summary>Writes log.csv and car.toml.</summary>
    /// <param name="sampleRun">Folder of the sample run with its scenario.toml and car.toml.</param>
    /// <param name="folder">Where to write; made when it is not there.</param>
    /// <param name="form">Length, channels and how numbers are written.</param>
    public static void Write(string sampleRun, string folder, LongLogForm form)
    {
        Directory.CreateDirectory(folder);
        string carPath = Path.Combine(folder, "car.toml");
        int laps = (int)Math.Round(form.Minutes * LapsAMinute);
        string carText = CarText(File.ReadAllText(Path.Combine(sampleRun, "car.toml")));
        if (laps > MostLapsOnFuel)
        {
            // A tank lasts 32 laps; a log of an hour shall not run dry.
            carText = carText.Replace("fuel_per_lap = \"1.85 kg\"", "fuel_per_lap = \"0.50 kg\"", StringComparison.Ordinal);
        }

        File.WriteAllText(carPath, carText);
        Scenario scenario = ScenarioFile.Read(Path.Combine(sampleRun, "scenario.toml"));
        SensorDefinition sensors = scenario.Sensors with { FastRateHz = RateHz, MediumRateHz = RateHz, SlowRateHz = RateHz, WeatherRateHz = RateHz };
        RunLog log = Simulator.Run(scenario with { Laps = laps, StandstillAfterS = 30, Sensors = sensors }, CarFile.Read(carPath)).Log;

        // The simulated brake is a pressure; a full scale of 100 bar makes the same digits a share in %.
        carText = carText.Replace("""unit = "bar", threshold = "3 bar" """.TrimEnd(), """unit = "%", threshold = "3 %" """.TrimEnd(), StringComparison.Ordinal);
        ImmutableArray<LoggedChannel> channels = Chosen(log.Channels, form.Channels);
        File.WriteAllText(carPath, Without(carText, [.. log.Channels.Select(channel => channel.Name).Except(channels.Select(channel => channel.Name))]));
        string logPath = Path.Combine(folder, "log.csv");
        using (FileStream stream = new(logPath, FileMode.Create, FileAccess.Write, FileShare.None, 1 << 20))
        {
            WriteCsv(channels, form, stream);
        }

        Console.WriteLine($"{logPath}: {channels[0].Samples.Length} rows, {channels.Length} channels, {new FileInfo(logPath).Length / 1e6:F1} MB");
    }

    /// <summary>The first channels of the wish list in the order of the log; beyond them, copies turned round in time, which the car file does not name.</summary>
    private static ImmutableArray<LoggedChannel> Chosen(ImmutableArray<LoggedChannel> all, int count)
    {
        HashSet<string> kept = [.. Wanted.Take(count)];
        List<LoggedChannel> chosen = [.. all.Where(channel => kept.Contains(channel.Name))];
        for (int i = 0; chosen.Count < count; i++)
        {
            LoggedChannel source = all[i % all.Length];
            int turn = (i + 1) * RateHz % source.Samples.Length;
            chosen.Add(new(
                string.Create(CultureInfo.InvariantCulture, $"spare_{i + 1:00}"),
                source.Unit,
                source.Time,
                [.. source.Samples.Skip(turn), .. source.Samples.Take(turn)]));
        }

        return [.. chosen];
    }

    private static string CarText(string sample)
    {
        int from = sample.IndexOf("[log]", StringComparison.Ordinal);
        int to = sample.IndexOf("[[components]]", StringComparison.Ordinal);
        return sample[..from] + "[log]\ntime_column = \"t\"\n\n" + Channels + "\n" + sample[to..];
    }

    /// <summary>The car file without the channels that the log does not have.</summary>
    private static string Without(string carText, ImmutableArray<string> names) =>
        string.Join('\n', carText.Split('\n').Where(line => !names.Any(name => line.Contains($"= {{ name = \"{name}\"", StringComparison.Ordinal) || line.EndsWith($"= \"{name}\"", StringComparison.Ordinal))));

    private static void WriteCsv(ImmutableArray<LoggedChannel> channels, LongLogForm form, Stream stream)
    {
        stream.Write(Encoding.UTF8.GetBytes("t," + string.Join(',', channels.Select(channel => channel.Name)) + "\n"));
        stream.Write(Encoding.UTF8.GetBytes("s," + string.Join(',', channels.Select(channel => channel.Name == "brake" ? "%" : channel.Unit)) + "\n"));
        double[][] columns = [.. channels.Select(channel => channel.Samples.ToArray())];
        string? format = form.FixedDecimals ? "F4" : null;
        byte[] line = new byte[(columns.Length + 1) * 32];
        for (int row = 0; row < columns[0].Length; row++)
        {
            Utf8Formatter.TryFormat((decimal)row / RateHz, line, out int length, new System.Buffers.StandardFormat('F', 3));
            for (int column = 0; column < columns.Length; column++)
            {
                line[length++] = (byte)',';
                if (form.SlowChannels && column >= FastColumns && row % SlowEvery != 0)
                {
                    continue;
                }

                (Math.Round(columns[column][row], 4) + 0.0).TryFormat(line.AsSpan(length), out int written, format, CultureInfo.InvariantCulture);
                length += written;
            }

            line[length++] = (byte)'\n';
            stream.Write(line, 0, length);
        }
    }
}

/// <summary>What log is to be written.</summary>
/// <param name="Minutes">About how long, min; whole laps are driven.</param>
/// <param name="Channels">Number of channels beside time.</param>
/// <param name="SlowChannels">True: all but the first 12 channels have a value in every tenth row and blanks between.</param>
/// <param name="FixedDecimals">True: every number has four decimals, as many loggers write; false: as few as it needs.</param>
internal sealed record LongLogForm(double Minutes = 15, int Channels = 20, bool SlowChannels = false, bool FixedDecimals = false);
