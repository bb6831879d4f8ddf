namespace Telemetry.Output.Report;

/// <summary>The frame that every page has: language, policy, title, style, one main part.</summary>
internal static class HtmlPage
{
    /// <summary>The policy of a page that runs no script.</summary>
    public const string WithoutScript = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'";

    /// <summary>The page; written as UTF-8.</summary>
    /// <param name="title">Title of the window.</param>
    /// <param name="policy">Its content security policy.</param>
    /// <param name="style">Exactly what stands in its style element: a policy may hold the hash of it.</param>
    /// <param name="main">What people read.</param>
    /// <param name="after">What follows it, such as scripts.</param>
    public static Html Of(string title, string policy, Html style, Html main, Html after = default) => Html.Of($"""
        <!DOCTYPE html>
        <html lang="en">
        <head>
        <meta charset="utf-8">
        <meta http-equiv="Content-Security-Policy" content="{policy}">
        <meta name="viewport" content="width=device-width, initial-scale=1">
        <title>{title}</title>
        <style>{style}</style>
        </head>
        <body>
        <main>
        {main}
        </main>{after}
        </body>
        </html>

        """);
}
