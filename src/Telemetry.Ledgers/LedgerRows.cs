using System.Collections.Immutable;
using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using Telemetry.Fatigue;
using Telemetry.Ledger;
using Telemetry.Review;

namespace Telemetry.Ledgers;

/// <summary>Rows of all content tables, by table; each value is null, a long, a double or a string, in the order of the table's columns.</summary>
internal sealed class LedgerRows
{
    private readonly Dictionary<string, List<object?[]>> rows = LedgerSchema.Content.ToDictionary(table => table.Name, _ => new List<object?[]>(), StringComparer.Ordinal);

    public List<object?[]> Of(LedgerTable table) => rows[table.Name];

    /// <summary>Adds the rows of an entry.</summary>
    public void Add(LedgerEntry entry, long revision)
    {
        Of(LedgerSchema.Entries).Add(
        [
            entry.Number, KindText(entry.Kind), entry.Part, RowText.Of(entry.AtUtc), RowText.Of(entry.EnteredAtUtc), entry.By,
            entry.Car, entry.Corner, entry.Text, entry.Damage, entry.Corrects,
        ]);
        if (entry.Run is not { } run)
        {
            return;
        }

        Of(LedgerSchema.Runs).Add(
        [
            entry.Number, run.Run, run.LogHash, revision, run.StartedAtUtc is { } start ? RowText.Of(start) : null, run.Car, run.CarHash, run.Program, run.Settings, FiguresHash(run),
        ]);
        for (int i = 0; i < run.Laps.Length; i++)
        {
            RunLap lap = run.Laps[i];
            Of(LedgerSchema.Laps).Add([entry.Number, (long)i, (long)lap.Number, lap.LengthM, lap.DurationS, Flag(lap.IsComplete)]);
        }

        foreach (PartFigures part in run.Parts)
        {
            Of(LedgerSchema.Parts).Add([entry.Number, .. Own(part), .. Told(part)]);
            for (int i = 0; i < part.DamageByLap.Length; i++)
            {
                Of(LedgerSchema.PartLaps).Add([entry.Number, part.Part, (long)i, part.DamageByLap[i]]);
            }
        }

        for (int i = 0; i < run.Readings.Length; i++)
        {
            RunReading reading = run.Readings[i];
            Of(LedgerSchema.Readings).Add([entry.Number, (long)i, reading.Name, reading.Subject, reading.Value, double.IsFinite(reading.StandardUncertainty) ? reading.StandardUncertainty : null, reading.Unit]);
        }
    }

