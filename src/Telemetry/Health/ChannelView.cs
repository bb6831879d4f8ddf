using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Health;

/// <summary>One channel as a detector sees it: its samples as logged, where the car runs and stands, and what they measure at a glance.</summary>
/// <remarks>Samples and spans are on the channel's own time base; a finding has them on the run's clock.</remarks>
internal sealed class ChannelView
{
    private readonly WholeSamples samples;
    private BandLevels? levels;
    private EqualRuns? equalRuns;

    /// <param name="run">The run.</param>
    /// <param name="channel">The channel.</param>
    /// <param name="samples">Its samples, which whoever asks for the view holds for as long as it is used.</param>
    /// <param name="stretches">Where the car runs and stands.</param>
    /// <param name="options">From what size on something is a finding.</param>
    public ChannelView(Run run, Channel channel, WholeSamples samples, RunStretches stretches, HealthOptions options)
    {
        this.samples = samples;
        Run = run;
        Channel = channel;
        Options = options;
        Family = ChannelFamilies.Of(channel.Role);
        Running = RunStretches.On(channel.Time, run.Clock, stretches.Running);
        Standing = RunStretches.On(channel.Time, run.Clock, stretches.Standing);
        MotionIsKnown = stretches.IsKnown;
        Mapping = run.Car.Mapping(channel.Role);
        StepS = double.IsNaN(channel.Time.StepS) ? run.Clock.StepS : channel.Time.StepS;
        StandingNoise = double.NaN;
        Blocks = BlockExtremes.None;
        if (Family is not ChannelFamily.Other)
        {
            Step = SampleScatter.StepOf(Samples);
            Scatter = Math.Max(Step / 2, SampleScatter.OfDifferences(Samples, Running));
            StandingNoise = SampleScatter.NoiseOf(Samples, Standing);
            Blocks = BlockExtremes.Of(Samples, Running, RateHz);
        }

        Lowest = Blocks.Lowest;
        Highest = Blocks.Highest;
    }

    public Run Run { get; }

    public Channel Channel { get; }

    public HealthOptions Options { get; }

    public ChannelFamily Family { get; }

    /// <summary>Where the car runs; the whole channel when that is not known.</summary>
    public ImmutableArray<SampleSpan> Running { get; }

    /// <summary>Where the car stands still.</summary>
    public ImmutableArray<SampleSpan> Standing { get; }

    /// <summary>False when the log has no speed.</summary>
    public bool MotionIsKnown { get; }

    /// <summary>What the car file says of the channel.</summary>
    public ChannelMapping? Mapping { get; }

    /// <summary>The samples as logged, SI.</summary>
    public ReadOnlySpan<double> Samples => samples.Span;

    /// <summary>Time between samples, s.</summary>
    public double StepS { get; }

    /// <summary>Rate, Hz.</summary>
    public double RateHz => 1 / StepS;

    /// <summary>Smallest step of the numbers, SI; 0 when they have none.</summary>
    public double Step { get; }

    /// <summary>Robust scatter of the differences from sample to sample while running, at least half a step, SI.</summary>
    public double Scatter { get; }

    /// <summary>Smallest and largest reading of each fifth of a second while running.</summary>
    public BlockExtremes Blocks { get; }

    /// <summary>Smallest reading while running, SI.</summary>
    public double Lowest { get; }

    /// <summary>Largest reading while running, SI.</summary>
    public double Highest { get; }

    /// <summary>White noise at standstill, SI; NaN without a standstill.</summary>
    public double StandingNoise { get; }

    /// <summary>Runs of one repeated number while running.</summary>
    public EqualRuns EqualRuns => equalRuns ??= Health.EqualRuns.Of(this);

    /// <summary>Spectrum while running; null when it runs for too short a time.</summary>
    public BandLevels? Levels => levels ??= BandLevels.Of(this);

    /// <summary>Standard deviation of the motion above a few hertz while running, noise included, SI; NaN when it runs for too short a time.</summary>
    public double DynamicMotion => Levels is BandLevels known ? Math.Sqrt(known.Variance(Options.DynamicFromHz, known.NyquistHz)) : double.NaN;

    /// <summary>Unit that a person reads, and what an SI value is divided by.</summary>
    public (string Unit, double Factor) Shown => Family switch
    {
        ChannelFamily.Load => ("N", 1),
        ChannelFamily.Travel or ChannelFamily.RideHeight => ("mm", 1e-3),
        ChannelFamily.Acceleration => ("m/s2", 1),
        ChannelFamily.Speed => ("km/h", 1 / 3.6),
        ChannelFamily.Temperature => ("K", 1),
        _ => ("", 1),
    };

    /// <summary>A value as a person reads it: at most four digits, with its unit.</summary>
    public string Show(double value) => FormattableString.Invariant($"{value / Shown.Factor:G4} {Shown.Unit}").TrimEnd();

    /// <summary>A finding on the whole channel.</summary>
    public HealthFinding Finding(string kind, HealthVerdict severity, string message, string remedy, string? consequence = null) =>
        Finding(kind, severity, [], message, remedy, consequence);

    /// <summary>A finding on stretches of the channel's own samples.</summary>
    public HealthFinding Finding(string kind, HealthVerdict severity, List<SampleSpan> spans, string message, string remedy, string? consequence = null)
    {
        ImmutableArray<SampleSpan> onClock = SpanList.OnClock(Channel.Time, Run.Clock, spans);
        bool isWhole = onClock.IsEmpty || onClock.Length > SpanList.Most;
        return new HealthFinding(
            Channel.SourceName,
            kind,
            severity,
            isWhole ? double.NaN : Run.Clock.At(onClock[0].First),
            isWhole ? double.NaN : Run.Clock.At(onClock[^1].End - 1),
            message,
            consequence ?? MissingChannels.AnswersOf(Channel.Role),
            remedy)
        {
            Role = Channel.Role,
            Spans = isWhole ? [] : onClock,
        };
    }
}
