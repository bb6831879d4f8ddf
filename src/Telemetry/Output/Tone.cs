namespace Telemetry.Output;

/// <summary>How a line should strike the reader; screens turn it into colour, and the words carry it as well.</summary>
public enum Tone
{
    /// <summary>Plain text.</summary>
    Plain,

    /// <summary>A heading.</summary>
    Heading,

    /// <summary>Less important than the rest.</summary>
    Muted,

    /// <summary>Nothing to do.</summary>
    Good,

    /// <summary>A person must weigh it.</summary>
    Warning,

    /// <summary>The car should not go out before this is settled.</summary>
    Alarm,
}
