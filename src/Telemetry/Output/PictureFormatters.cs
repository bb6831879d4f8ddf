// The interactive C# kernel finds an attribute of this name on a type and calls the members named here, without a reference in either direction
// (its documentation: "Formatting, custom formatters by convention"). The library needs no package for it, and no reflection of its own.
#pragma warning disable CA1822 // found by name on an instance
using System.Diagnostics.CodeAnalysis;

namespace Telemetry.Output
{
    /// <summary>Tells an interactive kernel how a <see cref="Picture"/> is shown.</summary>
    [DynamicallyAccessedMembers(DynamicallyAccessedMemberTypes.All)]
    internal sealed class PictureFormatters
    {
        public IEnumerable<object> CreateTypeFormatters() => [new PngFormatter()];
    }

    /// <summary>Writes the PNG of a picture as base64.</summary>
    [DynamicallyAccessedMembers(DynamicallyAccessedMemberTypes.All)]
    internal sealed class PngFormatter
    {
        public string MimeType => "image/png";

        public bool Format(object instance, TextWriter writer)
        {
            if (instance is not Picture picture)
            {
                return false;
            }

            writer.Write(Convert.ToBase64String(picture.Png.AsSpan()));
            return true;
        }
    }
}

namespace Microsoft.DotNet.Interactive.Formatting
{
    /// <summary>The kernel's mark for a type that brings its own formatters; matched by name.</summary>
    [AttributeUsage(AttributeTargets.Class)]
    internal sealed class TypeFormatterSourceAttribute(Type formatterSourceType) : Attribute
    {
        public Type FormatterSourceType { get; } = formatterSourceType;

        public string[] PreferredMimeTypes { get; set; } = [];
    }
}
