using System.Buffers;
using System.Collections.Immutable;
using Telemetry.Car;

namespace Telemetry.WheelLoads;

/// <summary>Reads the load on a component from the loads and travels of the car.</summary>
internal static class LoadTerms
{
    /// <summary>What the log lacks for a term, in words; null when it can be formed.</summary>
    public static string? Missing(this LoadTerm term, WheelLoadSet wheels)
    {
        string corner = term.Corner.Code();
        return term.Source switch
        {
            LoadSource.PushrodLoad when wheels.Pushrods.PushrodLoadN[term.Corner].IsEmpty => $"The log has no pushrod load of {corner}.",
            LoadSource.WheelLoad when wheels.LoadN[term.Corner].IsEmpty => $"The log has no wheel load of {corner}.",
            LoadSource.DamperTravel when wheels.Pushrods.DamperTravelM[term.Corner] is not { Length: > 0 } => $"The log has no damper travel of {corner}.",
            _ when term.Ratio is { IsConstant: false } && wheels.Pushrods.DamperTravelM[term.Corner] is not { Length: > 0 } => $"The log has no damper travel of {corner}, which the ratio of its load needs.",
            _ => null,
        };
    }

    /// <summary>Sum of the terms at each sample of the clock, N, made when it is read; a term that is one of the car's loads as it stands is that load itself.</summary>
    public static SampleSource Of(ImmutableArray<LoadTerm> terms, WheelLoadSet wheels) =>
        terms is [{ Factor: 1, Ratio: null, Source: LoadSource.WheelLoad } wheel] && wheel.Missing(wheels) is null ? wheels.LoadN[wheel.Corner]
        : terms is [{ Factor: 1, Ratio: null, Source: LoadSource.PushrodLoad } pushrod] && pushrod.Missing(wheels) is null ? wheels.Pushrods.PushrodLoadN[pushrod.Corner]
        : new SumOfTerms(terms, wheels);

    /// <summary>Sum of the terms over a span of samples, N; NaN where a term has none, and where a travel lies outside a term's ratio table.</summary>
    /// <param name="terms">The terms.</param>
    /// <param name="wheels">The loads.</param>
    /// <param name="from">First sample.</param>
    /// <param name="sum">Receives the loads; its length is that of the span.</param>
    public static void Sum(ImmutableArray<LoadTerm> terms, WheelLoadSet wheels, int from, Span<double> sum)
    {
        sum.Clear();
        foreach (LoadTerm term in terms)
        {
            if (term.Missing(wheels) is not null)
            {
                sum.Fill(double.NaN);
                return;
            }

            if (term.Source == LoadSource.Constant)
            {
                for (int i = 0; i < sum.Length; i++)
                {
                    sum[i] += term.Factor;
                }

                continue;
            }

            SampleSource whole = term.Source switch
            {
                LoadSource.WheelLoad => wheels.LoadN[term.Corner],
                LoadSource.DamperTravel => wheels.Pushrods.DamperTravelM[term.Corner]!,
                _ => wheels.Pushrods.PushrodLoadN[term.Corner],
            };
            TravelTable? table = term.Ratio is { IsConstant: false } curve ? TravelTable.OfRatio(curve) : null;
            int longest = SampleSource.LongestBlock(sum.Length);
            double[] room = ArrayPool<double>.Shared.Rent(longest), travelRoom = ArrayPool<double>.Shared.Rent(table is null ? 0 : longest);
            foreach ((int start, int count) in SampleSource.Blocks(0, sum.Length))
            {
                ReadOnlySpan<double> travel = table is null ? [] : wheels.Pushrods.DamperTravelM[term.Corner]!.Read(from + start, count, travelRoom);
                Add(term, table, whole.Read(from + start, count, room), travel, sum.Slice(start, count));
            }

            ArrayPool<double>.Shared.Return(room);
            ArrayPool<double>.Shared.Return(travelRoom);
        }
    }

    private static void Add(LoadTerm term, TravelTable? table, ReadOnlySpan<double> signal, ReadOnlySpan<double> travel, Span<double> sum)
    {
        double factor = term.Factor * (term.Ratio is { IsConstant: true } constant ? constant.Points[0].Ratio : 1);
        if (table is null)
        {
            for (int i = 0; i < sum.Length; i++)
            {
                sum[i] += factor * signal[i];
            }

            return;
        }

        for (int i = 0; i < sum.Length; i++)
        {
            sum[i] += factor * table.Read(travel[i]) * signal[i];
        }
    }

    private sealed class SumOfTerms(ImmutableArray<LoadTerm> terms, WheelLoadSet wheels) : SampleSource(wheels.Run.Count)
    {
        public override ReadOnlySpan<double> Read(int start, int count, Span<double> room)
        {
            Sum(terms, wheels, start, room[..count]);
            return room[..count];
        }
    }
}
