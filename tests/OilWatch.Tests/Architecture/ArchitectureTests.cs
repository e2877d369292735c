namespace OilWatch.Tests.Architecture;

/// <summary>The invariants of the core library, read from its compiled instructions.</summary>
public sealed class ArchitectureTests
{
    private static readonly List<(string From, string To)> Touched = IlReferences.Of(typeof(LogTime).Assembly.Location);

    // Compiler-made iterators ask for the thread's number, to hand themselves out to the first enumerator.
    // Texts that are built into the assembly are read by name, without looking at any type.
    private static readonly string[] Harmless =
        ["System.Environment::get_CurrentManagedThreadId", "System.Reflection.Assembly", "System.Reflection.Assembly::GetManifestResourceStream"];

    [Fact]
    public void The_scan_sees_the_core()
    {
        Assert.Contains(("OilWatch.Detectors.DetectPressureDropsOperator", "OilWatch.Detectors.PressureDropState::Step"), Touched);
        Assert.Contains(("OilWatch.Detectors.PressureDropState", "OilWatch.Detectors.LoadHistory"), Touched);
        Assert.Contains(("OilWatch.Detectors.DetectPressureDropsOperator", "System.Reactive.Linq.Observable::Create"), Touched);
        Assert.True(Touched.Count > 2000);
    }

    [Theory]
    [InlineData("System.Console")]
    [InlineData("System.IO.File")]
    [InlineData("System.IO.FileInfo")]
    [InlineData("System.IO.FileStream")]
    [InlineData("System.IO.FileSystemInfo")]
    [InlineData("System.IO.Directory")]
    [InlineData("System.IO.DirectoryInfo")]
    [InlineData("System.IO.DriveInfo")]
    [InlineData("System.IO.Path")]
    [InlineData("System.IO.RandomAccess")]
    [InlineData("System.Environment")]
    [InlineData("System.AppContext")]
    [InlineData("System.Diagnostics.Process")]
    [InlineData("System.Diagnostics.Stopwatch")]
    [InlineData("System.Threading.Thread")]
    [InlineData("System.Threading.Timer")]
    [InlineData("System.Threading.PeriodicTimer")]
    [InlineData("System.TimeProvider")]
    [InlineData("System.TimeZoneInfo")]
    [InlineData("System.Random")]
    [InlineData("System.Guid")]
    [InlineData("System.Activator")]
    public void The_core_touches_no_edge(string type)
    {
        Assert.Empty(Touched.FindAll(row => IsOf(row.To, type) && !Harmless.Contains(row.To, StringComparer.Ordinal)));
    }

    [Theory]
    [InlineData("System.Net.")]
    [InlineData("System.Reflection.")]
    [InlineData("System.Data.")]
    [InlineData("Microsoft.")]
    public void The_core_has_no_network_no_reflection_and_no_framework(string prefix)
    {
        // Attributes that the compiler embeds are no use of the namespace.
        Assert.Empty(Touched.FindAll(row => row.To.StartsWith(prefix, StringComparison.Ordinal)
            && !row.To.StartsWith("Microsoft.CodeAnalysis.EmbeddedAttribute", StringComparison.Ordinal)
            && !Harmless.Contains(row.To, StringComparer.Ordinal)));
    }

    [Theory]
    [InlineData("System.DateTime::get_Now")]
    [InlineData("System.DateTime::get_UtcNow")]
    [InlineData("System.DateTime::get_Today")]
    [InlineData("System.DateTimeOffset::get_Now")]
    [InlineData("System.DateTimeOffset::get_UtcNow")]
    [InlineData("System.Globalization.CultureInfo::get_CurrentCulture")]
    [InlineData("System.Globalization.CultureInfo::get_CurrentUICulture")]
    [InlineData("System.Globalization.CultureInfo::GetCultureInfo")]
    [InlineData("System.Globalization.NumberFormatInfo::get_CurrentInfo")]
    [InlineData("System.Threading.Tasks.Task::Delay")]
    [InlineData("System.Threading.Tasks.Task::Run")]
    [InlineData("System.Threading.Tasks.Parallel::ForEach")]
    [InlineData("System.String::ToLower")]
    [InlineData("System.String::ToUpper")]
    [InlineData("System.StringComparer::get_CurrentCulture")]
    public void The_core_asks_no_clock_and_no_culture(string member)
    {
        Assert.Empty(Touched.FindAll(row => string.Equals(row.To, member, StringComparison.Ordinal)));
    }

