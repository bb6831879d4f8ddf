using System.Globalization;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Telemetry.Cli;

/// <summary>Makes fresh memory cheap on Linux: asks for pages of 2 MiB instead of 4 KiB behind the collected heap, and for the C library to keep what is freed.</summary>
/// <remarks>
/// A run's channels are hundreds of megabytes that are touched for the first time once each: at 4 KiB that is two hundred thousand page faults, a fifth of the
/// processor time of the whole job and more in a virtual machine. Most distributions give large pages to those who ask (transparent_hugepage = madvise). Where the
/// kernel says no, or the heap is not found, everything works as before.
/// </remarks>
internal static class FreshMemory
{
    /// <summary>MADV_HUGEPAGE of Linux (madvise(2)).</summary>
    private const int UseLargePages = 14;

    /// <summary>M_MMAP_THRESHOLD and M_TRIM_THRESHOLD of glibc (mallopt(3)).</summary>
    private const int OwnMappingFrom = -3, GiveBackFrom = -1;

    /// <summary>Asks for the heap of this process.</summary>
    /// <returns>True when the kernel took the wish.</returns>
    public static bool Ask()
    {
        if (!OperatingSystem.IsLinux())
        {
            return false;
        }

        try
        {
            KeepFreed();
            return Heap() is (ulong from, ulong to) && Advise((nint)from, (nuint)(to - from), UseLargePages) == 0;
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException or FormatException or OverflowException or DllNotFoundException or EntryPointNotFoundException)
        {
            return false;
        }
    }

    /// <summary>Asks the C library to keep what the drawing library frees: a picture's pixels, megabytes each, are else given back and taken anew, page by page, for every picture.</summary>
    private static void KeepFreed()
    {
        try
        {
            // The largest threshold that glibc takes; below it, memory comes from the heap that is kept.
            _ = SetAllocation(OwnMappingFrom, 32 << 20);
            _ = SetAllocation(GiveBackFrom, 256 << 20);
        }
        catch (EntryPointNotFoundException)
        {
            // A C library without these settings (musl) has nothing to be asked.
        }
    }

    /// <summary>The addresses without a file behind them that hold a fresh object and touch each other: the heap that the collector has reserved, committed or not.</summary>
    private static (ulong From, ulong To)? Heap()
    {
        object inside = new();
        ulong address = AddressOf(inside);
        (ulong From, ulong To)? span = null;
        foreach (string line in File.ReadLines("/proc/self/maps"))
        {
            // "from-to rwxp offset device inode   name"
            string[] fields = line.Split(' ', StringSplitOptions.RemoveEmptyEntries);
            string[] ends = fields[0].Split('-');
            ulong from = ulong.Parse(ends[0], NumberStyles.HexNumber, CultureInfo.InvariantCulture);
            ulong to = ulong.Parse(ends[1], NumberStyles.HexNumber, CultureInfo.InvariantCulture);
            bool nameless = fields.Length == 5 && fields[4] == "0";
            if (nameless && span is { } before && before.To == from)
            {
                span = (before.From, to);
                continue;
            }

            if (Holds(span, address))
            {
                break;
            }

            span = nameless ? (from, to) : null;
        }

        GC.KeepAlive(inside);
        return Holds(span, address) ? span : null;
    }

    private static bool Holds((ulong From, ulong To)? span, ulong address) => span is { } one && one.From <= address && address < one.To;

    /// <summary>Where an object lies at this moment; it may move, but not out of the heap.</summary>
    private static ulong AddressOf(object one) => Unsafe.As<object, ulong>(ref one);

    [DllImport("libc", EntryPoint = "mallopt", ExactSpelling = true)]
    private static extern int SetAllocation(int what, int value);

    [DllImport("libc", EntryPoint = "madvise", ExactSpelling = true)]
    private static extern int Advise(nint address, nuint length, int advice);
}
