using System.Buffers.Binary;
using System.Collections.Immutable;
using System.Security.Cryptography;
using System.Xml;
using System.Xml.Linq;
using Telemetry.Output.Plots;
using Telemetry.Review;

namespace Telemetry.Tests.Output.Plots;

/// <summary>The files as they leave: complete, well formed, harmless, and the same each time.</summary>
public class PlotSetTests
{
    private static readonly Lazy<PlotSet> Drawn = new(() => PlotSet.Draw(SampleReviews.Full));

    private static readonly SampleOptions Hostile = new()
    {
        RunName = "<script>alert('run')</script> & \"x\" \u202Egpj.exe \u0007",
        CarName = "<img src=x onerror=alert(1)> \u2067car\u2069",
        NamePrefix = "<b>\"&'\u200F",
    };

    [Fact]
    public void A_full_review_gives_every_picture_once()
    {
        string[] names = [.. Drawn.Value.Files.Select(f => f.Name).Order(StringComparer.Ordinal)];
        Assert.Equal(
            ["aero_budget", "aero_load_by_speed", "damage_by_lap", "damage_by_phase_and_place", "damper_velocity", "displacement_modes_by_lap", "exceedance", "health_strip",
                "kerb_map", "kerb_strikes", "load_modes_by_lap", "platform_by_speed", "pushrod_spectra", "range_mean_matrix"],
            names);
        // The made review has no map, no balance by condition and no third element; SketchTests draws these from a sample run.
        Assert.Equal(["aero_ride_height_map", "aero_balance_by_condition", "platform_load_against_travel"], Drawn.Value.LeftOut.Select(l => l.Name));
    }

    // PNG signature and IHDR: W3C Portable Network Graphics (third edition), 5.2 and 11.2.1.
    [Fact]
    public void Each_PNG_has_the_signature_and_the_size_that_was_asked_for()
    {
        PlotSet small = PlotSet.Draw(SampleReviews.Full, new PlotOptions { WidthPx = 800, HeightPx = 450 });
        Assert.All(Drawn.Value.Files, f => AssertPng(f.Png, 1600, 900));
        Assert.All(small.Files, f => AssertPng(f.Png, 800, 450));
    }

    [Fact]
    public void The_same_review_gives_the_same_bytes_however_many_are_drawn_at_a_time()
    {
        PlotSet serial = PlotSet.Draw(SampleReviews.Make(new()), new PlotOptions { Parallel = 1 });
        PlotSet parallel = PlotSet.Draw(SampleReviews.Make(new()), new PlotOptions { Parallel = 4 });
        Assert.Equal(Hashes(serial), Hashes(parallel));
        Assert.Equal(Hashes(serial), Hashes(Drawn.Value));
    }

    [Fact]
    public void Each_SVG_is_XML_with_a_title_and_stays_under_half_a_megabyte()
    {
        foreach (PlotFile file in Drawn.Value.Files)
        {
            XElement svg = Parse(file.Svg);
            Assert.Equal("svg", svg.Name.LocalName);
            Assert.Equal(file.Title, svg.Elements().First(e => e.Name.LocalName == "title").Value);
            Assert.InRange(file.Svg.Length, 1_000, 500_000);
            Assert.Contains(svg.Descendants(), e => e.Name.LocalName == "text");
        }
    }

