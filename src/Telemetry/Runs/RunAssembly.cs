using System.Collections.Immutable;
using System.Globalization;
using System.Runtime.InteropServices;
using Telemetry.Car;
using Telemetry.Logs;

namespace Telemetry.Runs;

/// <summary>Joins a log to a car: roles, SI, signs, a common clock, laps.</summary>
public static class RunAssembly
{
    private static readonly int RoleCount = Enum.GetValues<ChannelRole>().Length;

    /// <summary>Makes the run that a log and a car file describe together.</summary>
    /// <param name="log">The log as read.</param>
    /// <param name="car">The car.</param>
    /// <exception cref="InputError">A pushrod load that the car file names is not in the log, a unit does not fit its role,
    /// or the log is too short to have a clock. All faults together.</exception>
    public static Run From(RunLog log, CarDefinition car)
    {
        ArgumentNullException.ThrowIfNull(log);
        ArgumentNullException.ThrowIfNull(car);
        List<InputFault> faults = [];
        List<LogFinding> findings = [.. log.Findings];
        ImmutableArray<Channel> channels = MappedChannels(log, car, faults, findings);
        Channel? fastest = null;
        foreach (Channel channel in channels)
        {
            if (IsPushrodLoad(channel.Role) && (fastest is null || channel.Time.StepS < fastest.Time.StepS))
            {
                fastest = channel;
            }
        }

        if (faults.Count == 0 && fastest is not null && fastest.Time.Count < 2)
        {
            faults.Add(new InputFault(
                log.Source,
                $"the load-cell channel '{fastest.SourceName}' has {CountText.Of(fastest.Time.Count, "sample")}.",
                "Check that the run was offloaded whole; a run needs at least two samples."));
        }

        if (faults.Count > 0 || fastest is null)
        {
            throw new InputError(faults);
        }

        TimeBase clock = ClockGrid.EvenGridOf(fastest.Time);
        var onClock = new SampleSource?[RoleCount];
        channels = PlaceAll(channels, clock, onClock, findings);
        DeriveSpeed(onClock, clock, ref channels);
        LapTable laps = LapFinder.Find(
            clock,
            onClock[(int)ChannelRole.LapNumber] ?? SampleSource.None,
            onClock[(int)ChannelRole.LapDistance] ?? SampleSource.None,
            onClock[(int)ChannelRole.Speed] ?? SampleSource.None,
            out SampleSource lapDistance);
        return new Run
        {
            Name = log.Name,
            Car = car,
            Clock = clock,
            Channels = channels,
            ClockSamples = ImmutableCollectionsMarshal.AsImmutableArray(onClock),
            Laps = laps,
            LapDistanceM = lapDistance,
            LogFindings = [.. findings],
            StartedAtUtc = log.StartedAtUtc,
        };
    }

    /// <summary>How to read a log for a car: what its file says of logs, the columns that it names and nothing else.</summary>
    public static LogOptions ReadingFor(CarDefinition car)
    {
        ArgumentNullException.ThrowIfNull(car);
        return car.Log with
        {
            OnlyColumns = [.. car.Channels.Select(mapping => mapping.Name).Distinct(StringComparer.Ordinal)],
        };
    }

    private static bool IsPushrodLoad(ChannelRole role) => role <= ChannelRole.PushrodLoadRR;

    private static ImmutableArray<Channel> MappedChannels(RunLog log, CarDefinition car, List<InputFault> faults, List<LogFinding> findings)
    {
        foreach (Corner corner in Corners.All)
        {
            ChannelRole role = ChannelRoles.PushrodLoad(corner);
            if (car.Mapping(role) is null)
            {
                faults.Add(new InputFault(
                    car.Source.Length == 0 ? car.Name : car.Source,
                    $"channels names no pushrod load for {corner.Code()}.",
                    "Add the channel's name under [channels]; all four load cells are needed."));
            }
        }

        var converted = new Channel?[car.Channels.Length];
        ImmutableArray<ChannelMapping> mappings = [.. car.Channels.OrderBy(mapping => mapping.Role)];
        var missing = new (InputFault? Fault, LogFinding? Finding)[mappings.Length];
        Workers.Run(mappings.Length, i => (converted[i], missing[i]) = Convert(log, mappings[i]));
        foreach ((InputFault? fault, LogFinding? finding) in missing)
        {
            if (fault is not null)
            {
                faults.Add(fault);
            }

            if (finding is not null)
            {
                findings.Add(finding);
            }
        }

        return [.. converted.OfType<Channel>()];
    }

