using System.Globalization;
using System.Text;
using CsCheck;
using Telemetry.Logs;

namespace Telemetry.Tests.Logs;

/// <summary>A column that is blank in most rows is stored without its blanks; what is read of it is what a walk through the rows, one by one, finds.</summary>
public class SparseColumnTests
{
    private const string Missing = "n/a";

    private static readonly LogOptions Options = LogOptions.Default with { MissingTokens = [Missing] };

    /// <summary>The first rows decide how a column is stored: they may be full and the others blank, or the other way round.</summary>
    [Fact]
    public void A_walk_through_the_rows_finds_the_same() =>
        Gen.Select(Part(150), Part(260), Gen.Int[40, 6000]).Sample(
            (first, second, partBytes) =>
            {
                (int Step, string Field)[] rows = [.. first, .. second];
                StringBuilder text = new("time [ms],fast [N],slow [mm]\n");
                List<(double TimeS, long Bits)> expected = [];
                int time = 0;
                double last = double.NegativeInfinity;
                foreach ((int step, string field) in rows)
                {
                    time += 10 * step;
                    text.Append(CultureInfo.InvariantCulture, $"{time},{time % 7},{field}\n");
                    string inside = field.Trim('"').Trim();
                    if (inside.Length > 0 && time / 1000.0 > last)
                    {
                        last = time / 1000.0;
                        expected.Add((last, BitConverter.DoubleToInt64Bits(double.TryParse(inside, CultureInfo.InvariantCulture, out double value) ? value : double.NaN)));
                    }
                }

                LoggedChannel? slow = LogText.Read(Encoding.UTF8.GetBytes(text.ToString()), Options, partBytes).Find("slow");
                if (expected.Count == 0)
                {
                    Assert.Null(slow);
                    return;
                }

                Assert.Equal(expected.Select(one => one.Bits), slow!.Samples.Select(BitConverter.DoubleToInt64Bits));
                for (int i = 0; i < expected.Count; i++)
                {
                    // A grid may be even to within half of the last digit of the times; a row beside the right one is 10 ms away.
                    Assert.Equal(expected[i].TimeS, slow.Time.At(i), 6e-4);
                }
            },
            seed: "000oyN4pQ3U1",
            iter: 400,
            threads: 1);

    /// <summary>One value in ten and one in a hundred, as slow channels beside fast ones are written: each on an even grid of its own.</summary>
    [Fact]
    public void Slow_channels_keep_their_own_even_grid()
    {
        StringBuilder text = new("time [s],fast,tenth,hundredth\n");
        for (int i = 0; i < 3000; i++)
        {
            text.Append(CultureInfo.InvariantCulture, $"{i / 1000.0:0.000},{i},{(i % 10 == 3 ? i : "")},{(i % 100 == 7 ? i : "")}\n");
        }

        RunLog log = LogText.Read(Encoding.UTF8.GetBytes(text.ToString()), null, 9000);
        foreach ((string name, int every, int from) in new[] { ("fast", 1, 0), ("tenth", 10, 3), ("hundredth", 100, 7) })
        {
            LoggedChannel channel = log.Find(name)!;
            Assert.True(channel.Time.IsEven);
            Assert.Equal(every / 1000.0, channel.Time.StepS, 1e-12);
            Assert.Equal(from / 1000.0, channel.Time.StartS, 1e-12);
            Assert.Equal(Enumerable.Range(0, 3000 / every).Select(k => (double)((k * every) + from)), channel.Samples);
        }
    }

    /// <summary>Rows with the step of the time and the field of the slow column; how many are blank is drawn once for all of them.</summary>
    private static Gen<(int Step, string Field)[]> Part(int most) =>
        Gen.Int[0, 4].SelectMany(density =>
        {
            Gen<string> valued = Gen.Select(Gen.Int[0, 9], Gen.Int[-999, 999]).Select((kind, value) => kind switch
            {
                0 => "nan",
                1 => Missing,
                2 => $"\"{value}\"",
                3 => $" {value}.25",
                _ => value.ToString(CultureInfo.InvariantCulture),
            });
            Gen<string> blank = Gen.Frequency((3, Gen.Const("")), (1, Gen.Const(" ")), (1, Gen.Const("\"\"")));
            Gen<string> field = density switch
            {
                0 => blank,
                1 => Gen.Frequency((30, blank), (1, valued)),
                2 => Gen.Frequency((1, blank), (1, valued)),
                3 => Gen.Frequency((1, blank), (30, valued)),
                _ => valued,
            };
            return Gen.Select(Gen.Frequency((12, Gen.Const(1)), (1, Gen.Const(0))), field).Array[1, most];
        });
}
