using System.Text.Json.Nodes;

namespace Telemetry.Notebooks;

/// <summary>What every cell can call without naming a type. Public because the cells are compiled against it.</summary>
public sealed class CellGlobals
{
    private readonly List<JsonObject> outputs = [];

    /// <summary>Where the text goes that the running cell prints.</summary>
    internal StringWriter Console { get; } = new(System.Globalization.CultureInfo.InvariantCulture) { NewLine = "\n" };

    /// <summary>Shows a value below the cell: a picture as PNG, a list one item a line, anything else as text.</summary>
    /// <remarks>The name is the interactive kernel's own, so that a notebook runs in both.</remarks>
#pragma warning disable IDE1006, CA1707
    public void display(object? value)
#pragma warning restore IDE1006, CA1707
    {
        KeepPrinted();
        outputs.Add(CellOutput.Shown(value));
    }

    /// <summary>Hands over what the cell showed and printed, in order, and starts afresh.</summary>
    internal List<JsonObject> TakeOutputs()
    {
        KeepPrinted();
        List<JsonObject> taken = [.. outputs];
        outputs.Clear();
        return taken;
    }

    private void KeepPrinted()
    {
        if (Console.GetStringBuilder().Length > 0)
        {
            outputs.Add(CellOutput.Printed(Console.ToString()));
            Console.GetStringBuilder().Clear();
        }
    }
}
