using System.Collections.Immutable;
using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.Health;
using Telemetry.Review;
using Telemetry.Runs;
using Telemetry.Zero;
using MeasuredHeights = Telemetry.Platform.RideHeights;

namespace Telemetry.Comparison;

/// <summary>Takes from a review what a comparison needs.</summary>
public static class EvidenceOfRun
{
    /// <summary>Words in the kind of a finding that touch the zero or the reading of a load cell.</summary>
    private static readonly string[] ZeroKinds = ["zero", "calibration"];

    /// <summary>The evidence of a run.</summary>
    /// <param name="review">The review; its aero estimate must be made at the speed asked for, so that the budget belongs to it.</param>
    /// <param name="options">Speed and gates.</param>
    public static RunEvidence From(RunReview review, EvidenceOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(review);
        options ??= EvidenceOptions.Default;
        Run run = review.Run;
        AeroResult aero = review.Aero;
        CarStatement car = CarStatement.Of(run.Car);
        double speed = options.AtSpeedMps ?? aero.ReferenceSpeedMps;
        WindowReader reader = new(review, options);
        ImmutableArray<PassEvidence> passes = aero.AtReference is null || !double.IsFinite(speed) ? [] : reader.Passes(speed);
        return new RunEvidence
        {
            Name = run.Name,
            MiddleUtc = run.StartedAtUtc is DateTimeOffset start && run.Count > 0 ? start.AddSeconds((run.Clock.StartS + run.Clock.LastS) / 2) : null,
            Laps = run.Laps.Laps.Length,
            Basis = car.Basis,
            Setup = car.Setup,
            Verdict = review.Health.Verdict,
            Findings = review.Health.Findings.Length,
            ZeroDoubts = [.. review.Health.Findings.Where(IsOfZero).Select(finding => $"{finding.Channel}: {finding.Message}")],
            WithheldBecause = aero.WithheldBecause,
            ReferenceSpeedMps = aero.AtReference is null ? double.NaN : speed,
            Headline = aero.AtReference,
            Air = aero.Air,
            MeasuresAirSpeed = run.Has(ChannelRole.AirSpeed),
            HeadingIsTrue = aero.Wind.HeadingIsTrue,
            Passes = passes,
            Budget = [.. aero.Budget.Where(part => part.IsSystematic).Select(part => new EvidenceLine(part.Name, part.FrontLoadN, part.RearLoadN, part.TotalLoadN))],
            MassKg = reader.MeanMassKg,
            RideHeightSource = review.Platform.RideHeightSource,
            MeasuresRideHeight = run.Has(ChannelRole.RideHeightFront) && run.Has(ChannelRole.RideHeightRear),
            NoDragBecause = NoDragBecause(run, passes),
            Sensitivity = HeightSensitivity.Of(review.HeightMap),
        };
    }

    private static bool IsOfZero(HealthFinding finding) =>
        finding.Severity != HealthVerdict.Good && ZeroKinds.Any(word => finding.Kind.Contains(word, StringComparison.Ordinal));

    private static string? NoDragBecause(Run run, ImmutableArray<PassEvidence> passes) =>
        !run.Has(ChannelRole.Throttle) ? "The log has no throttle, so full throttle cannot be told from lifting."
        : !run.Has(ChannelRole.AccelerationX) ? "The log has no longitudinal acceleration."
        : passes.Count(pass => pass.ThrustArea.IsKnown) < 3 ? "Fewer than three passes hold full throttle near the speed of the comparison."
        : null;

    /// <summary>Reads means over the windows of the aero stage.</summary>
    private sealed class WindowReader
    {
        private readonly RunReview review;
        private readonly EvidenceOptions options;
        private readonly MeasuredHeights heights;
        private readonly double restX;
        private readonly double fullThrottle;

        public WindowReader(RunReview review, EvidenceOptions options)
        {
            this.review = review;
            this.options = options;
            heights = MeasuredHeights.From(review.Wheels);
            restX = RestOf(ChannelRole.AccelerationX);
            fullThrottle = options.FullThrottleShare * LargestOf(review.Run.OnClock(ChannelRole.Throttle));
            QuasiSteadyWindow[] used = [.. review.Aero.Windows.Where(window => window.Pass > 0)];
            MeanMassKg = used.Length == 0 ? double.NaN : used.Average(MassKg);
        }

        public double MeanMassKg { get; }