    [Theory]
    [InlineData("Reading")]
    [InlineData("Frames")]
    [InlineData("Channels")]
    [InlineData("Pressure")]
    [InlineData("Cars")]
    [InlineData("Oil")]
    [InlineData("Positions")]
    public void From_bytes_to_frames_all_calls_are_direct(string folder)
    {
        Assert.Empty(Touched.FindAll(row => InFolder(row.From, folder) && row.To.StartsWith("System.Reactive.", StringComparison.Ordinal)));
    }

    [Theory]
    // Who must not know whom: dependencies point one way, as the data flow.
    [InlineData("Reading", new[] { "Frames", "Pressure", "Detectors", "Alerts", "Laps", "Analysis", "Results", "Cars" })]
    [InlineData("Frames", new[] { "Pressure", "Detectors", "Alerts", "Laps", "Analysis", "Results" })]
    [InlineData("Positions", new[] { "Reading", "Frames", "Pressure", "Detectors", "Alerts", "Laps", "Analysis", "Results" })]
    [InlineData("Oil", new[] { "Reading", "Frames", "Pressure", "Detectors", "Alerts", "Laps", "Analysis", "Results" })]
    [InlineData("Pressure", new[] { "Reading", "Detectors", "Alerts", "Laps", "Analysis" })]
    [InlineData("Detectors", new[] { "Reading", "Pressure", "Laps", "Analysis", "Results" })]
    [InlineData("Results", new[] { "Frames", "Pressure", "Detectors", "Analysis" })]
    public void Dependencies_point_one_way(string folder, string[] others)
    {
        Assert.Empty(Touched.FindAll(row => InFolder(row.From, folder) && others.Any(other => InFolder(row.To, other))));
    }

    [Fact]
    public void Detectors_are_islands()
    {
        // The detectors of the folder, each with what is its own; FaultChanges and what else is shared belongs to none.
        string[][] detectors =
        [
            ["DetectPressureDropsOperator", "PressureDrop", "PressureDropChange", "PressureDropOptions", "PressureDropState", "LoadHistory", "LoadBefore"],
            ["SensorGuard", "SensorGuardOptions", "RoleGuard", "GuardRule", "GuardRules", "RunLengths", "ClockWatch", "LeapWatch", "StandingWatch"],
            ["DetectOverSpeedOperator", "OverSpeed", "OverSpeedChange", "OverSpeedOptions", "OverSpeedState"],
            ["DetectOilTemperatureOperator", "OilTemperatureEvent", "OilTemperatureChange", "OilTemperatureOptions", "OilTemperatureState"],
        ];
        Assert.All(detectors, own => Assert.All(own, type => Assert.Contains(Touched, row => IsOf(row.From, "OilWatch.Detectors." + type))));
        foreach (string[] own in detectors)
        {
            foreach (string[] others in detectors)
            {
                if (ReferenceEquals(own, others)) continue;
                Assert.Empty(Touched.FindAll(row => IsIn(row.From, own) && IsIn(row.To, others)));
            }
        }

        static bool IsIn(string name, string[] types) => Array.Exists(types, type => IsOf(name, "OilWatch.Detectors." + type));
    }

    private static bool IsOf(string name, string type) =>
        name.StartsWith(type, StringComparison.Ordinal) && (name.Length == type.Length || name.AsSpan(type.Length).StartsWith("::"));

    private static bool InFolder(string name, string folder) => name.StartsWith($"OilWatch.{folder}.", StringComparison.Ordinal);
}