    [Fact]
    public void Hostile_names_stay_text_and_bring_no_script_no_link_and_no_direction_mark()
    {
        PlotSet set = PlotSet.Draw(SampleReviews.Make(Hostile));
        Assert.Equal(14, set.Files.Length);
        foreach (PlotFile file in set.Files)
        {
            XElement svg = Parse(file.Svg);
            Assert.DoesNotContain(svg.DescendantsAndSelf(), e => e.Name.LocalName is "script" or "img" or "foreignObject" or "b" or "image" or "a");
            Assert.DoesNotContain(svg.DescendantsAndSelf().Attributes(), a => a.Name.LocalName.StartsWith("on", StringComparison.OrdinalIgnoreCase));
            Assert.DoesNotContain(svg.DescendantsAndSelf().Attributes(), a => !a.IsNamespaceDeclaration && a.Value.Contains("://", StringComparison.Ordinal));
            string all = svg.ToString() + file.Title + file.Description;
            Assert.DoesNotContain(all, c => c is '\u202E' or '\u200F' or '\u2067' or '\u2069' or '\u0007');

            // The name is shown as it was written, not swallowed.
            Assert.Contains("<script>alert('run')</script>", svg.Value, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void What_the_review_does_not_hold_is_left_out_with_the_reason()
    {
        PlotSet set = PlotSet.Draw(SampleReviews.Withheld(new()));
        Dictionary<string, string> leftOut = set.LeftOut.ToDictionary(l => l.Name, l => l.Because);
        Assert.Equal("The loads were low-passed at 20 Hz before logging.", leftOut["kerb_strikes"]);
        Assert.Equal("The loads were low-passed at 20 Hz before logging.", leftOut["damage_by_lap"]);
        Assert.Equal("Not all four dampers are measured.", leftOut["displacement_modes_by_lap"]);
        Assert.Equal("The log has no position.", leftOut["kerb_map"]);
        Assert.Contains("aero_budget", leftOut.Keys);
        Assert.Equal(17, set.Files.Length + set.LeftOut.Length);
        Assert.DoesNotContain(set.LeftOut, l => string.IsNullOrWhiteSpace(l.Because));
    }

    [Fact]
    public void A_withheld_aero_load_is_drawn_as_points_and_its_title_says_why()
    {
        PlotFile file = PlotSet.Draw(SampleReviews.Withheld(new())).Files.First(f => f.Name == "aero_load_by_speed");
        Assert.Equal("Aero load withheld: two straight passes; three are the least from which an interval can be given", file.Title);
    }

    [Theory]
    [InlineData(399, 300, 0)]
    [InlineData(1600, 100, 0)]
    [InlineData(1600, 5000, 0)]
    [InlineData(1600, 900, -1)]
    public void Sizes_that_cannot_be_laid_out_are_refused(int width, int height, int parallel) =>
        Assert.Throws<ArgumentOutOfRangeException>(() =>
            PlotSet.Draw(SampleReviews.Full, new PlotOptions { WidthPx = width, HeightPx = height, Parallel = parallel }));

    [Fact]
    public void The_fonts_in_the_library_are_those_that_the_font_list_names()
    {
        string folder = Path.Combine(Repository.Root, "src", "Telemetry", "Output", "Fonts");
        string list = File.ReadAllText(Path.Combine(folder, "README.md"));
        foreach (string name in (string[])["IBMPlexSans_400Regular.ttf", "IBMPlexSans_600SemiBold.ttf"])
        {
            using Stream stream = typeof(PlotSet).Assembly.GetManifestResourceStream("Telemetry.Output.Fonts." + name)!;
            string hash = Convert.ToHexStringLower(SHA256.HashData(stream));
            Assert.Contains($"| {name} | {hash} |", list, StringComparison.Ordinal);
        }

        Assert.Contains("SIL Open Font License, Version 1.1", File.ReadAllText(Path.Combine(folder, "LICENSE")), StringComparison.Ordinal);
    }

    internal static XElement Parse(ImmutableArray<byte> svg)
    {
        using MemoryStream stream = new([.. svg]);
        using XmlReader reader = XmlReader.Create(stream, new XmlReaderSettings { DtdProcessing = DtdProcessing.Prohibit, XmlResolver = null });
        return XElement.Load(reader);
    }

    private static string[] Hashes(PlotSet set) =>
        [.. set.Files.Select(f => f.Name + Convert.ToHexString(SHA256.HashData(f.Png.AsSpan())) + Convert.ToHexString(SHA256.HashData(f.Svg.AsSpan())))];

    private static void AssertPng(ImmutableArray<byte> png, int width, int height)
    {
        ReadOnlySpan<byte> bytes = png.AsSpan();
        Assert.Equal<byte>([0x89, 0x50, 0x4E, 0x47, 0x0D, 0x0A, 0x1A, 0x0A], bytes[..8].ToArray());
        Assert.Equal(width, BinaryPrimitives.ReadInt32BigEndian(bytes[16..]));
        Assert.Equal(height, BinaryPrimitives.ReadInt32BigEndian(bytes[20..]));
    }
}