    private static (Channel? Channel, (InputFault? Fault, LogFinding? Finding) Trouble) Convert(RunLog log, ChannelMapping mapping)
    {
        LoggedChannel? logged = log.Find(mapping.Name);
        if (logged is null)
        {
            string names = string.Join(", ", log.Channels.Take(12).Select(channel => $"'{channel.Name}'")) + (log.Channels.Length > 12 ? ", ..." : "");
            return IsPushrodLoad(mapping.Role)
                ? (null, (new InputFault(
                    log.Source,
                    $"there is no column '{mapping.Name}', which the car file names as {RoleText(mapping.Role)}. The log has {names}.",
                    "Correct the name under [channels] of the car file, or check that the log belongs to this car."), null))
                : (null, (null, new LogFinding(
                    LogFindingKind.Note,
                    $"{log.Source}, column '{mapping.Name}'",
                    $"The car file names '{mapping.Name}' as {RoleText(mapping.Role)}, but the log has no such column.",
                    1,
                    double.NaN)));
        }

        string unit = mapping.Unit ?? logged.Unit;
        if (ChannelUnits.Read(mapping.Role, unit, out UnitConversion conversion) is var (found, remedy))
        {
            return (null, (new InputFault($"{log.Source}, column '{mapping.Name}'", found, remedy), null));
        }

        if (mapping.Unit is not null && ChannelUnits.Contradiction(mapping.Role, mapping.Unit, logged.Unit) is var (contradiction, settle))
        {
            return (null, (new InputFault($"{log.Source}, column '{mapping.Name}'", contradiction, settle), null));
        }

        List<ProcessingStep> steps = [];
        if (mapping.LoggerCutOffHz is double cutOff)
        {
            steps.Add(new LowPassedInLogger(cutOff));
        }

        SampleSource samples = logged.Samples;
        if (conversion.Scale != 1 || conversion.Offset != 0 || mapping.Sign != 1)
        {
            samples = samples.Scaled(conversion.Scale * mapping.Sign, conversion.Offset * mapping.Sign);
            if (conversion.Scale != 1 || conversion.Offset != 0)
            {
                steps.Add(new UnitConverted(unit, conversion.Scale, conversion.Offset));
            }

            if (mapping.Sign != 1)
            {
                steps.Add(new SignReversed());
            }
        }

        return (new Channel(mapping.Role, mapping.Name, logged.Time, samples, [.. steps]), (null, null));
    }

    private static string RoleText(ChannelRole role) => role switch
    {
        <= ChannelRole.PushrodLoadRR => $"the pushrod load {((Corner)(int)role).Code()}",
        <= ChannelRole.DamperTravelRR => $"the damper travel {((Corner)(role - ChannelRole.DamperTravelFL)).Code()}",
        <= ChannelRole.CellTemperatureRR => $"the load-cell temperature {((Corner)(role - ChannelRole.CellTemperatureFL)).Code()}",
        <= ChannelRole.WheelSpeedRR => $"the wheel speed {((Corner)(role - ChannelRole.WheelSpeedFL)).Code()}",
        _ => string.Concat(role.ToString().Select((letter, i) => i > 0 && char.IsUpper(letter) ? " " + char.ToLower(letter, CultureInfo.InvariantCulture) : char.ToLower(letter, CultureInfo.InvariantCulture).ToString())),
    };

    private static ImmutableArray<Channel> PlaceAll(ImmutableArray<Channel> channels, TimeBase clock, SampleSource?[] onClock, List<LogFinding> findings)
    {
        var placed = new Channel[channels.Length];
        Workers.Run(channels.Length, i =>
        {
            Channel channel = channels[i];
            onClock[(int)channel.Role] = ClockGrid.Place(channel.Time, channel.Samples, clock, BetweenSamplesOf(channel.Role), out bool changed);
            placed[i] = changed
                ? channel with { Steps = channel.Steps.Add(new Resampled(channel.Time.RateHz, clock.RateHz)) }
                : channel;
        });
        foreach (Channel channel in placed)
        {
            if (IsPushrodLoad(channel.Role) && channel.Steps.OfType<Resampled>().Any())
            {
                findings.Add(new LogFinding(
                    LogFindingKind.UnevenTime,
                    $"column '{channel.SourceName}'",
                    "The load cell's time stamps are not on one even grid with the others; it was put on the clock by straight lines between samples, which shaves short peaks.",
                    1,
                    channel.Time.StartS));
            }
        }

        return ImmutableCollectionsMarshal.AsImmutableArray(placed);
    }

    private static BetweenSamples BetweenSamplesOf(ChannelRole role) => role switch
    {
        ChannelRole.LapNumber => BetweenSamples.Hold,
        ChannelRole.LapDistance => BetweenSamples.LineUnlessReset,
        ChannelRole.Course or ChannelRole.WindDirection => BetweenSamples.Angle,
        _ => BetweenSamples.Line,
    };

    /// <summary>Without a speed channel the mean of the wheel speeds that are there stands for it, undriven front wheels first.</summary>
    private static void DeriveSpeed(SampleSource?[] onClock, TimeBase clock, ref ImmutableArray<Channel> channels)
    {
        if (onClock[(int)ChannelRole.Speed] is not null)
        {
            return;
        }

        ChannelRole[] front = [.. new[] { ChannelRole.WheelSpeedFL, ChannelRole.WheelSpeedFR }.Where(role => onClock[(int)role] is not null)];
        ChannelRole[] rear = [.. new[] { ChannelRole.WheelSpeedRL, ChannelRole.WheelSpeedRR }.Where(role => onClock[(int)role] is not null)];
        ChannelRole[] used = front.Length > 0 ? front : rear;
        if (used.Length == 0)
        {
            return;
        }

        double[] mean = new double[clock.Count];
        double[] room = SampleSource.RoomForBlock();
        foreach (ChannelRole role in used)
        {
            foreach ((int start, int count) in SampleSource.Blocks(0, mean.Length))
            {
                ReadOnlySpan<double> wheel = onClock[(int)role]!.Read(start, count, room);
                for (int i = 0; i < wheel.Length; i++)
                {
                    mean[start + i] += wheel[i] / used.Length;
                }
            }
        }

        SampleSource samples = SampleSource.Of(ImmutableCollectionsMarshal.AsImmutableArray(mean));
        onClock[(int)ChannelRole.Speed] = samples;
        string from = front.Length > 0 ? "mean of the front wheel speeds" : "mean of the rear wheel speeds";
        channels = channels.Add(new Channel(ChannelRole.Speed, from, clock, samples, [new Derived(from)]));
    }
}
