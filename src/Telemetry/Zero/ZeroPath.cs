using System.Collections.Immutable;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Zero;

/// <summary>The zero through all standstill windows.</summary>
internal static class ZeroPath
{
    /// <summary>
    /// Takes the offset off a cell's readings: with temperature where it follows that, and what is left by straight lines in time from window to window.
    /// Before the first and after the last window the offset in time of that window holds.
    /// </summary>
    public static SampleSource Subtract(Run run, Corner corner, CornerZero zero, ImmutableArray<StandstillWindow> windows, SampleSource readings)
    {
        windows = [.. windows.Where((_, w) => double.IsFinite(zero.AtWindowsN[w]))];
        SampleSource temperature = zero.PerKelvinN != 0 ? run.OnClock(ChannelRoles.CellTemperature(corner)) : SampleSource.None;
        double[] kelvin = new double[windows.Length];
        double[] left = [.. zero.AtWindowsN.Where(double.IsFinite)];
        for (int w = 0; w < windows.Length && !temperature.IsEmpty; w++)
        {
            kelvin[w] = Temperature(temperature, windows[w]);
            left[w] -= zero.PerKelvinN * (kelvin[w] - kelvin[0]);
        }

        Piece[] pieces = new Piece[windows.Length + 1];
        for (int part = 0; part < pieces.Length; part++)
        {
            int from = part == 0 ? 0 : Middle(windows[part - 1]);
            int to = part == windows.Length ? readings.Length : Middle(windows[part]);
            double start = left[Math.Max(0, part - 1)];
            pieces[part] = new(from, to, start, part == 0 || part == windows.Length ? 0 : (left[part] - start) / (to - from));
        }

        OffStraightLines load = new(readings, pieces);
        return temperature.IsEmpty ? load : WithTemperature(readings, pieces, temperature, zero.PerKelvinN, kelvin[0]);
    }

    /// <summary>Kept as an array, because a gap in the thermometer looks back as far as its last value.</summary>
    private static SampleSource WithTemperature(SampleSource readings, Piece[] pieces, SampleSource temperature, double perKelvinN, double firstKelvin)
    {
        double[] load = GC.AllocateUninitializedArray<double>(readings.Length);
        SampleCursor reading = readings.Cursor(), kelvin = temperature.Cursor();
        double lastKnown = firstKelvin;
        foreach (Piece piece in pieces)
        {
            for (int i = piece.From; i < piece.To; i++)
            {
                // A gap in the thermometer holds its last value: a cell's temperature moves over minutes.
                lastKnown = double.IsNaN(kelvin[i]) ? lastKnown : kelvin[i];
                load[i] = reading[i] - (piece.OffsetN(i) + (perKelvinN * (lastKnown - firstKelvin)));
            }
        }

        return SampleSource.Of(ImmutableCollectionsMarshal.AsImmutableArray(load));
    }

    /// <summary>Mean cell temperature over a window, K; NaN without a finite sample.</summary>
    public static double Temperature(SampleSource temperature, StandstillWindow window) =>
        temperature.IsEmpty ? double.NaN : temperature.MeanOfFinite(window.StartIndex, window.EndIndex);

    private static int Middle(StandstillWindow window) => (window.StartIndex + window.EndIndex) / 2;

    /// <summary>Samples over which the offset follows one straight line.</summary>
    /// <param name="From">First sample.</param>
    /// <param name="To">One past the last.</param>
    /// <param name="StartN">Offset at the first, N.</param>
    /// <param name="PerSampleN">What it changes by from one sample to the next, N.</param>
    private readonly record struct Piece(int From, int To, double StartN, double PerSampleN)
    {
        public double OffsetN(int index) => StartN + (PerSampleN * (index - From));

        /// <summary>Takes the offset off some samples, of which the first is given by its place.</summary>
        public void TakeOff(int index, ReadOnlySpan<double> raw, Span<double> load)
        {
            double along = index - From;
            Vector256<double> alongs = Vector256.Create(along, along + 1, along + 2, along + 3);
            int i = 0;
            for (; i <= raw.Length - Vector256<double>.Count; i += Vector256<double>.Count)
            {
                (Vector256.Create(raw[i..]) - (Vector256.Create(StartN) + (Vector256.Create(PerSampleN) * alongs))).CopyTo(load[i..]);
                alongs += Vector256.Create((double)Vector256<double>.Count);
            }

            for (; i < raw.Length; i++)
            {
                load[i] = raw[i] - OffsetN(index + i);
            }
        }
    }

    /// <summary>Readings less an offset that follows straight lines.</summary>
    private sealed class OffStraightLines(SampleSource readings, Piece[] pieces) : SampleSource(readings.Length)
    {
        public override ReadOnlySpan<double> Read(int start, int count, Span<double> room)
        {
            // A sample is written where it was read from, or beside what is kept.
            ReadOnlySpan<double> raw = readings.Read(start, count, room);
            Span<double> load = room[..count];
            foreach (Piece piece in pieces)
            {
                int from = Math.Max(piece.From - start, 0), to = Math.Min(piece.To - start, count);
                if (from < to)
                {
                    piece.TakeOff(start + from, raw[from..to], load[from..to]);
                }
            }

            return load;
        }
    }
}
