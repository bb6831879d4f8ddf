namespace Telemetry;

/// <summary>One thing that is wrong with what the user gave: where it stands, what was found, what to do.</summary>
/// <param name="Where">The file and the place in it as a person would point at it:
/// "run7.csv, row 4102, column 'Pushrod FL'" or "car.toml, line 14, geometry.wheelbase". Rows and lines from 1.</param>
/// <param name="Found">What was found there and, where it helps, what is allowed.</param>
/// <param name="Remedy">What to do about it, as an instruction.</param>
public sealed record InputFault(string Where, string Found, string Remedy)
{
    /// <summary>The fault as one line of text: place, finding, remedy.</summary>
    public override string ToString() => $"{Where}: {Found} {Remedy}";
}

/// <summary>
/// The input cannot be used. Thrown only by the stages that read files (Logs, Car, Ledger) and by those that join a log to a car (Runs);
/// carries every fault that was found, not just the first.
/// </summary>
/// <remarks>The command shows the faults and ends with exit code 3; no stack trace reaches the user.</remarks>
public sealed class InputError : Exception
{
    /// <summary>An error with one fault.</summary>
    /// <param name="where">File and place in it.</param>
    /// <param name="found">What was found there.</param>
    /// <param name="remedy">What to do.</param>
    public InputError(string where, string found, string remedy)
        : this([new InputFault(where, found, remedy)])
    {
    }

    /// <summary>An error with all faults of a file together.</summary>
    /// <param name="faults">At least one fault, in the order of the file.</param>
    /// <exception cref="ArgumentException">The list is empty.</exception>
    public InputError(IReadOnlyList<InputFault> faults)
        : base(Text(faults))
    {
        Faults = [.. faults];
    }

    /// <summary>The faults, in the order of the file; never empty.</summary>
    public IReadOnlyList<InputFault> Faults { get; }

    private static string Text(IReadOnlyList<InputFault> faults)
    {
        ArgumentNullException.ThrowIfNull(faults);
        if (faults.Count == 0)
        {
            throw new ArgumentException("An input error needs at least one fault.", nameof(faults));
        }

        return string.Join(Environment.NewLine, faults);
    }
}
