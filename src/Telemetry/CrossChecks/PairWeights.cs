namespace Telemetry.CrossChecks;

/// <summary>Covariances of the responses of each pair of sensors (left and right of an axle), factored, so that rows can be weighted.</summary>
internal sealed class PairWeights
{
    private readonly List<(int Left, int Right, double LeftLeft, double RightLeft, double RightRight)> factors = [];

    /// <summary>Sum of the logarithms of the determinants.</summary>
    public double LogDeterminant { get; private set; }

    /// <summary>Weights from measured scatter and allowances.</summary>
    /// <param name="responses">With the variance of half sum and half difference of each pair.</param>
    /// <param name="allowance">One standard deviation of each response, sign of no matter.</param>
    /// <param name="widen">Factor on every standard deviation.</param>
    public static PairWeights Of(MotionResponses responses, double[] allowance, double widen)
    {
        const int Motions = MotionResponses.Motions;
        PairWeights weights = new();
        for (int pair = 0; pair < 4; pair++)
        {
            for (int m = 0; m < Motions; m++)
            {
                if (!double.IsFinite(responses.Value[2 * pair, m] + responses.Value[(2 * pair) + 1, m]))
                {
                    continue;
                }

                int left = (2 * pair * Motions) + m;
                int right = (((2 * pair) + 1) * Motions) + m;
                double sum = responses.SumVariance[pair, m];
                double difference = responses.DifferenceVariance[pair, m];
                double square = widen * widen;
                double ofLeft = square * (sum + difference + (allowance[left] * allowance[left]) + Tiny);
                double ofRight = square * (sum + difference + (allowance[right] * allowance[right]) + Tiny);
                double both = square * (sum - difference);
                double a = Math.Sqrt(ofLeft);
                double b = both / a;
                double c = Math.Sqrt(Math.Max(ofRight - (b * b), 1e-12 * ofRight));
                weights.factors.Add((left, right, a, b, c));
                weights.LogDeterminant += 2 * Math.Log(a * c);
            }
        }

        return weights;
    }

    // Keeps a response without any scatter (a constant channel) from an infinite weight; far below a newton and a micrometre squared.
    private const double Tiny = 1e-20;

    /// <summary>Calls back with the two weighted rows of each pair: place and weight of both responses, and the weighted measurement.</summary>
    public void EachRow(double[] measured, Action<int, double, int, double, double> row)
    {
        foreach ((int left, int right, double a, double b, double c) in factors)
        {
            row(left, 1 / a, right, 0, measured[left] / a);
            row(left, -b / (a * c), right, 1 / c, (measured[right] - (b * measured[left] / a)) / c);
        }
    }

    public double ChiSquare(double[] measured, double[] expected)
    {
        double sum = 0;
        foreach ((int left, int right, double a, double b, double c) in factors)
        {
            double first = (measured[left] - expected[left]) / a;
            double second = (measured[right] - expected[right] - (b * first)) / c;
            sum += (first * first) + (second * second);
        }

        return sum;
    }
}
