namespace Telemetry.Output;

/// <summary>Why a file system refused, in words for a person; without the names of drafts that nobody asked for.</summary>
public static class FileSystemWords
{
    // errno of Linux and macOS (POSIX.1-2017, errno.h gives the names), and the codes of Windows (winerror.h).
    private const int NoSpaceUnix = 28;
    private const int ReadOnlyUnix = 30;
    private const int QuotaLinux = 122;
    private const int DiskFullWindows = unchecked((int)0x80070070);
    private const int HandleDiskFullWindows = unchecked((int)0x80070027);
    private const int WriteProtectWindows = unchecked((int)0x80070013);

    /// <summary>The reason as a part of a sentence, without a full stop: "the disk is full".</summary>
    /// <param name="error">What the system threw.</param>
    public static string Of(Exception error)
    {
        ArgumentNullException.ThrowIfNull(error);
        int code = (error as IOException ?? error.InnerException as IOException)?.HResult ?? 0;
        return code switch
        {
            NoSpaceUnix or DiskFullWindows or HandleDiskFullWindows => "the disk is full",
            QuotaLinux => "your share of the disk is used up",
            ReadOnlyUnix or WriteProtectWindows => "the disk can only be read",
            _ => error switch
            {
                UnauthorizedAccessException => "you have no right to write there",
                // The system's own words name the draft.
                FileNotFoundException => "the folder takes no new files",
                DirectoryNotFoundException => "the folder is not there and could not be made",
                _ => error.Message.TrimEnd('.'),
            },
        };
    }
}
