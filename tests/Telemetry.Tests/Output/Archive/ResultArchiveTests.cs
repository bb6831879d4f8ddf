using System.Text.RegularExpressions;
using DuckDB.NET.Data;
using Telemetry.Output.Archive;
using Telemetry.Output.Tables;
using Telemetry.Review;

namespace Telemetry.Tests.Output.Archive;

/// <summary>The archive read by DuckDB, an independent reader of Parquet (DuckDB.NET 1.5.6.1 with DuckDB's own library).</summary>
public partial class ResultArchiveTests
{
    private static readonly string Readme = Path.Combine(Repository.Root, "src", "Telemetry", "Output", "Archive", "README.md");

    private static readonly string[] Hashes = [new('1', 64), new('2', 64), new('3', 64)];

    [GeneratedRegex("```sql\n(.*?)```", RegexOptions.Singleline)]
    private static partial Regex Sql { get; }

    private static RunReview Named(string name, DateTimeOffset? start = null) => SampleReviews.Full with { Run = SampleReviews.Full.Run with { Name = name, StartedAtUtc = start } };

    private static void Fill(string folder)
    {
        for (int i = 0; i < Hashes.Length; i++)
        {
            ResultArchive.Put(Named("x", new DateTimeOffset(2026, 3, 31, 9 + i, 0, 0, TimeSpan.Zero)), Hashes[i], $"run{i + 1}", folder);
        }
    }

    private static List<object?[]> Query(string root, string sql)
    {
        using DuckDBConnection connection = new("DataSource=:memory:");
        connection.Open();
        using DuckDBCommand command = connection.CreateCommand();
        command.CommandText = sql.Replace("'archive/", $"'{root.Replace('\\', '/')}/archive/", StringComparison.Ordinal);
        using DuckDBDataReader reader = command.ExecuteReader();
        List<object?[]> rows = [];
        while (reader.Read())
        {
            rows.Add([.. Enumerable.Range(0, reader.FieldCount).Select(i => reader.IsDBNull(i) ? null : reader.GetValue(i))]);
        }

        return rows;
    }

    [Fact]
    public void The_queries_of_the_README_run_as_they_stand_there()
    {
        using TemporaryFolder folder = new();
        Fill(folder["archive"]);
        string[] queries = [.. Sql.Matches(File.ReadAllText(Readme).ReplaceLineEndings("\n")).Select(match => match.Groups[1].Value)];
        Assert.Equal(3, queries.Length);
        // What the rows must be is counted from the review itself.
        RunReview review = SampleReviews.Full;
        List<object?[]> aero = Query(folder.Root, queries[0].Replace("BETWEEN 240 AND 260", "BETWEEN 0 AND 400", StringComparison.Ordinal));
        Assert.Equal(["run1", "run2", "run3"], aero.Select(row => row[0]));
        Assert.Equal(Math.Round(review.Aero.Curve.Average(at => at.TotalLiftAreaM2.Value), 3), (double)aero[0][2]!, 3);
        _ = Query(folder.Root, queries[0]);

        List<object?[]> kerbs = Query(folder.Root, queries[1]);
        Assert.Equal(review.Kerbs.Strikes.Max(strike => strike.PeakLoadN), (double)kerbs[0][3]!, 6);
        Assert.All(kerbs, row => Assert.Equal(3L, Convert.ToInt64(row[4], System.Globalization.CultureInfo.InvariantCulture)));

        List<object?[]> parts = Query(folder.Root, queries[2]);
        Assert.Equal(review.Fatigue.Components.Count(part => part.DamageRun is not null), parts.Count);
        double most = review.Fatigue.Components.Max(part => part.DamageRun ?? 0);
        Assert.Equal(3 * most, (double)parts[0][1]!, 12);
    }

    [Fact]
    public void Every_cell_of_every_table_is_read_back_with_its_type()
    {
        using TemporaryFolder folder = new();
        RunReview review = Named("x");
        ResultArchive.Put(review, Hashes[0], "run", folder["archive"]);
        foreach (ResultTable table in ResultArchive.Tables(review))
        {
            List<object?[]> rows = Query(folder.Root, $"SELECT * FROM 'archive/{table.Name}/*.parquet'");
            Assert.Equal(table.Rows.Length, rows.Count);
            for (int r = 0; r < rows.Count; r++)
            {
                Assert.Equal(["Test car", "run", null, Hashes[0]], (object?[])["Test car", .. rows[r][1..4]]);
                for (int c = 0; c < table.Columns.Length; c++)
                {
                    TableCell cell = table.Rows[r][c];
                    object? expected = cell.Text is { Length: > 0 } text ? text
                        : double.IsFinite(cell.Number) ? rows[r][c + 4] is long ? (long)cell.Number : rows[r][c + 4] is string ? cell.Number.ToString("R", System.Globalization.CultureInfo.InvariantCulture) : cell.Number
                        : null;
                    Assert.Equal(expected, rows[r][c + 4]);
                }
            }
        }
    }

