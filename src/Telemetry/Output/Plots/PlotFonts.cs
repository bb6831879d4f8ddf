using ScottPlot;
using SkiaSharp;

namespace Telemetry.Output.Plots;

/// <summary>Gives the plotting library the fonts that are embedded in this assembly.</summary>
internal sealed class PlotFonts : IFontResolver
{
    /// <summary>Family name, as the font files state it.</summary>
    public const string Family = "IBM Plex Sans";

    private static readonly Lock Gate = new();
    private static bool isRegistered;
    private readonly SKTypeface regular = Load("IBMPlexSans_400Regular.ttf");
    private readonly SKTypeface semiBold = Load("IBMPlexSans_600SemiBold.ttf");

    private PlotFonts()
    {
    }

    /// <summary>Makes the embedded fonts the default of the plotting library; later calls do nothing.</summary>
    /// <remarks>The library keeps fonts for the whole process, so this must come before the first plot is made.</remarks>
    public static void Register()
    {
        lock (Gate)
        {
            if (!isRegistered)
            {
                Fonts.FontResolvers.Insert(0, new PlotFonts());
                Fonts.Default = Family;
                Fonts.Sans = Family;
                isRegistered = true;
            }
        }
    }

    /// <summary>The typeface, or null for another family. Every weight above normal is the semi-bold; there is no slanted one.</summary>
    public SKTypeface? CreateTypeface(string fontName, FontWeight weight, FontSlant slant, FontSpacing spacing) =>
        fontName != Family ? null : weight is FontWeight.SemiBold or FontWeight.Bold or FontWeight.ExtraBold or FontWeight.Black ? semiBold : regular;

    /// <summary>The typeface, or null for another family.</summary>
    public SKTypeface? CreateTypeface(string fontName, bool bold, bool italic) =>
        fontName != Family ? null : bold ? semiBold : regular;

    private static SKTypeface Load(string file)
    {
        using Stream stream = typeof(PlotFonts).Assembly.GetManifestResourceStream("Telemetry.Output.Fonts." + file)
            ?? throw new InvalidOperationException($"The font {file} is not embedded in the assembly.");
        using SKData data = SKData.Create(stream);
        return SKTypeface.FromData(data);
    }
}
