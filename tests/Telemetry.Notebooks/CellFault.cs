namespace Telemetry.Notebooks;

/// <summary>What went wrong in a notebook, and where.</summary>
/// <param name="Notebook">Path of the notebook as it was given.</param>
/// <param name="Cell">Number of the code cell, from 1, as the brackets beside it show after a run; 0 when the file itself is at fault.</param>
/// <param name="Line">Line in the cell, from 1; 0 when it is not known.</param>
/// <param name="Message">What happened.</param>
internal sealed record CellFault(string Notebook, int Cell, int Line, string Message)
{
    /// <summary>The fault on one line: "aero.ipynb, cell 3, line 9: message".</summary>
    public override string ToString()
    {
        string where = Cell == 0 ? "" : Line == 0 ? $", cell {Cell}" : $", cell {Cell}, line {Line}";
        return $"{Notebook}{where}: {Message.ReplaceLineEndings(" ")}";
    }
}

/// <summary>Ends the run of a notebook.</summary>
internal sealed class NotebookException(CellFault fault) : Exception(fault.ToString())
{
    public CellFault Fault { get; } = fault;
}
