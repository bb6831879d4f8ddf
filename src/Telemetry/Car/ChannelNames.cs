using System.Text;

namespace Telemetry.Car;

/// <summary>The names that the car file gives to roles: snake case, corner last ("pushrod_load_fl").</summary>
public static class ChannelNames
{
    private static readonly (ChannelRole Role, string Key)[] Keys =
        [.. Enum.GetValues<ChannelRole>().Select(role => (role, Snake(role.ToString())))];

    /// <summary>All names, in the order of the roles.</summary>
    public static IReadOnlyList<string> All { get; } = [.. Keys.Select(k => k.Key)];

    /// <summary>The car file's name of a role.</summary>
    public static string Key(this ChannelRole role)
    {
        foreach ((ChannelRole known, string key) in Keys)
        {
            if (known == role)
            {
                return key;
            }
        }

        throw new ArgumentOutOfRangeException(nameof(role));
    }

    /// <summary>The role of a name, or null when there is none of that name. Case counts.</summary>
    public static ChannelRole? Role(string key)
    {
        foreach ((ChannelRole role, string known) in Keys)
        {
            if (known == key)
            {
                return role;
            }
        }

        return null;
    }

    private static string Snake(string name)
    {
        StringBuilder snake = new();
        for (int i = 0; i < name.Length; i++)
        {
            // The two letters of a corner stay together: "PushrodLoadFL" is pushrod_load_fl.
            if (i > 0 && char.IsUpper(name[i]) && !char.IsUpper(name[i - 1]))
            {
                snake.Append('_');
            }

            snake.Append(char.ToLowerInvariant(name[i]));
        }

        return snake.ToString();
    }
}