    /// <summary>Hash of what an analysis found that does not hang on other runs: equal figures need not be entered again.</summary>
    public static string FiguresHash(RunFigures run)
    {
        StringBuilder text = new();
        foreach (PartFigures part in run.Parts.OrderBy(part => part.Part, StringComparer.Ordinal))
        {
            object?[] values = part.IsOldForm ? [.. Own(part), .. Told(part)] : Own(part);
            text.AppendJoin('\u001f', values.Select(value => Convert.ToString(value, CultureInfo.InvariantCulture))).Append('\u001e');
        }

        return Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(text.ToString())));
    }

    /// <summary>Refuses a value that is missing where the table allows none: a damaged file keeps its tables' rules no longer.</summary>
    /// <exception cref="FormatException">One is missing.</exception>
    public void RequireValues()
    {
        foreach (LedgerTable table in LedgerSchema.Content)
        {
            for (int i = 0; i < table.Columns.Length; i++)
            {
                if (!table.Columns[i].IsOptional && Of(table).Exists(row => row[i] is null))
                {
                    throw new FormatException($"a value of '{table.Columns[i].Name}' in '{table.Name}' is missing");
                }
            }
        }
    }

    /// <summary>The entries that all rows make.</summary>
    /// <exception cref="FormatException">A value cannot be read.</exception>
    public ImmutableArray<LedgerEntry> Entries()
    {
        ILookup<long, object?[]> laps = By(LedgerSchema.Laps);
        ILookup<long, object?[]> parts = By(LedgerSchema.Parts);
        ILookup<long, object?[]> readings = By(LedgerSchema.Readings);
        ILookup<(long, string), object?[]> partLaps = Of(LedgerSchema.PartLaps).ToLookup(row => ((long)row[0]!, (string)row[1]!));
        Dictionary<long, RunFigures> runs = Of(LedgerSchema.Runs).ToDictionary(row => (long)row[0]!, row => new RunFigures
        {
            Run = (string)row[1]!,
            LogHash = (string)row[2]!,
            StartedAtUtc = row[4] is string start ? RowText.Time(start) : null,
            Car = (string?)row[5],
            CarHash = (string?)row[6],
            Program = (string?)row[7],
            Settings = (string?)row[8],
            Laps = [.. laps[(long)row[0]!].OrderBy(lap => (long)lap[1]!).Select(lap => new RunLap((int)(long)lap[2]!, (double?)lap[3], (double)lap[4]!, (long)lap[5]! != 0))],
            Parts = [.. parts[(long)row[0]!].Select(part => Part(part, partLaps[((long)part[0]!, (string)part[1]!)]))],
            Readings = [.. readings[(long)row[0]!].OrderBy(reading => (long)reading[1]!).Select(reading => new RunReading((string)reading[2]!, (string)reading[3]!, (double)reading[4]!, (double?)reading[5] ?? double.NaN, (string)reading[6]!))],
        });
        return [.. Of(LedgerSchema.Entries).OrderBy(row => (long)row[0]!).Select(row => new LedgerEntry
        {
            Number = (long)row[0]!,
            Kind = Kind((string)row[1]!),
            Part = (string?)row[2],
            AtUtc = RowText.Time((string)row[3]!),
            EnteredAtUtc = RowText.Time((string)row[4]!),
            By = (string?)row[5],
            Car = (string?)row[6],
            Corner = (string?)row[7],
            Text = (string?)row[8],
            Damage = (double?)row[9],
            Corrects = (long?)row[10],
            Run = runs.GetValueOrDefault((long)row[0]!),
        })];
    }

    /// <summary>The texts of the car files by their hash.</summary>
    public Dictionary<string, string> CarTexts() => Of(LedgerSchema.CarFiles).ToDictionary(row => (string)row[0]!, row => (string)row[1]!, StringComparer.Ordinal);

    private ILookup<long, object?[]> By(LedgerTable table) => Of(table).ToLookup(row => (long)row[0]!);

    private static object?[] Own(PartFigures part) =>
    [
        part.Part, part.Description, part.Corner, part.ClosedDamage, RowText.Of(part.OpenPointsN), part.SmallestRangeN,
    ];

    private static object?[] Told(PartFigures part) =>
    [
        part.DamageTold, part.OpenDamageTold, part.DamageLow95, part.DamageHigh95, part.CriticalDamage,
        part.PeakCompressionN, part.PeakCompressionUncertaintyN, part.PeakTensionN, part.PeakTensionUncertaintyN, Flag(part.PeakIsLowerBound), Flag(part.ExceededLimit),
        part.MissingShare, part.CompressionLimitN, part.TensionLimitN, part.InspectionThresholdN, part.Verdict.ToString(),
    ];

    private static PartFigures Part(object?[] row, IEnumerable<object?[]> laps) => new()
    {
        Part = (string)row[1]!,
        Description = (string?)row[2],
        Corner = (string?)row[3],
        ClosedDamage = (double?)row[4],
        OpenPointsN = RowText.Numbers((string?)row[5]),
        SmallestRangeN = (double)row[6]!,
        DamageTold = (double?)row[7],
        OpenDamageTold = (double?)row[8],
        DamageLow95 = (double?)row[9],
        DamageHigh95 = (double?)row[10],
        CriticalDamage = (double?)row[11],
        PeakCompressionN = (double?)row[12],
        PeakCompressionUncertaintyN = (double?)row[13],
        PeakTensionN = (double?)row[14],
        PeakTensionUncertaintyN = (double?)row[15],
        PeakIsLowerBound = (long)row[16]! != 0,
        ExceededLimit = (long)row[17]! != 0,
        MissingShare = (double?)row[18],
        CompressionLimitN = (double?)row[19],
        TensionLimitN = (double?)row[20],
        InspectionThresholdN = (double?)row[21],
        Verdict = Enum.TryParse((string)row[22]!, out ComponentVerdict verdict) && Enum.IsDefined(verdict) ? verdict : throw new FormatException($"'{row[22]}' is no verdict."),
        DamageByLap = [.. laps.OrderBy(lap => (long)lap[2]!).Select(lap => (double)lap[3]!)],
    };

    private static long Flag(bool value) => value ? 1 : 0;

    private static string KindText(EntryKind kind) => kind.ToString().ToLowerInvariant();

    private static EntryKind Kind(string text) =>
        Array.Find(Enum.GetValues<EntryKind>(), kind => KindText(kind) == text) is var found && KindText(found) == text ? found : throw new FormatException($"'{text}' is no kind of an entry.");
}
