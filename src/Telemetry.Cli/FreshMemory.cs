using System.Globalization;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Telemetry.Cli;

/// <summary>Makes fresh memory cheap on Linux: asks for pages of 2 MiB instead of 4 KiB behind the collected heap, and for the C library to keep what is freed.</summary>
/// <remarks>
/// A run's channels are hundreds of megabytes that are touched for the first time once each: at 4 KiB that is two hundred thousand page faults, a fifth of the
/// processor time of the whole job and more in a virtual machine. Most distributions give large pages to those who ask (transparent_hugepage = madvise). The kernel
/// gives one only where all 2 MiB of it belong to one mapping, and the collector, which makes its reserved addresses writable in steps of 64 KiB and up and takes
/// them into core dumps in the same steps, cuts its mapping at every step. So the first part of the reserve is made writable at once; that takes no memory, which is
/// given at the first touch only. Where the kernel says no, or the heap is not found, everything works as before.
/// </remarks>
internal static class FreshMemory
{
    /// <summary>MADV_HUGEPAGE and MADV_DODUMP of Linux (madvise(2)).</summary>
    private const int UseLargePages = 14, IntoCoreDumps = 17;

    /// <summary>PROT_READ and PROT_WRITE (mprotect(2)).</summary>
    private const int Readable = 1, Writable = 2;

    /// <summary>A mapping of which the collector cannot have used a part yet is at least this long; its reserve is tens of times the machine's memory or a few times a container's.</summary>
    private const ulong ShortestReserve = 1UL << 30;

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
            if (Reserve() is not (ulong from, ulong unused, ulong to) || Advise((nint)from, (nuint)(to - from), UseLargePages) != 0)
            {
                return false;
            }

            // A quarter of the memory that the collector may use: a kernel that counts what could be written (vm.overcommit_memory = 2) has then enough left for others.
            ulong writable = Math.Min(to - unused, (ulong)GC.GetGCMemoryInfo().TotalAvailableMemoryBytes / 4) & ~((1UL << 21) - 1);
            return MakeWritable((nint)from, (nuint)(unused + writable - from), Readable | Writable) == 0
                && Advise((nint)from, (nuint)(unused + writable - from), IntoCoreDumps) == 0;
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

    /// <summary>
    /// The addresses that the collector has reserved, from a fresh object's mapping on: mappings without a file that touch each other, up to the end of the first that
    /// is long and cannot be read, the part that it has not used yet. What lies between an object and that part is the collector's own, whatever other mappings touch
    /// its reserve from outside.
    /// </summary>
    private static (ulong From, ulong Unused, ulong To)? Reserve()
    {
        object inside = new();
        ulong address = AddressOf(inside);
        ulong? first = null;
        ulong end = 0;
        foreach (string line in File.ReadLines("/proc/self/maps"))
        {
            // "from-to rwxp offset device inode   name"
            string[] fields = line.Split(' ', StringSplitOptions.RemoveEmptyEntries);
            string[] ends = fields[0].Split('-');
            ulong from = ulong.Parse(ends[0], NumberStyles.HexNumber, CultureInfo.InvariantCulture);
            ulong to = ulong.Parse(ends[1], NumberStyles.HexNumber, CultureInfo.InvariantCulture);
            bool nameless = fields.Length == 5 && fields[4] == "0";
            if (first is null)
            {
                if (address < from || address >= to)
                {
                    continue;
                }

                first = from;
            }
            else if (from != end)
            {
                break;
            }

            if (!nameless)
            {
                break;
            }

            if (fields[1] == "---p" && to - from >= ShortestReserve)
            {
                GC.KeepAlive(inside);
                return (first.Value, from, to);
            }

            end = to;
        }

        GC.KeepAlive(inside);
        return null;
    }

    /// <summary>Where an object lies at this moment; it may move, but not out of the heap.</summary>
    private static ulong AddressOf(object one) => Unsafe.As<object, ulong>(ref one);

    [DllImport("libc", EntryPoint = "mallopt", ExactSpelling = true)]
    private static extern int SetAllocation(int what, int value);

    [DllImport("libc", EntryPoint = "mprotect", ExactSpelling = true)]
    private static extern int MakeWritable(nint address, nuint length, int protection);

    [DllImport("libc", EntryPoint = "madvise", ExactSpelling = true)]
    private static extern int Advise(nint address, nuint length, int advice);
}