    [Theory]
    [InlineData("full")]
    [InlineData("withheld")]
    [InlineData("hostile")]
    public void A_table_has_the_same_columns_whatever_the_run(string kind)
    {
        using TemporaryFolder folder = new();
        RunReview review = kind switch
        {
            "full" => SampleReviews.Full,
            "withheld" => SampleReviews.Withheld(new()),
            _ => SampleReviews.Make(new() { NamePrefix = "../'; DROP TABLE runs; --\u202e", RunName = "../../etc/x", Laps = 1 }),
        };
        ResultArchive.Put(SampleReviews.Full, Hashes[0], "a", folder["archive"]);
        ResultArchive.Put(review, Hashes[1], "b", folder["archive"]);
        foreach (ResultTable table in ResultArchive.Tables(review).Where(table => table.Name != "laps"))
        {
            string[] Schema(string hash) => [.. Query(folder.Root, $"SELECT name, type, converted_type FROM parquet_schema('archive/{table.Name}/{hash[..16]}.parquet')").Select(row => string.Join(" ", row))];
            Assert.Equal(Schema(Hashes[0]), Schema(Hashes[1]));
        }
    }

    [Fact]
    public void Laps_of_logs_with_other_channels_are_read_together_by_name()
    {
        using TemporaryFolder folder = new();
        ResultArchive.Put(SampleReviews.Full, Hashes[0], "a", folder["archive"]);
        ResultArchive.Put(SampleReviews.Withheld(new()), Hashes[1], "b", folder["archive"]);
        long laps = SampleReviews.Full.Run.Laps.Laps.Length + SampleReviews.Withheld(new()).Run.Laps.Laps.Length;
        Assert.Equal(laps, Query(folder.Root, "SELECT run, lap, time_s FROM read_parquet('archive/laps/*.parquet', union_by_name = true)").Count);
    }

    [Fact]
    public void No_name_from_a_log_becomes_a_path()
    {
        using TemporaryFolder folder = new();
        ResultArchive.Put(SampleReviews.Make(new() { NamePrefix = "../../", RunName = "../../../escape", Laps = 1 }), Hashes[0], "../../CON/..\\escape", folder["archive"]);
        Assert.Equal(["archive"], Directory.GetFileSystemEntries(folder.Root).Select(Path.GetFileName));
        Assert.All(Directory.GetFiles(folder.Root, "*", SearchOption.AllDirectories), file => Assert.Matches("^archive/[a-z_]+/1{16}\\.parquet$", Path.GetRelativePath(folder.Root, file).Replace('\\', '/')));
        Assert.Equal("../../CON/..\\escape", Query(folder.Root, "SELECT run FROM 'archive/runs/*.parquet'").Single()[0]);
    }

    [Fact]
    public void A_log_that_is_analysed_again_replaces_its_own_rows_and_names_that_differ_in_case_stay_apart()
    {
        using TemporaryFolder folder = new();
        ResultArchive.Put(Named("x"), Hashes[0], "run", folder["archive"]);
        ResultArchive.Put(Named("x"), Hashes[0], "Run", folder["archive"]);
        ResultArchive.Put(Named("x"), Hashes[1], "RUN", folder["archive"]);
        Assert.Equal(["RUN", "Run"], Query(folder.Root, "SELECT run FROM 'archive/runs/*.parquet' ORDER BY run").Select(row => row[0]));
    }

    [Fact]
    public void The_same_review_gives_the_same_bytes()
    {
        using TemporaryFolder folder = new();
        ResultArchive.Put(Named("x"), Hashes[0], "run", folder["a"]);
        ResultArchive.Put(Named("x"), Hashes[0], "run", folder["b"]);
        foreach (string file in Directory.GetFiles(folder["a"], "*", SearchOption.AllDirectories))
        {
            Assert.Equal(File.ReadAllBytes(file), File.ReadAllBytes(Path.Combine(folder["b"], Path.GetRelativePath(folder["a"], file))));
        }
    }
}
