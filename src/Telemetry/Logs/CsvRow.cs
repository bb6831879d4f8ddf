using CsvHelper;

namespace Telemetry.Logs;

/// <summary>The row that the library's reader stands on, looked at as a whole.</summary>
internal static class CsvRow
{
    /// <summary>True when no field from one on holds anything.</summary>
    public static bool IsBlankFrom(CsvReader reader, int first)
    {
        for (int i = first; i < reader.FieldCount; i++)
        {
            if (!CsvFieldText.Trim(reader.GetSpan(i)).IsEmpty)
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>True when the row has exactly these fields, blanks and byte order marks around them aside.</summary>
    public static bool Holds(CsvReader reader, string[] fields, bool swapSigns)
    {
        bool isSame = reader.FieldCount == fields.Length;
        for (int i = 0; isSame && i < fields.Length; i++)
        {
            isSame = CsvFieldText.Whole(reader.GetSpan(i), swapSigns).Trim().Trim('\ufeff').Trim() == fields[i];
        }

        return isSame;
    }
}
