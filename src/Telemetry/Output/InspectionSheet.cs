using System.Text;
using Telemetry.Output.Tables;
using Telemetry.Review;

namespace Telemetry.Output;

/// <summary>The inspection list as text that prints on one page.</summary>
public static class InspectionSheet
{
    /// <summary>Items on one page: each takes about three lines.</summary>
    private const int MostItems = 18;

    private const int Width = 92;

    /// <summary>The last line of the list, in text and report.</summary>
    public const string Deferral = "What is done, and whether the car runs, is decided by the team's licensed practice and the parts' designers. The log only gives cause to look.";

    /// <summary>The page.</summary>
    public static string From(RunReview review)
    {
        ArgumentNullException.ThrowIfNull(review);
        StringBuilder page = new();
        page.Append($"INSPECTION LIST  {review.Run.Name}  ({review.Run.Car.Name})\n\n");
        foreach (InspectionItem item in review.Inspections.Take(MostItems))
        {
            page.Append(FormattableString.Invariant($"[ ] {item.Rank,2}. {item.Subject}: {InspectionTables.Word(item.Reason)}\n"));
            Wrap(page, item.LookAt);
            Wrap(page, item.Because);
        }

        if (review.Inspections.Length > MostItems)
        {
            page.Append(FormattableString.Invariant($"... and {review.Inspections.Length - MostItems} more in tables/inspection.csv\n"));
        }

        if (review.Inspections.IsEmpty)
        {
            page.Append("The log gives no cause to look at anything out of turn.\n");
        }

        if (review.NoDriftBecause is { } reason)
        {
            page.Append("\nNot compared with earlier runs:\n");
            Wrap(page, reason);
        }

        page.Append('\n');
        Wrap(page, Deferral, "");
        page.Append("Looked at by ____________________   date ____________   car released by ____________________\n");
        return page.ToString();
    }

    private static void Wrap(StringBuilder page, string text, string indent = "        ")
    {
        int at = 0;
        foreach (string word in text.Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            if (at == 0 || at + 1 + word.Length > Width)
            {
                page.Append(at == 0 ? indent : "\n" + indent).Append(word);
                at = indent.Length + word.Length;
            }
            else
            {
                page.Append(' ').Append(word);
                at += 1 + word.Length;
            }
        }

        page.Append('\n');
    }
}
