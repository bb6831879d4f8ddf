namespace Telemetry.Logs;

/// <summary>What a field of a Thrift struct holds.</summary>
/// <param name="Kind">Its kind in the compact protocol.</param>
/// <param name="Struct">Shape of the struct, for a struct.</param>
/// <param name="Element">Elements, for a list.</param>
internal sealed record ThriftType(int Kind, ThriftShape? Struct = null, ThriftType? Element = null)
{
    private const int True = 1, False = 2, Short = 4, Long = 6;

    /// <summary>True for a kind that a reader of this type takes in the same bytes: a boolean has two, whole numbers of 16, 32 and 64 bits are written alike.</summary>
    public bool Fits(int kind) => Kind switch
    {
        True => kind is True or False,
        >= Short and <= Long => kind is >= Short and <= Long,
        _ => kind == Kind,
    };
}

/// <summary>The fields of a Thrift struct that are known.</summary>
/// <remarks>
/// A reader that expects a text where the file has a number goes on in the middle of the next field, and takes any bytes for a length. So a file whose kinds are others than the
/// format's is refused before it is read.
/// </remarks>
internal sealed class ThriftShape(params (int Field, ThriftType Type)[] fields)
{
    private readonly Dictionary<int, ThriftType> _fields = fields.ToDictionary(field => field.Field, field => field.Type);

    /// <summary>What a field holds; null for one that is not known, which every reader skips by its kind.</summary>
    public ThriftType? Of(int field) => _fields.GetValueOrDefault(field);
}

/// <summary>The structs of a Parquet file that are read: parquet.thrift of Apache Parquet Format 2.11, field by field (from memory).</summary>
internal static class ParquetShapes
{
    private static readonly ThriftType Flag = new(1), Byte = new(3), Short = new(4), Int = new(5), Long = new(6), Double = new(7), Text = new(8), Empty = new(12);

    private static readonly ThriftShape Statistics = new((1, Text), (2, Text), (3, Long), (4, Long), (5, Text), (6, Text), (7, Flag), (8, Flag));

    private static readonly ThriftShape KeyValue = new((1, Text), (2, Text));

    private static readonly ThriftType Unit = Of(new((1, Empty), (2, Empty), (3, Empty)));

    private static readonly ThriftShape LogicalType = new(
        (1, Empty), (2, Empty), (3, Empty), (4, Empty), (5, Of(new((1, Int), (2, Int)))), (6, Empty), (7, Of(new((1, Flag), (2, Unit)))), (8, Of(new((1, Flag), (2, Unit)))),
        (10, Of(new((1, Byte), (2, Flag)))), (11, Empty), (12, Empty), (13, Empty), (14, Empty), (15, Empty), (16, Of(new((1, Byte)))), (17, Of(new((1, Text)))), (18, Of(new((1, Text), (2, Int)))));

    private static readonly ThriftShape SchemaElement = new(
        (1, Int), (2, Int), (3, Int), (4, Text), (5, Int), (6, Int), (7, Int), (8, Int), (9, Int), (10, Of(LogicalType)));

    private static readonly ThriftShape BoundingBox = new([.. Enumerable.Range(1, 8).Select(field => (field, Double))]);

    private static readonly ThriftShape ColumnMetaData = new(
        (1, Int), (2, Many(Int)), (3, Many(Text)), (4, Int), (5, Long), (6, Long), (7, Long), (8, Many(Of(KeyValue))), (9, Long), (10, Long), (11, Long), (12, Of(Statistics)),
        (13, Many(Of(new((1, Int), (2, Int), (3, Int))))), (14, Long), (15, Int), (16, Of(new((1, Long), (2, Many(Long)), (3, Many(Long))))), (17, Of(new((1, Of(BoundingBox)), (2, Many(Int))))));

    private static readonly ThriftShape ColumnKey = new((1, Many(Text)), (2, Text));

    private static readonly ThriftShape ColumnChunk = new(
        (1, Text), (2, Long), (3, Of(ColumnMetaData)), (4, Long), (5, Int), (6, Long), (7, Int), (8, Of(new((1, Empty), (2, Of(ColumnKey))))), (9, Text));

    private static readonly ThriftShape RowGroup = new(
        (1, Many(Of(ColumnChunk))), (2, Long), (3, Long), (4, Many(Of(new((1, Int), (2, Flag), (3, Flag))))), (5, Long), (6, Long), (7, Short));

    private static readonly ThriftShape Cipher = new((1, Text), (2, Text), (3, Flag));

    /// <summary>FileMetaData, the footer.</summary>
    public static ThriftShape Footer { get; } = new(
        (1, Int), (2, Many(Of(SchemaElement))), (3, Long), (4, Many(Of(RowGroup))), (5, Many(Of(KeyValue))), (6, Text), (7, Many(Of(new((1, Empty))))),
        (8, Of(new((1, Of(Cipher)), (2, Of(Cipher))))), (9, Text));

    /// <summary>DataPageHeader.</summary>
    public static ThriftShape DataPage { get; } = new((1, Int), (2, Int), (3, Int), (4, Int), (5, Of(Statistics)));

    /// <summary>DictionaryPageHeader.</summary>
    public static ThriftShape DictionaryPage { get; } = new((1, Int), (2, Int), (3, Flag));

    /// <summary>DataPageHeaderV2.</summary>
    public static ThriftShape DataPageVersion2 { get; } = new((1, Int), (2, Int), (3, Int), (4, Int), (5, Int), (6, Int), (7, Flag), (8, Of(Statistics)));

    private static ThriftType Of(ThriftShape shape) => new(12, shape);

    private static ThriftType Many(ThriftType element) => new(9, null, element);
}
