namespace Telemetry.Car;

/// <summary>A wheel's place on the car, seen by the driver. The values are the order in which corners are listed everywhere.</summary>
public enum Corner
{
    /// <summary>Front left.</summary>
    FrontLeft = 0,

    /// <summary>Front right.</summary>
    FrontRight = 1,

    /// <summary>Rear left.</summary>
    RearLeft = 2,

    /// <summary>Rear right.</summary>
    RearRight = 3,
}

/// <summary>Front or rear pair of wheels.</summary>
public enum Axle
{
    /// <summary>The front pair.</summary>
    Front = 0,

    /// <summary>The rear pair.</summary>
    Rear = 1,
}

/// <summary>Names and neighbours of a corner.</summary>
public static class Corners
{
    /// <summary>All four, in listing order FL FR RL RR.</summary>
    public static IReadOnlyList<Corner> All { get; } = [Corner.FrontLeft, Corner.FrontRight, Corner.RearLeft, Corner.RearRight];

    /// <summary>The two letters that files and screens show: FL, FR, RL, RR.</summary>
    public static string Code(this Corner corner) => corner switch
    {
        Corner.FrontLeft => "FL",
        Corner.FrontRight => "FR",
        Corner.RearLeft => "RL",
        Corner.RearRight => "RR",
        _ => throw new ArgumentOutOfRangeException(nameof(corner)),
    };

    /// <summary>The axle a corner belongs to.</summary>
    public static Axle Axle(this Corner corner) => corner is Corner.FrontLeft or Corner.FrontRight ? Car.Axle.Front : Car.Axle.Rear;

    /// <summary>True for FL and RL.</summary>
    public static bool IsLeft(this Corner corner) => corner is Corner.FrontLeft or Corner.RearLeft;

    /// <summary>The corner named by its two-letter code, or null when the text is none of the four. Case does not matter.</summary>
    public static Corner? FromCode(string code) => code?.ToUpperInvariant() switch
    {
        "FL" => Corner.FrontLeft,
        "FR" => Corner.FrontRight,
        "RL" => Corner.RearLeft,
        "RR" => Corner.RearRight,
        _ => null,
    };
}

/// <summary>One value for each of the four corners.</summary>
/// <typeparam name="T">What each corner has.</typeparam>
/// <param name="FrontLeft">Front left.</param>
/// <param name="FrontRight">Front right.</param>
/// <param name="RearLeft">Rear left.</param>
/// <param name="RearRight">Rear right.</param>
public sealed record PerCorner<T>(T FrontLeft, T FrontRight, T RearLeft, T RearRight)
{
    /// <summary>The value of one corner.</summary>
    public T this[Corner corner] => corner switch
    {
        Corner.FrontLeft => FrontLeft,
        Corner.FrontRight => FrontRight,
        Corner.RearLeft => RearLeft,
        Corner.RearRight => RearRight,
        _ => throw new ArgumentOutOfRangeException(nameof(corner)),
    };

    /// <summary>The same question asked at each corner, in the order FL FR RL RR.</summary>
    public PerCorner<TOut> Select<TOut>(Func<Corner, T, TOut> map)
    {
        ArgumentNullException.ThrowIfNull(map);
        return new(
            map(Corner.FrontLeft, FrontLeft),
            map(Corner.FrontRight, FrontRight),
            map(Corner.RearLeft, RearLeft),
            map(Corner.RearRight, RearRight));
    }

    /// <summary>The four values in listing order.</summary>
    public IEnumerable<(Corner Corner, T Value)> Each()
    {
        yield return (Corner.FrontLeft, FrontLeft);
        yield return (Corner.FrontRight, FrontRight);
        yield return (Corner.RearLeft, RearLeft);
        yield return (Corner.RearRight, RearRight);
    }
}

/// <summary>Makes a <see cref="PerCorner{T}"/> by asking at each corner.</summary>
public static class PerCorner
{
    /// <summary>One value a corner, made in the order FL FR RL RR.</summary>
    public static PerCorner<T> Of<T>(Func<Corner, T> make)
    {
        ArgumentNullException.ThrowIfNull(make);
        return new(make(Corner.FrontLeft), make(Corner.FrontRight), make(Corner.RearLeft), make(Corner.RearRight));
    }

    /// <summary>The same where no corner's value needs another's: they are made side by side.</summary>
    internal static PerCorner<T> AtOnce<T>(Func<Corner, T> make)
    {
        T[] made = new T[Corners.All.Count];
        Workers.Run(made.Length, c => made[c] = make(Corners.All[c]));
        return Of(corner => made[(int)corner]);
    }
}

/// <summary>One value for each axle.</summary>
/// <typeparam name="T">What each axle has.</typeparam>
/// <param name="Front">The front axle's.</param>
/// <param name="Rear">The rear axle's.</param>
public sealed record PerAxle<T>(T Front, T Rear)
{
    /// <summary>The value of one axle.</summary>
    public T this[Axle axle] => axle == Axle.Front ? Front : Rear;
}
