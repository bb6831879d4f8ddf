using System.Text;

namespace Telemetry.Output;

/// <summary>Texts that the library was built with.</summary>
internal static class EmbeddedText
{
    /// <summary>A text by its name in the assembly.</summary>
    /// <exception cref="InvalidOperationException">The library was built without it.</exception>
    public static string Read(string name)
    {
        using Stream stream = typeof(EmbeddedText).Assembly.GetManifestResourceStream(name)
            ?? throw new InvalidOperationException($"The library was built without '{name}'.");
        using StreamReader reader = new(stream, Encoding.UTF8);
        return reader.ReadToEnd();
    }
}
