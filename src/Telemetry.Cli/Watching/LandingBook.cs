using System.Collections.Immutable;

namespace Telemetry.Cli.Watching;

/// <summary>A file as a listing of its folder shows it.</summary>
/// <param name="Path">Its path.</param>
/// <param name="Length">Bytes.</param>
/// <param name="WrittenUtc">Time stamp of its last change.</param>
internal sealed record SeenFile(string Path, long Length, DateTime WrittenUtc);

/// <summary>How far a file has come.</summary>
internal enum LandingState
{
    /// <summary>It was new or had changed at one of the last polls.</summary>
    Arriving,

    /// <summary>It has stayed the same for long enough: time to look into it.</summary>
    Settled,

    /// <summary>It has stopped growing and cannot be whole.</summary>
    Half,

    /// <summary>It was dealt with as it stands.</summary>
    Taken,
}

/// <summary>What is known of one file.</summary>
/// <param name="File">As it was seen last.</param>
/// <param name="Polls">Polls in a row that showed it like this, this state included.</param>
/// <param name="State">How far it has come.</param>
/// <param name="IsTold">True once a person was told that it is half; it is told once, however often it grows and rests.</param>
/// <param name="WasTaken">True when an earlier content of it was dealt with.</param>
internal sealed record Landing(SeenFile File, int Polls, LandingState State, bool IsTold, bool WasTaken);

/// <summary>Which files of a folder have arrived: pure, without clock or file system. A poll is a listing of the folder.</summary>
/// <remarks>
/// Size and time stamp have to be the same at several polls in a row. A file that is renamed into place has to rest as long: it costs a few seconds and needs no trust in who renames.
/// A half file is looked at again after every so many polls, because some copies reserve the whole length first and set the time stamp last, so that what changes cannot be listed.
/// </remarks>
/// <param name="Files">By path.</param>
internal sealed record LandingBook(ImmutableSortedDictionary<string, Landing> Files)
{
    /// <summary>Nothing was seen yet.</summary>
    public static LandingBook Empty { get; } = new(ImmutableSortedDictionary.Create<string, Landing>(StringComparer.Ordinal));

    /// <summary>Files to look into now, by path.</summary>
    public IEnumerable<Landing> Settled => Files.Values.Where(landing => landing.State == LandingState.Settled);

    /// <summary>True when no file is on its way.</summary>
    public bool IsAtRest => Files.Values.All(landing => landing.State == LandingState.Taken);

    /// <summary>The book after one more listing.</summary>
    /// <param name="listing">The files that are there now.</param>
    /// <param name="polls">Polls in a row after which a file has settled; at least 2, since one shows no change.</param>
    public LandingBook After(IEnumerable<SeenFile> listing, int polls)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(polls, 2);
        return new(listing.Select(seen => Next(seen, polls)).ToImmutableSortedDictionary(landing => landing.File.Path, landing => landing, StringComparer.Ordinal));
    }

    /// <summary>The book once a settled file was looked into.</summary>
    /// <param name="path">Its path.</param>
    /// <param name="state">Half or taken; or arriving when it changed under the eye.</param>
    public LandingBook With(string path, LandingState state)
    {
        Landing landing = Files[path];
        return new(Files.SetItem(path, landing with
        {
            State = state,
            Polls = 0,
            IsTold = state switch { LandingState.Half => true, LandingState.Taken => false, _ => landing.IsTold },
            WasTaken = landing.WasTaken || state == LandingState.Taken,
        }));
    }

    private Landing Next(SeenFile seen, int polls)
    {
        if (!Files.TryGetValue(seen.Path, out Landing? before))
        {
            return new(seen, 1, LandingState.Arriving, false, false);
        }

        if (before.File != seen)
        {
            return before with { File = seen, Polls = 1, State = LandingState.Arriving };
        }

        int rested = Math.Min(before.Polls + 1, polls);
        return before with
        {
            Polls = rested,
            State = before.State is LandingState.Arriving or LandingState.Half && rested >= polls ? LandingState.Settled : before.State,
        };
    }
}
