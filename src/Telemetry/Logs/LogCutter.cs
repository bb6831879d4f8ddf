using System.Collections.Immutable;

namespace Telemetry.Logs;

/// <summary>
/// Cuts a CSV log of any length into runs at the car's stops, within a few dozen megabytes: what a whole day at a kilohertz takes does not fit into memory at once, and a run ends where
/// fuel and tyres change anyway.
/// </summary>
/// <remarks>
/// Nothing is parsed and written anew: each run is the log's own head and the log's own bytes of its rows, so that it reads to the very numbers that the long log holds. Rows that cannot
/// be read go along; whoever reads the run is told of them.
/// </remarks>
public static class LogCutter
{
    /// <summary>Rows that are looked at together: large enough to keep all processors busy, small against what a run takes.</summary>
    internal const int DefaultWindowBytes = 1 << 24;

    private const int CopyBytes = 1 << 20;

    /// <summary>Finds the runs of a log.</summary>
    /// <param name="path">The log: CSV in UTF-8 or Latin-1, plain or gzip.</param>
    /// <param name="options">How it is read, with its speed, in m/s, as the one column that is asked for.</param>
    /// <param name="cut">Where it may be cut.</param>
    /// <exception cref="InputError">The file cannot be read, or is no such log.</exception>
    public static CutPlan Plan(string path, LogOptions options, CutOptions cut) => Plan(path, options, cut, DefaultWindowBytes);

    /// <summary>With a chosen size of the windows, for the test that it changes nothing.</summary>
    internal static CutPlan Plan(string path, LogOptions options, CutOptions cut, int windowBytes)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        ArgumentNullException.ThrowIfNull(options);
        ArgumentNullException.ThrowIfNull(cut);
        return LogReader.Opened(path, file => Plan(file, path, options, cut, windowBytes));
    }

    /// <summary>Finds the runs in an open file.</summary>
    internal static CutPlan Plan(LogSource file, string path, LogOptions options, CutOptions cut, int windowBytes)
    {
        string fileName = Path.GetFileName(path);
        using LogSource source = Unpacked(file, fileName, windowBytes);
        (CsvRowTimes rows, int mark) = Rows(source, fileName, options);
        long length = source.Length - mark;
        double mpsOfOne = cut.MpsOfUnit?.Invoke(rows.Unit) ?? 1;
        StopFinder stops = new(cut);
        List<(long From, long To, double LastS)> windows = [];
        double lastS = double.NegativeInfinity;
        double firstS = double.NaN;
        for (long from = rows.DataStart; from < length;)
        {
            long to = rows.RowBehind(Math.Min(from + windowBytes, length), length);
            (double[] times, double[] speeds) = rows.Read(from, to, lastS);
            for (int i = 0; i < times.Length; i++)
            {
                if (!IsBlank(speeds[i]))
                {
                    stops.Add(times[i], mpsOfOne * speeds[i]);
                }
            }

            windows.Add((from, to, lastS));
            firstS = double.IsNaN(firstS) && times.Length > 0 ? times[0] : firstS;
            lastS = times.Length > 0 ? times[^1] : lastS;
            from = to;
        }

        ImmutableArray<Stop> cuts = stops.Cuts(out ImmutableArray<double> tops);
        ImmutableArray<CutRun>.Builder runs = ImmutableArray.CreateBuilder<CutRun>(cuts.Length + 1);
        long at = rows.DataStart;
        for (int k = 0; k <= cuts.Length; k++)
        {
            double middleS = k < cuts.Length ? cuts[k].MiddleS : lastS;
            (long from, long to, double notBeforeS) = windows.FindLast(window => k < cuts.Length && window.LastS < middleS);
            long end = k < cuts.Length ? rows.RowAt(middleS, from, to, notBeforeS) : length;
            runs.Add(new(k == 0 ? firstS : cuts[k - 1].MiddleS, middleS, tops[k], mark + at, mark + end));
            at = end;
        }

        return new CutPlan(path, mark + rows.DataStart, source.Length, runs.ToImmutable());
    }

    /// <summary>Hands out the runs of a plan one after the other, each as what writes it: the head and its rows, byte for byte.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="place">Given a run and what writes it into a stream; says itself what a disk refuses.</param>
    /// <exception cref="InputError">The log cannot be read, or has become shorter since it was planned.</exception>
    public static void Copy(CutPlan plan, Action<CutRun, Action<Stream>> place)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(place);
        string fileName = Path.GetFileName(plan.Path);
        _ = LogReader.Opened(plan.Path, file =>
        {
            using LogSource source = Unpacked(file, fileName, DefaultWindowBytes);
            byte[] buffer = new byte[CopyBytes];
            foreach (CutRun run in plan.Runs)
            {
                place(run, target =>
                {
                    Append(0, plan.HeadBytes, target);
                    Append(run.FromByte, run.ToByte, target);
                });
            }

            return plan.Runs.Length;

            void Append(long from, long to, Stream target)
            {
                while (from < to)
                {
                    int got = Read(from, buffer.AsSpan(0, (int)Math.Min(buffer.Length, to - from)));
                    target.Write(buffer, 0, got);
                    from += got;
                }
            }

            // A fault of reading must not pass for one of the place that is written to.
            int Read(long from, Span<byte> into)
            {
                try
                {
                    return source.Read(from, into) is > 0 and int got ? got : throw new InputError(
                        fileName,
                        "The log became shorter while it was being cut.",
                        "Wait until nothing writes to it, then cut it again.");
                }
                catch (IOException trouble)
                {
                    throw LogReader.CannotBeRead(fileName, trouble);
                }
            }
        });
    }

    private static (CsvRowTimes Rows, int MarkBytes) Rows(LogSource source, string fileName, LogOptions options)
    {
        Span<byte> start = stackalloc byte[4];
        start = start[..source.Read(0, start)];
        if (start.StartsWith("PAR1"u8))
        {
            throw new InputError(fileName, "This is a Parquet file, and only CSV is cut.", "Write the log as CSV, or one Parquet file for each run, where it comes from.");
        }

        if (GzipFile.Is(start))
        {
            throw new InputError(fileName, "The file is packed twice with gzip.", "Unpack it once and cut the result.");
        }

        FileKinds.Refuse(source, fileName);
        LogSource text = TextEncoding.ToUtf8(source, fileName);
        if (text is MemorySource)
        {
            throw new InputError(fileName, "The text is UTF-16, and only UTF-8 or Latin-1 is cut.", "Save it as UTF-8.");
        }

        byte[] head = CsvHead.Read(text, fileName);
        CsvLayout layout = new CsvLayoutFinder(fileName, options).Find(head);
        return (new(text, fileName, head, layout, options), (int)(source.Length - text.Length));
    }

    /// <summary>The text of a file; closed with it. A window and what is looked at behind it stay within reach of a packed one.</summary>
    private static LogSource Unpacked(LogSource file, string fileName, int windowBytes)
    {
        Span<byte> start = stackalloc byte[2];
        return GzipFile.Is(start[..file.Read(0, start)]) ? new GzipForward(file, fileName, windowBytes + CsvHead.MostLineBytes) : file;
    }

    private static bool IsBlank(double value) => BitConverter.DoubleToInt64Bits(value) == BitConverter.DoubleToInt64Bits(CsvPartParser.Blank);
}
