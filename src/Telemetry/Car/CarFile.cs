using System.Text;

namespace Telemetry.Car;

/// <summary>The car file: TOML text that describes one car. Public entry of this folder.</summary>
public static class CarFile
{
    /// <summary>A car file larger than this is no car file, bytes; a real one has some ten thousand.</summary>
    internal const int LargestFileBytes = 4 << 20;

    /// <summary>Reads a car file.</summary>
    /// <param name="path">Path of the TOML file.</param>
    /// <returns>The car in SI units.</returns>
    /// <exception cref="InputError">The file is missing, is no text, or has faults; all faults are in it, by line.</exception>
    public static CarDefinition Read(string path)
    {
        (CarDefinition? car, CarFaultList faults, _) = Load(path);
        return car ?? throw new InputError(faults.Faults);
    }

    /// <summary>Reads a car file and hands its text out as well, so that what was read can be kept.</summary>
    /// <param name="path">Path of the TOML file.</param>
    /// <param name="text">The text that was read.</param>
    /// <returns>The car in SI units.</returns>
    /// <exception cref="InputError">As <see cref="Read(string)"/>.</exception>
    public static CarDefinition Read(string path, out string text)
    {
        ArgumentNullException.ThrowIfNull(path);
        CarFaultList faults = new(path);
        text = ReadText(path, faults) ?? throw new InputError(faults.Faults);
        (CarDefinition? car, _) = Build(text, path, faults);
        return car ?? throw new InputError(faults.Faults);
    }

    /// <summary>Explains a car file: what is wrong or doubtful in it, and which answers it has enough for. Never throws for what the file contains.</summary>
    /// <param name="path">Path of the TOML file.</param>
    public static CarFileCheck Check(string path)
    {
        (CarDefinition? car, CarFaultList faults, CarSection? root) = Load(path);
        return Checked(path, car, faults, root);
    }

    /// <summary>Explains the text of a car file; the path is only for messages.</summary>
    internal static CarFileCheck CheckText(string text, string path)
    {
        CarFaultList faults = new(path);
        (CarDefinition? car, CarSection root) = Build(text, path, faults);
        return Checked(path, car, faults, root);
    }

    /// <summary>Reads the text of a car file; the path is only for messages.</summary>
    /// <exception cref="InputError">The text has faults.</exception>
    internal static CarDefinition Parse(string text, string path)
    {
        CarFaultList faults = new(path);
        (CarDefinition? car, _) = Build(text, path, faults);
        return car ?? throw new InputError(faults.Faults);
    }

    private static CarFileCheck Checked(string path, CarDefinition? car, CarFaultList faults, CarSection? root) =>
        new(path, car, [.. faults.Faults], [.. faults.Warnings], root is null ? [] : CarAnswers.Of(root));

    private static (CarDefinition? Car, CarFaultList Faults, CarSection? Root) Load(string path)
    {
        ArgumentNullException.ThrowIfNull(path);
        CarFaultList faults = new(path);
        if (ReadText(path, faults) is not { } text)
        {
            return (null, faults, null);
        }

        (CarDefinition? car, CarSection root) = Build(text, path, faults);
        return (car, faults, root);
    }

    private static (CarDefinition? Car, CarSection Root) Build(string text, string path, CarFaultList faults)
    {
        CarSection root = CarSection.Root(CarTree.Parse(text, faults), faults);
        CarDefinition? car = CarReading.Of(root, path);
        return (faults.Any ? null : car, root);
    }

    private static string? ReadText(string path, CarFaultList faults)
    {
        byte[] bytes;
        try
        {
            FileInfo file = new(path);
            if (file.Exists && file.Length > LargestFileBytes)
            {
                faults.WholeFile($"has {file.Length / (1 << 20)} MB, far more than a car file.", "Give the TOML file of the car.");
                return null;
            }

            bytes = File.ReadAllBytes(path);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            (string found, string remedy) = error switch
            {
                FileNotFoundException or DirectoryNotFoundException => ("there is no such file.", "Check the path."),
                UnauthorizedAccessException when Directory.Exists(path) => ("is a folder.", "Give the TOML file of the car."),
                UnauthorizedAccessException => ("may not be read.", "Give yourself the right to read it."),
                _ => ($"cannot be read: {error.Message.TrimEnd('.')}.", "Check the path and the disk."),
            };
            faults.WholeFile(found, remedy);
            return null;
        }

        if (bytes.AsSpan().Contains((byte)0))
        {
            faults.WholeFile("is no text: it has bytes of value 0.", "Give the TOML file of the car, saved as UTF-8.");
            return null;
        }

        try
        {
            ReadOnlySpan<byte> body = bytes.AsSpan().StartsWith("\uFEFF"u8) ? bytes.AsSpan(3) : bytes;
            return new UTF8Encoding(false, throwOnInvalidBytes: true).GetString(body);
        }
        catch (DecoderFallbackException error)
        {
            int line = 1 + bytes.AsSpan(0, Math.Clamp(error.Index, 0, bytes.Length)).Count((byte)'\n');
            faults.Add(line, "", "is not UTF-8 text.", "Save the file as UTF-8; a degree or ± sign is often what was saved otherwise.");
            return null;
        }
    }
}
