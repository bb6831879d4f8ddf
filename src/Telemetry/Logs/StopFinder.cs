using System.Collections.Immutable;

namespace Telemetry.Logs;

/// <summary>A stretch in which the car stands.</summary>
/// <param name="FromS">Its first sample, s.</param>
/// <param name="ToS">Its last, s.</param>
internal readonly record struct Stop(double FromS, double ToS)
{
    /// <summary>Where to cut: both sides keep half.</summary>
    public double MiddleS => (FromS + ToS) / 2;
}

/// <summary>Finds stops in speeds that come one after another, and the top speed between them; holds nothing else of the log.</summary>
internal sealed class StopFinder(CutOptions options)
{
    private readonly List<Stop> _stops = [];
    private readonly List<double> _tops = [];
    private double _standsSinceS = double.NaN;
    private double _lastS = double.NaN;
    private double _top;

    /// <summary>Takes the next sample.</summary>
    /// <param name="timeS">Its time, s.</param>
    /// <param name="speedMps">Its speed, m/s; NaN where the sensor says nothing, which ends a stop.</param>
    public void Add(double timeS, double speedMps)
    {
        bool stands = Math.Abs(speedMps) < options.StandstillSpeedMps;
        if (!stands)
        {
            EndStop();
            _top = Math.Max(_top, Math.Abs(speedMps) is var speed && double.IsFinite(speed) ? speed : 0);
        }
        else if (double.IsNaN(_standsSinceS))
        {
            _standsSinceS = timeS;
        }

        _lastS = timeS;
    }

    /// <summary>The stops to cut at, rising: the longest between each two driven stretches.</summary>
    /// <param name="topsMps">Top speed of each run that the cuts make.</param>
    public ImmutableArray<Stop> Cuts(out ImmutableArray<double> topsMps)
    {
        EndStop();
        ImmutableArray<Stop>.Builder cuts = ImmutableArray.CreateBuilder<Stop>();
        ImmutableArray<double>.Builder tops = ImmutableArray.CreateBuilder<double>();
        Stop? longest = null;
        double top = 0;
        for (int i = 0; i <= _stops.Count; i++)
        {
            double now = i < _tops.Count ? _tops[i] : _top;
            if (now >= options.DrivenSpeedMps)
            {
                if (longest is { } cut)
                {
                    cuts.Add(cut);
                    tops.Add(top);
                    top = 0;
                }

                longest = null;
            }

            top = Math.Max(top, now);
            if (i < _stops.Count && top >= options.DrivenSpeedMps && (longest is not { } known || Length(_stops[i]) > Length(known)))
            {
                longest = _stops[i];
            }
        }

        tops.Add(top);
        topsMps = tops.ToImmutable();
        return cuts.ToImmutable();
    }

    private static double Length(Stop stop) => stop.ToS - stop.FromS;

    private void EndStop()
    {
        if (_lastS - _standsSinceS >= options.ShortestStopS)
        {
            _stops.Add(new(_standsSinceS, _lastS));
            _tops.Add(_top);
            _top = 0;
        }

        _standsSinceS = double.NaN;
    }
}
