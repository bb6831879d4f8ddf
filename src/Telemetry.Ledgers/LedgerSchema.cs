using System.Collections.Immutable;
using static Telemetry.Ledgers.ColumnKind;

namespace Telemetry.Ledgers;

/// <summary>The tables of a ledger. A table or column is never changed or taken away; a later version adds.</summary>
internal static class LedgerSchema
{
    /// <summary>Version of the tables that this program writes.</summary>
    public const int Version = 2;

    /// <summary>Which versions of the tables were put in, and when.</summary>
    public static LedgerTable Schema { get; } = new(
        "life_schema",
        [new("version", Integer), new("applied_at_utc", Text)],
        ["PRIMARY KEY (version)"]);

    /// <summary>Texts of the car files that runs were analysed with.</summary>
    public static LedgerTable CarFiles { get; } = new(
        "life_car_file",
        [new("hash", Text), new("text", Text)],
        ["PRIMARY KEY (hash)"]);

    /// <summary>Everything that was ever entered, by number.</summary>
    public static LedgerTable Entries { get; } = new(
        "life_entry",
        [
            new("number", Integer), new("kind", Text), new("part", Text, true), new("at_utc", Text), new("entered_at_utc", Text), new("entered_by", Text, true),
            new("car", Text, true), new("corner", Text, true), new("text", Text, true), new("damage", Real, true), new("corrects", Integer, true),
        ],
        ["PRIMARY KEY (number)", "FOREIGN KEY (corrects) REFERENCES life_entry (number)", "CHECK (number > 0)"]);

    /// <summary>Analyses of logs; the highest revision of a log that no correction strikes out counts.</summary>
    public static LedgerTable Runs { get; } = new(
        "life_run",
        [
            new("entry", Integer), new("run", Text), new("log_hash", Text), new("revision", Integer), new("started_at_utc", Text, true), new("car", Text, true),
            new("car_hash", Text, true), new("program", Text, true), new("settings", Text, true), new("figures_hash", Text),
        ],
        ["PRIMARY KEY (entry)", "UNIQUE (log_hash, revision)", "FOREIGN KEY (entry) REFERENCES life_entry (number)", "FOREIGN KEY (car_hash) REFERENCES life_car_file (hash)"]);

    /// <summary>Laps of an analysis.</summary>
    public static LedgerTable Laps { get; } = new(
        "life_run_lap",
        [new("entry", Integer), new("place", Integer), new("lap", Integer), new("length_m", Real, true), new("duration_s", Real), new("is_complete", Integer)],
        ["PRIMARY KEY (entry, place)", "FOREIGN KEY (entry) REFERENCES life_run (entry)"]);

    /// <summary>What an analysis found of each part.</summary>
    public static LedgerTable Parts { get; } = new(
        "life_run_part",
        [
            new("entry", Integer), new("part", Text), new("description", Text, true), new("corner", Text, true), new("closed_damage", Real, true), new("open_points_n", Text, true),
            new("smallest_range_n", Real), new("damage_told", Real, true), new("open_damage_told", Real, true), new("damage_low95", Real, true), new("damage_high95", Real, true),
            new("critical_damage", Real, true), new("peak_compression_n", Real, true), new("peak_compression_uncertainty_n", Real, true), new("peak_tension_n", Real, true),
            new("peak_tension_uncertainty_n", Real, true), new("peak_is_lower_bound", Integer), new("exceeded_limit", Integer), new("missing_share", Real, true),
            new("compression_limit_n", Real, true), new("tension_limit_n", Real, true), new("inspection_threshold_n", Real, true), new("verdict", Text),
        ],
        ["PRIMARY KEY (entry, part)", "FOREIGN KEY (entry) REFERENCES life_run (entry)"]);

    /// <summary>Damage of each part by lap, as told.</summary>
    public static LedgerTable PartLaps { get; } = new(
        "life_run_part_lap",
        [new("entry", Integer), new("part", Text), new("place", Integer), new("damage_told", Real)],
        ["PRIMARY KEY (entry, part, place)", "FOREIGN KEY (entry, part) REFERENCES life_run_part (entry, part)"]);

    /// <summary>Values that are followed from run to run.</summary>
    public static LedgerTable Readings { get; } = new(
        "life_run_reading",
        [new("entry", Integer), new("place", Integer), new("name", Text), new("subject", Text), new("value", Real), new("standard_uncertainty", Real, true), new("unit", Text)],
        ["PRIMARY KEY (entry, place)", "FOREIGN KEY (entry) REFERENCES life_run (entry)"]);

    /// <summary>The sum of each part that an entry moved, as it stood after the entry: what a check compares with the entries added again.</summary>
    public static LedgerTable Sums { get; } = new(
        "life_part_sum",
        [new("entry", Integer), new("part", Text), new("damage", Real), new("open_damage", Real), new("open_points_n", Text, true)],
        ["PRIMARY KEY (entry, part)", "FOREIGN KEY (entry) REFERENCES life_entry (number)"]);

    /// <summary>All tables that hold content, each behind those that it refers to.</summary>
    public static ImmutableArray<LedgerTable> Content { get; } = [CarFiles, Entries, Runs, Laps, Parts, PartLaps, Readings, Sums];

    /// <summary>The tables that a version brought.</summary>
    public static ImmutableArray<LedgerTable> AddedBy(int version) => version switch
    {
        1 => [Schema, CarFiles, Entries, Runs, Laps, Parts, PartLaps, Sums],
        2 => [Readings],
        _ => [],
    };
}
