using System.Collections.Immutable;
using System.Reflection;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.Scripting;
using Microsoft.CodeAnalysis.Scripting.Hosting;

namespace Telemetry.Notebooks;

/// <summary>Answers a notebook's #r lines with the assemblies that this program was built with.</summary>
/// <remarks>
/// A person's notebook names a published copy of the library ("../.artifacts/notebook-lib/Telemetry.dll"), which need not exist here and may be old.
/// So a line counts as satisfied by an assembly of the same file name beside this program, loaded once and shared with it.
/// The line must still be there: without it a cell does not compile here either. Packages ("nuget: ...") are refused, so that a run needs no network.
/// </remarks>
internal sealed class LibraryReferences(string folder, InteractiveAssemblyLoader loader) : MetadataReferenceResolver
{
    private readonly ScriptMetadataResolver byPath = ScriptMetadataResolver.Default.WithBaseDirectory(folder);

    public override ImmutableArray<PortableExecutableReference> ResolveReference(string reference, string? baseFilePath, MetadataReferenceProperties properties)
    {
        string own = Path.Combine(AppContext.BaseDirectory, Path.GetFileName(reference));
        if (!reference.EndsWith(".dll", StringComparison.OrdinalIgnoreCase) || !File.Exists(own))
        {
            return reference.StartsWith("nuget:", StringComparison.OrdinalIgnoreCase) ? [] : byPath.ResolveReference(reference, baseFilePath, properties);
        }

        loader.RegisterDependency(Assembly.Load(AssemblyName.GetAssemblyName(own)));
        return [MetadataReference.CreateFromFile(own, properties)];
    }

    public override bool ResolveMissingAssemblies => byPath.ResolveMissingAssemblies;

    public override PortableExecutableReference? ResolveMissingAssembly(MetadataReference definition, AssemblyIdentity referenceIdentity) =>
        byPath.ResolveMissingAssembly(definition, referenceIdentity);

    public override bool Equals(object? other) => ReferenceEquals(this, other);

    public override int GetHashCode() => System.Runtime.CompilerServices.RuntimeHelpers.GetHashCode(this);
}
