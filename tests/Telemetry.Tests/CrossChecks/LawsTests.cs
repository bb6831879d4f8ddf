using Telemetry.Car;
using Telemetry.CrossChecks;
using Telemetry.Health;
using Telemetry.Logs;

namespace Telemetry.Tests.CrossChecks;

/// <summary>What must hold whatever the log: mirror, missing channels, gaps, a car file that is wrong.</summary>
public class LawsTests
{
    [Fact]
    public void A_mirrored_log_gives_the_mirrored_suspect()
    {
        (RunLog log, CarDefinition car) = SimulatedLogs.Keep(2, 200, 3);
        RunLog faulty = Fault("load cell, gain 20 %", "FL 1.2").Apply(log, car);
        CrossCheckResult here = SimulatedLogs.Check(faulty, car);
        CrossCheckResult there = SimulatedLogs.Check(Mirror(faulty, car), car);
        Assert.Equal([ChannelRole.PushrodLoadFL], here.Suspects[0].Roles);
        Assert.Equal([ChannelRole.PushrodLoadFR], there.Suspects[0].Roles);
        Assert.Equal(here.Suspects[0].LikelihoodGain, there.Suspects[0].LikelihoodGain, 1e-4 * here.Suspects[0].LikelihoodGain);
        Assert.Equal(here.ChiSquare, there.ChiSquare, 1e-6 * here.ChiSquare);
    }

    [Fact]
    public void The_size_of_a_gain_is_found_within_its_interval()
    {
        (RunLog log, CarDefinition car) = SimulatedLogs.Keep(2, 200, 3);
        foreach ((string label, double truth) in new[] { ("FL 1.2", 1.2), ("RR 0.8", 0.8), ("FR 1.2", 1.2) })
        {
            CrossCheckResult result = SimulatedLogs.Check(Fault("load cell, gain 20 %", label).Apply(log, car), car);
            FaultHypothesis right = result.Hypotheses.Single(one => one.Kind == FaultKind.Gain && one.Roles is [ChannelRole only] && only == ChannelRoles.PushrodLoad(Corners.FromCode(label[..2])!.Value));
            Assert.InRange(truth, right.Size - (2 * right.SizeUncertainty), right.Size + (2 * right.SizeUncertainty));
            Assert.InRange(right.SizeUncertainty, 0.001, 0.06);
        }
    }

    [Fact]
    public void Without_dampers_exchanged_cells_are_still_found_and_what_is_missing_is_said()
    {
        (RunLog log, CarDefinition car) = SimulatedLogs.Keep(2, 200, 3);
        CarDefinition bare = Without(car, role => role is >= ChannelRole.DamperTravelFL and <= ChannelRole.DamperTravelRR) with
        {
            Suspension = new(
                car.Suspension.Front with { InstallationRatio = RatioCurve.Constant(0.921) },
                car.Suspension.Rear with { InstallationRatio = RatioCurve.Constant(0.84) }),
        };
        CrossCheckResult clean = SimulatedLogs.Check(log, bare);
        Assert.Empty(clean.Findings);
        Assert.Contains(clean.LeftOut, sentence => sentence.StartsWith("The front dampers are not both logged", StringComparison.Ordinal));
        CrossCheckResult result = SimulatedLogs.Check(Fault("load cells exchanged, left and right", "RL RR").Apply(log, car), bare);
        Assert.Equal([ChannelRole.PushrodLoadRL, ChannelRole.PushrodLoadRR], result.Suspects[0].Roles);
    }

    [Fact]
    public void Without_accelerometers_yaw_rate_and_change_of_speed_stand_in()
    {
        (RunLog log, CarDefinition car) = SimulatedLogs.Keep(2, 200, 3);
        CarDefinition bare = Without(car, role => role is ChannelRole.AccelerationX or ChannelRole.AccelerationY or ChannelRole.AccelerationZ);
        Assert.Empty(SimulatedLogs.Check(log, bare).Findings);
        CrossCheckResult result = SimulatedLogs.Check(Fault("load cell, sign", "RL").Apply(log, car), bare);
        Assert.Equal([ChannelRole.PushrodLoadRL], result.Suspects[0].Roles);
    }

