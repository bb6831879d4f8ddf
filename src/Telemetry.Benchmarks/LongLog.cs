using System.Buffers.Text;
using System.Collections.Immutable;
using System.Text;
using Telemetry.Car;
using Telemetry.Logs;
using Telemetry.Simulation;

namespace Telemetry.Benchmarks;

/// <summary>
/// Writes the log that the benchmark of the whole job reads: the car and the circuit of sample-runs/baseline driven for about
/// 15 minutes, time and 20 channels, every one at 1 kHz, as CSV with a header row and a units row; and the car file that fits it.
/// </summary>
internal static class LongLog
{
    private const int RateHz = 1000;
    private const int Laps = 14;

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
    public static void Write(string sampleRun, string folder)
    {
        Directory.CreateDirectory(folder);
        string carPath = Path.Combine(folder, "car.toml");
        string carText = CarText(File.ReadAllText(Path.Combine(sampleRun, "car.toml")));
        File.WriteAllText(carPath, carText);
        Scenario scenario = ScenarioFile.Read(Path.Combine(sampleRun, "scenario.toml"));
        SensorDefinition sensors = scenario.Sensors with { FastRateHz = RateHz, MediumRateHz = RateHz, SlowRateHz = RateHz, WeatherRateHz = RateHz };
        RunLog log = Simulator.Run(scenario with { Laps = Laps, StandstillAfterS = 30, Sensors = sensors }, CarFile.Read(carPath)).Log;

        // The simulated brake is a pressure; a full scale of 100 bar makes the same digits a share in %.
        File.WriteAllText(carPath, carText.Replace("""unit = "bar", threshold = "3 bar" """.TrimEnd(), """unit = "%", threshold = "3 %" """.TrimEnd(), StringComparison.Ordinal));
        string logPath = Path.Combine(folder, "log.csv");
        using (FileStream stream = new(logPath, FileMode.Create, FileAccess.Write, FileShare.None, 1 << 20))
        {
            WriteCsv(log.Channels, stream);
        }

        Console.WriteLine($"{logPath}: {log.Channels[0].Samples.Length} rows, {log.Channels.Length} channels, {new FileInfo(logPath).Length / 1e6:F1} MB");
    }

    private static string CarText(string sample)
    {
        int from = sample.IndexOf("[log]", StringComparison.Ordinal);
        int to = sample.IndexOf("[[components]]", StringComparison.Ordinal);
        return sample[..from] + "[log]\ntime_column = \"t\"\n\n" + Channels + "\n" + sample[to..];
    }

    private static void WriteCsv(ImmutableArray<LoggedChannel> channels, Stream stream)
    {
        stream.Write(Encoding.UTF8.GetBytes("t," + string.Join(',', channels.Select(channel => channel.Name)) + "\n"));
        stream.Write(Encoding.UTF8.GetBytes("s," + string.Join(',', channels.Select(channel => channel.Name == "brake" ? "%" : channel.Unit)) + "\n"));
        double[][] columns = [.. channels.Select(channel => channel.Samples.ToArray())];
        byte[] line = new byte[(columns.Length + 1) * 32];
        for (int row = 0; row < columns[0].Length; row++)
        {
            Utf8Formatter.TryFormat((decimal)row / RateHz, line, out int length, new System.Buffers.StandardFormat('F', 3));
            foreach (double[] column in columns)
            {
                line[length++] = (byte)',';
                (Math.Round(column[row], 4) + 0.0).TryFormat(line.AsSpan(length), out int written, provider: System.Globalization.CultureInfo.InvariantCulture);
                length += written;
            }

            line[length++] = (byte)'\n';
            stream.Write(line, 0, length);
        }
    }
}
