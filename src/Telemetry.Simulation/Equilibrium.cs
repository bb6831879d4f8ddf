namespace Telemetry.Simulation;

/// <summary>The state in which nothing moves, found by Newton's method on the equations of motion themselves.</summary>
internal static class Equilibrium
{
    private const int Degrees = Motion.Degrees;

    /// <summary>Moves the positions in <paramref name="state"/> to equilibrium under a steady push; speeds become 0.</summary>
    /// <exception cref="InputError">There is none near the start: the car of the scenario cannot stand or drive so.</exception>
    public static void Solve(VehicleDynamics dynamics, in Push push, Span<double> state)
    {
        Span<double> rates = stackalloc double[Motion.Size];
        Span<double> moved = stackalloc double[Motion.Size];
        Span<double> other = stackalloc double[Motion.Size];
        double[,] matrix = new double[Degrees, Degrees + 1];
        state.Slice(Degrees).Clear();
        for (int round = 0; round < 60; round++)
        {
            dynamics.Rates(push, state, rates);
            for (int column = 0; column < Degrees; column++)
            {
                const double nudge = 1e-7;
                state.CopyTo(moved);
                moved[column] += nudge;
                dynamics.Rates(push, moved, other);
                for (int row = 0; row < Degrees; row++)
                {
                    matrix[row, column] = (other[Degrees + row] - rates[Degrees + row]) / nudge;
                }
            }

            for (int row = 0; row < Degrees; row++)
            {
                matrix[row, Degrees] = -rates[Degrees + row];
            }

            Eliminate(matrix);
            double largest = 0;
            for (int k = 0; k < Degrees; k++)
            {
                state[k] += matrix[k, Degrees];
                largest = Math.Max(largest, Math.Abs(matrix[k, Degrees]));
            }

            if (largest < 1e-13)
            {
                dynamics.Rates(push, state, rates);
                return;
            }
        }

        throw new InputError("scenario, car", "The car finds no equilibrium.", "Check springs, tyres and aero map: the load may grow faster with falling ride height than the springs resist.");
    }

    // Gauss elimination with row exchange; the solution ends in the last column.
    private static void Eliminate(double[,] m)
    {
        for (int pivot = 0; pivot < Degrees; pivot++)
        {
            int best = pivot;
            for (int row = pivot + 1; row < Degrees; row++)
            {
                best = Math.Abs(m[row, pivot]) > Math.Abs(m[best, pivot]) ? row : best;
            }

            for (int column = 0; column <= Degrees; column++)
            {
                (m[pivot, column], m[best, column]) = (m[best, column], m[pivot, column]);
            }

            for (int row = 0; row < Degrees; row++)
            {
                if (row != pivot)
                {
                    double factor = m[row, pivot] / m[pivot, pivot];
                    for (int column = pivot; column <= Degrees; column++)
                    {
                        m[row, column] -= factor * m[pivot, column];
                    }
                }
            }
        }

        for (int row = 0; row < Degrees; row++)
        {
            m[row, Degrees] /= m[row, row];
        }
    }
}