    [Fact]
    public void A_sensor_that_stops_following_is_named()
    {
        (RunLog log, CarDefinition car) = SimulatedLogs.Keep(2, 200, 3);
        string name = car.Mapping(ChannelRole.DamperTravelRL)!.Name;
        RunLog stuck = log with { Channels = [.. log.Channels.Select(channel => channel.Name == name ? channel with { Samples = [.. channel.Samples.Select(_ => channel.Samples[0])] } : channel)] };
        HealthFinding finding = Assert.Single(SimulatedLogs.Check(stuck, car).Findings);
        Assert.Equal(("does_not_follow", ChannelRole.DamperTravelRL, HealthVerdict.Unusable), (finding.Kind, finding.Role, finding.Severity));
    }

    [Fact]
    public void Gaps_are_left_out_and_do_not_accuse_anyone()
    {
        (RunLog log, CarDefinition car) = SimulatedLogs.Keep(2, 200, 3);
        string name = car.Mapping(ChannelRole.PushrodLoadFR)!.Name;
        RunLog gappy = log with { Channels = [.. log.Channels.Select(channel => channel.Name == name ? channel with { Samples = [.. channel.Samples.Select((value, i) => i % 2000 < 500 ? double.NaN : value)] } : channel)] };
        Assert.Empty(SimulatedLogs.Check(gappy, car).Findings);
    }

    [Theory]
    [InlineData(0.9)]
    [InlineData(1.1)]
    public void A_car_file_whose_rates_are_ten_per_cent_off_accuses_no_sensor(double factor)
    {
        (RunLog log, CarDefinition car) = SimulatedLogs.Keep(2, 200, 3);
        foreach (Func<AxleSuspension, AxleSuspension> change in new Func<AxleSuspension, AxleSuspension>[]
        {
            axle => axle with { SpringRateNpm = factor * axle.SpringRateNpm },
            axle => axle with { AntiRollBarRateNpm = factor * axle.AntiRollBarRateNpm },
            axle => axle with { SpringRateNpm = factor * axle.SpringRateNpm, AntiRollBarRateNpm = factor * axle.AntiRollBarRateNpm },
        })
        {
            Assert.Empty(SimulatedLogs.Check(log, car with { Suspension = new(change(car.Suspension.Front), car.Suspension.Rear) }).Findings);
            Assert.Empty(SimulatedLogs.Check(log, car with { Suspension = new(change(car.Suspension.Front), change(car.Suspension.Rear)) }).Findings);
        }
    }

    [Fact]
    public void A_bar_that_is_not_the_car_files_is_told_as_the_car_files_business()
    {
        (RunLog log, CarDefinition car) = SimulatedLogs.Keep(2, 200, 3);
        CarDefinition other = car with { Suspension = new(car.Suspension.Front with { AntiRollBarRateNpm = 2 * car.Suspension.Front.AntiRollBarRateNpm }, car.Suspension.Rear) };
        HealthFinding finding = Assert.Single(SimulatedLogs.Check(log, other).Findings);
        Assert.Equal(("wheel_rate_disagrees", HealthVerdict.Doubtful), (finding.Kind, finding.Severity));
    }

    private static SensorInjection Fault(string name, string label) => SensorInjection.All().Single(one => one.Name == name && one.Label == label);

    private static CarDefinition Without(CarDefinition car, Func<ChannelRole, bool> isGone) => car with { Channels = [.. car.Channels.Where(channel => !isGone(channel.Role))] };

    /// <summary>The log of the same run driven on the mirrored circuit.</summary>
    private static RunLog Mirror(RunLog log, CarDefinition car)
    {
        Dictionary<string, string> names = [];

        // Load cells, dampers and the cells' temperatures, which the zeros follow.
        for (int s = 0; s < 12; s++)
        {
            names[car.Mapping(ChannelRole.PushrodLoadFL + s)!.Name] = car.Mapping(ChannelRole.PushrodLoadFL + (s ^ 1))!.Name;
        }

        string[] turned = [car.Mapping(ChannelRole.AccelerationY)!.Name, car.Mapping(ChannelRole.YawRate)!.Name];
        return log with
        {
            Channels = [.. log.Channels.Select(channel => channel with
            {
                Name = names.GetValueOrDefault(channel.Name, channel.Name),
                Samples = turned.Contains(channel.Name) ? [.. channel.Samples.Select(value => -value)] : channel.Samples,
            })],
        };
    }
}
