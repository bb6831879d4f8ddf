using System.Globalization;
using DuckDB.NET.Data;

namespace Telemetry.Benchmarks.Table;

/// <summary>DuckDB: a CSV log into a table in memory, every column DOUBLE, on as many threads as processors.</summary>
internal sealed class DuckPeer : IDisposable
{
    private readonly DuckDBConnection connection = new("DataSource=:memory:");
    private readonly string create;
    private readonly int width;

    /// <summary>Opens the database; nothing is read yet.</summary>
    public DuckPeer(string path)
    {
        string[] names = File.ReadLines(path).First().Split(',');
        width = names.Length;
        string columns = string.Join(", ", names.Select(name => $"'{name}': 'DOUBLE'"));
        create = $"CREATE OR REPLACE TABLE log AS SELECT * FROM read_csv('{path}', header = false, skip = 2, delim = ',', quote = '', escape = '', auto_detect = false, parallel = true, columns = {{{columns}}})";
        connection.Open();
        Run(string.Create(CultureInfo.InvariantCulture, $"SET threads = {Environment.ProcessorCount}"));
    }

    /// <summary>Its version, as it says itself.</summary>
    public string Version => (string)Scalar("SELECT version()");

    /// <summary>The table, materialised; values stay in the database.</summary>
    public void Load() => Run(create);

    /// <summary>Every value of the table in arrays, in the order of the file.</summary>
    public ParsedColumns ReadOut()
    {
        int rows = (int)(long)Scalar("SELECT count(*) FROM log");
        double[][] columns = new double[width][];
        for (int c = 0; c < width; c++)
        {
            columns[c] = new double[rows];
        }

        using DuckDBCommand command = connection.CreateCommand();
        command.CommandText = "SELECT * FROM log";
        using DuckDBDataReader reader = command.ExecuteReader();
        for (int row = 0; reader.Read(); row++)
        {
            for (int c = 0; c < width; c++)
            {
                columns[c][row] = reader.GetDouble(c);
            }
        }

        return new(columns);
    }

    /// <inheritdoc/>
    public void Dispose() => connection.Dispose();

    private void Run(string sql)
    {
        using DuckDBCommand command = connection.CreateCommand();
        command.CommandText = sql;
        _ = command.ExecuteNonQuery();
    }

    private object Scalar(string sql)
    {
        using DuckDBCommand command = connection.CreateCommand();
        command.CommandText = sql;
        return command.ExecuteScalar()!;
    }
}
