using System.Runtime.InteropServices;
using Telemetry.Car;
using Telemetry.Runs;
using Telemetry.WheelLoads;

namespace Telemetry.Kerbs;

/// <summary>Finds and measures kerb strikes (equation E8).</summary>
public static class KerbStrikes
{
    /// <summary>All strikes of a run, paired front to rear and grouped into kerbs.</summary>
    /// <param name="wheels">Loads of the run, unfiltered and at the full rate.</param>
    /// <param name="options">Choices.</param>
    /// <returns>No strikes and the reason when the loads were low-passed before they were recorded.</returns>
    public static KerbResult From(WheelLoadSet wheels, KerbOptions options)
    {
        ArgumentNullException.ThrowIfNull(wheels);
        ArgumentNullException.ThrowIfNull(options);
        return From(wheels, options, () => options);
    }

    /// <summary>The same for a caller that learns only while strikes are looked for which load cells can be believed.</summary>
    /// <param name="wheels">As above.</param>
    /// <param name="options">What strikes are found by.</param>
    /// <param name="judging">What they are measured by: the same but for <see cref="KerbOptions.NotJudgedBecause"/> and <see cref="KerbOptions.PeaksCutBecause"/>. Asked for once, when all are found.</param>
    internal static KerbResult From(WheelLoadSet wheels, KerbOptions options, Func<KerbOptions> judging)
    {
        if (wheels.Pushrods.IsLowPassed)
        {
            return new()
            {
                Strikes = [],
                Kerbs = [],
                ThresholdN = PerCorner.Of(_ => double.NaN),
                QuietScatterN = PerCorner.Of(_ => double.NaN),
                WithheldBecause = "The pushrod loads were low-passed before they were recorded: the peaks of kerb strikes are cut off. Log the cells unfiltered.",
            };
        }

        Run run = wheels.Run;
        var dynamics = new CornerDynamics[4];
        var candidates = new List<StrikeCandidate>[4];
        Workers.Run(4, c =>
        {
            dynamics[c] = CornerDynamics.Of(wheels, (Corner)c, options);
            candidates[c] = StrikeCandidate.Find(dynamics[c], wheels.Pushrods.DamperTravelM[(Corner)c], run.Clock.StepS, options);
        });

        List<StrikeCandidate> selected = [];
        List<KerbStrike> measured = [];
        List<KerbStrike> others = [];
        List<StrikeCandidate> rises = StrikeSelection.Of(candidates, run, options);
        options = judging();
        StrikeTelling[] tellings = StrikeTellings.Of(rises, dynamics, wheels, options);
        for (int i = 0; i < rises.Count; i++)
        {
            StrikeCandidate candidate = rises[i];
            KerbStrike strike = StrikeMeasure.Of(candidate, dynamics[(int)candidate.Corner], wheels, options);
            if (OutlastsAnyKerb(strike, options))
            {
                continue;
            }

            strike = strike with { Telling = tellings[i] };
            if (strike.Telling.Class == StrikeClass.KerbStrike)
            {
                selected.Add(candidate);
                measured.Add(strike with { Number = measured.Count + 1 });
            }
            else
            {
                others.Add(strike with { Number = others.Count + 1 });
            }
        }

        KerbStrike[] strikes = [.. measured];

        Pair(selected, strikes, run, options);
        (strikes, List<Kerb> kerbs) = KerbGroups.Of(strikes, run, options);
        return new()
        {
            Strikes = ImmutableCollectionsMarshal.AsImmutableArray(strikes),
            OtherEvents = [.. others],
            Kerbs = [.. kerbs],
            ThresholdN = PerCorner.Of(corner => dynamics[(int)corner].SmallestN),
            QuietScatterN = PerCorner.Of(corner => dynamics[(int)corner].ScatterN),
            Findings = StrikeSampling.Of(run, strikes, options),
            WithheldBecause = null,
        };
    }

    /// <summary>True when the load stays up for longer than the car takes over the longest kerb: not a strike. Without a speed nothing is turned away.</summary>
    private static bool OutlastsAnyKerb(KerbStrike strike, KerbOptions options) =>
        strike.DurationS > (options.LongestKerbM / strike.SpeedMps) + options.SettlingS;

    /// <summary>Each front strike takes the first free rear strike that lies a wheelbase later.</summary>
    private static void Pair(List<StrikeCandidate> selected, KerbStrike[] strikes, Run run, KerbOptions options)
    {
        for (int front = 0; front < strikes.Length; front++)
        {
            if (selected[front].Corner.Axle() != Axle.Front)
            {
                continue;
            }

            Corner rearCorner = StrikeSelection.OtherAxle(selected[front].Corner);
            for (int rear = 0; rear < strikes.Length; rear++)
            {
                if (selected[rear].Corner == rearCorner && strikes[rear].PairedWith == 0 && StrikeSelection.IsPair(selected[front], selected[rear], run, options))
                {
                    strikes[front] = strikes[front] with { PairedWith = rear + 1 };
                    strikes[rear] = strikes[rear] with { PairedWith = front + 1 };
                    break;
                }
            }
        }
    }
}
