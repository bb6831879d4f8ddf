using System.Globalization;

namespace Telemetry.Logs;

/// <summary>Collects what is wrong with the rows of a CSV file, in the order of the file.</summary>
internal static class CsvFaults
{
    /// <summary>Faults told at once: more are counted.</summary>
    private const int MostFaults = CsvPartParser.MostFaults;

    /// <summary>Checks the parsed rows; a last row that was cut off is no fault.</summary>
    /// <returns>The finding about a row that was cut off, or null.</returns>
    /// <exception cref="InputError">Rows cannot be trusted; all faults together.</exception>
    public static LogFinding? Check(CsvData data)
    {
        int lastPart = data.Parsed.Length - 1;
        CsvPartParser last = data.Parsed[^1];
        LogFinding? cutOff = null;
        bool isLastUnclosed = last.UnclosedRecord >= 0;
        if (!data.HasFinalBreak && last.RowFaults.Count > 0 && last.RowFaults[^1] is { Slot: < 0 } fault
            && fault.Record == last.Records - 1 && fault.FieldCount < data.Plan.Width && (!isLastUnclosed || last.UnclosedOnOneLine)
            && !data.EndsInComment())
        {
            last.RowFaults.RemoveAt(last.RowFaults.Count - 1);
            isLastUnclosed = false;
            cutOff = new(
                LogFindingKind.CutOffRow,
                data.Place(data.LineOf(lastPart, fault.Record)),
                string.Create(CultureInfo.InvariantCulture, $"The last row stops after {fault.FieldCount} of {data.Plan.Width} fields, without a line break; it is left out."),
                1,
                double.NaN);
        }

        List<InputFault> faults = [];
        if (isLastUnclosed)
        {
            faults.Add(new(data.Place(data.LineOf(lastPart, last.UnclosedRecord)), "A quote that opens in this row is never closed.", "Close the quote, or remove it."));
            last.RowFaults.RemoveAll(f => f.Record == last.UnclosedRecord);
        }

        int total = 0;
        for (int part = 0; part < data.Parsed.Length; part++)
        {
            foreach (CsvRowFault rowFault in data.Parsed[part].RowFaults)
            {
                if (total++ < MostFaults)
                {
                    faults.Add(Describe(data, part, rowFault));
                }
            }
        }

        AddTextFaults(data, faults);
        if (faults.Count > MostFaults)
        {
            faults = [.. faults.Take(MostFaults), new(data.FileName, "There are more faults of these kinds.", "Correct these first, then read the file again.")];
        }

        return faults.Count > 0 ? throw new InputError(faults) : cutOff;
    }

    private static InputFault Describe(CsvData data, int part, CsvRowFault fault)
    {
        string row = data.Place(data.LineOf(part, fault.Record));
        if (fault.Slot < 0)
        {
            return new(
                row,
                string.Create(CultureInfo.InvariantCulture, $"This row has {fault.FieldCount} {(fault.FieldCount == 1 ? "field" : "fields")}; the header in row {data.Layout.HeaderLine} has {data.Plan.Width}."),
                "Correct or remove the row; a second table belongs in a file of its own.");
        }

        string column = $"{row}, column '{data.Layout.Columns[data.Layout.TimeIndex].Name}'";
        return fault.Text is "" or null
            ? new(column, "The row has values but no time.", "Give the row its time, or remove it.")
            : new(column, $"'{fault.Text}' is no time of the kind that the first row has.", "Correct or remove the row.");
    }

    /// <summary>A column that holds numbers and other text is a fault; one that is text throughout is not.</summary>
    private static void AddTextFaults(CsvData data, List<InputFault> faults)
    {
        for (int slot = 1; slot < data.Plan.Slots.Length; slot++)
        {
            int part = Array.FindIndex(data.Parsed, parsed => parsed.FirstText.ContainsKey(slot));
            if (part < 0)
            {
                continue;
            }

            // Numbers with thousands separators throughout are no column of text that may be left out.
            CsvRowFault fault = data.Parsed[part].FirstText[slot];
            if (data.IsTextThroughout(slot) && !CsvFieldText.IsGrouped(fault.Text!))
            {
                continue;
            }

            int count = data.Sum(parsed => parsed.Texts[slot]);
            string more = count == 1 ? "" : string.Create(CultureInfo.InvariantCulture, $" ({count} such fields in the column)");
            bool isThousands = fault.Text!.Contains(data.Plan.SwapSigns ? '.' : ',', StringComparison.Ordinal) || CsvFieldText.IsGrouped(fault.Text);
            faults.Add(new(
                $"{data.Place(data.LineOf(part, fault.Record))}, column '{data.Layout.Columns[data.Plan.Slots[slot]].Name}'",
                $"'{fault.Text}' is not a number{more}.",
                isThousands
                    ? "Write numbers without thousands separators; if this is a decimal comma, set log.decimal_comma = true in the car file."
                    : "If it stands for a missing value, add it to log.missing in the car file; otherwise correct the row or read only other columns."));
        }
    }
}
