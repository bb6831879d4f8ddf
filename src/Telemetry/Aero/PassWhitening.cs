namespace Telemetry.Aero;

/// <summary>Makes rows of a pass independent of each other where a head wind of its own moves them together.</summary>
/// <param name="windows">Windows; each has a front and a rear row.</param>
/// <param name="passes">Number of passes.</param>
/// <param name="perWind">Change of each row with head wind; read anew each time.</param>
internal sealed class PassWhitening(ModelWindow[] windows, int passes, double[] perWind)
{
    private readonly double[] shrink = new double[passes];
    private bool isNeeded;

    /// <summary>Takes the scatter of the head wind from pass to pass, m/s.</summary>
    public void Set(double gustMps)
    {
        isNeeded = gustMps > 0;
        double[] length = new double[passes];
        for (int i = 0; i < windows.Length; i++)
        {
            length[windows[i].Pass] += (perWind[2 * i] * perWind[2 * i]) + (perWind[(2 * i) + 1] * perWind[(2 * i) + 1]);
        }

        for (int g = 0; g < passes; g++)
        {
            // (I + tau^2 z z')^(-1/2) = I - shrink * z z'.
            shrink[g] = length[g] > 0 ? (1 - (1 / Math.Sqrt(1 + (gustMps * gustMps * length[g])))) / length[g] : 0;
        }
    }

    /// <summary>Whitens a matrix in place.</summary>
    public void Apply(double[] matrix, int columns)
    {
        if (!isNeeded)
        {
            return;
        }

        double[] along = new double[passes * columns];
        for (int r = 0; r < 2 * windows.Length; r++)
        {
            int pass = windows[r / 2].Pass;
            for (int j = 0; j < columns; j++)
            {
                along[(pass * columns) + j] += perWind[r] * matrix[(r * columns) + j];
            }
        }

        for (int r = 0; r < 2 * windows.Length; r++)
        {
            int pass = windows[r / 2].Pass;
            for (int j = 0; j < columns; j++)
            {
                matrix[(r * columns) + j] -= shrink[pass] * perWind[r] * along[(pass * columns) + j];
            }
        }
    }
}