        public ImmutableArray<PassEvidence> Passes(double speedMps)
        {
            ILookup<int, QuasiSteadyWindow> windows = review.Aero.Windows
                .Where(window => window.Pass > 0 && window.RejectedBecause is null && Math.Abs((window.SpeedMps / speedMps) - 1) <= options.SpeedShare)
                .ToLookup(window => window.Pass);
            ImmutableArray<PassEvidence>.Builder passes = ImmutableArray.CreateBuilder<PassEvidence>();
            foreach (StraightPass pass in review.Aero.Passes)
            {
                Sums front = new(), rear = new(), frontHeight = new(), rearHeight = new(), thrust = new();
                foreach (QuasiSteadyWindow window in windows[pass.Number])
                {
                    double squared = FlowSquared(window);
                    double pressure = review.Aero.Air.DensityKgM3 * squared / 2;
                    front.Add(window.FrontLoadN / pressure, squared);
                    rear.Add(window.RearLoadN / pressure, squared);
                    if (heights.AreKnown)
                    {
                        frontHeight.Add(Mean(heights.HeightM.Front, window), squared);
                        rearHeight.Add(Mean(heights.HeightM.Rear, window), squared);
                    }

                    if (Mean(review.Run.OnClock(ChannelRole.Throttle), window) >= fullThrottle)
                    {
                        thrust.Add(MassKg(window) * (Mean(review.Run.OnClock(ChannelRole.AccelerationX), window) - restX) / pressure, squared);
                    }
                }

                PassMean loads = front.Mean(options.FewestWindows);
                if (loads.IsKnown)
                {
                    passes.Add(new(
                        pass.Number, pass.Lap, pass.StartDistanceM, pass.HeadingRad,
                        loads, rear.Mean(options.FewestWindows), frontHeight.Mean(options.FewestWindows), rearHeight.Mean(options.FewestWindows), thrust.Mean(options.FewestWindows)));
                }
            }

            return passes.ToImmutable();
        }

        /// <summary>Square of the speed that makes the dynamic pressure: air speed where it is measured.</summary>
        private double FlowSquared(QuasiSteadyWindow window)
        {
            if (!review.Run.Has(ChannelRole.AirSpeed))
            {
                return window.SpeedMps * window.SpeedMps;
            }

            double air = Mean(review.Run.OnClock(ChannelRole.AirSpeed), window);
            return air * air;
        }

        private double MassKg(QuasiSteadyWindow window)
        {
            int middle = (int)Math.Round((window.TimeS - review.Run.Clock.StartS) / review.Run.Clock.StepS);
            return review.Run.Car.Masses.WithoutFuelKg.Value + FuelOnBoard.At(review.Run, Math.Clamp(middle, 0, review.Run.Count - 1));
        }

        private double Mean(SampleSource samples, QuasiSteadyWindow window)
        {
            double step = review.Run.Clock.StepS;
            int from = Math.Clamp((int)Math.Round((window.TimeS - (options.WindowS / 2) - review.Run.Clock.StartS) / step), 0, samples.Length);
            int to = Math.Clamp(from + (int)Math.Round(options.WindowS / step), 0, samples.Length);
            return samples.MeanOfFinite(from, to);
        }

        private double RestOf(ChannelRole role)
        {
            double sum = 0;
            int count = 0;
            if (review.Run.Has(role))
            {
                foreach (StandstillWindow still in review.Wheels.Pushrods.Windows.Where(window => !window.OnStands))
                {
                    double mean = review.Run.OnClock(role).MeanOfFinite(still.StartIndex, still.EndIndex);
                    if (double.IsFinite(mean))
                    {
                        sum += mean;
                        count++;
                    }
                }
            }

            return count == 0 ? 0 : sum / count;
        }

        private static double LargestOf(SampleSource samples)
        {
            double largest = double.NaN;
            foreach (double value in samples)
            {
                largest = value > largest || double.IsNaN(largest) ? value : largest;
            }

            return largest;
        }
    }

    /// <summary>
    /// Sums over the windows of a pass, about the first of them so that no digits are lost. Weights go with the square of the dynamic pressure: noise of a load is the same at all speeds, so that
    /// of a lift area falls with the pressure.
    /// </summary>
    private sealed class Sums
    {
        private readonly List<(double X, double Y)> points = [];

        public void Add(double value, double squared)
        {
            if (double.IsFinite(value + squared))
            {
                points.Add((squared, value));
            }
        }

        public PassMean Mean(int fewest)
        {
            if (points.Count < fewest)
            {
                return PassMean.None;
            }

            double total = points.Sum(p => p.X * p.X);
            double Weight(double x) => x * x * points.Count / total;
            double mx = points.Sum(p => Weight(p.X) * p.X) / points.Count;
            double my = points.Sum(p => Weight(p.X) * p.Y) / points.Count;
            return new(
                my,
                mx,
                points.Sum(p => Weight(p.X) * (p.X - mx) * (p.X - mx)),
                points.Sum(p => Weight(p.X) * (p.X - mx) * (p.Y - my)),
                points.Sum(p => Weight(p.X) * (p.Y - my) * (p.Y - my)),
                points.Count);
        }
    }
}
