using System.Runtime.InteropServices;
using Microsoft.Win32.SafeHandles;

namespace OilWatch.Live.Tests;

/// <summary>A pair of pseudo-terminals: what is written to one end is read at the other, as over a serial cable. POSIX only.</summary>
internal sealed partial class PseudoTerminal : IDisposable
{
    private const int ReadWriteNoControl = 0x102;          // O_RDWR | O_NOCTTY of Linux

    private readonly SafeFileHandle _adapter;

    private PseudoTerminal(SafeFileHandle adapter, string device)
    {
        _adapter = adapter;
        Device = device;
        Adapter = new FileStream(adapter, FileAccess.ReadWrite, bufferSize: 0);
    }

    /// <summary>The end that the program opens.</summary>
    public string Device { get; }

    /// <summary>The adapter's end.</summary>
    public FileStream Adapter { get; }

    public static PseudoTerminal? Open()
    {
        if (!OperatingSystem.IsLinux()) return null;
        int master = OpenPt(ReadWriteNoControl);
        if (master < 0 || GrantPt(master) != 0 || UnlockPt(master) != 0) return null;
        var name = new byte[256];
        if (PtsName(master, name, (nuint)name.Length) != 0) return null;
        return new PseudoTerminal(new SafeFileHandle(master, ownsHandle: true), System.Text.Encoding.ASCII.GetString(name, 0, Array.IndexOf(name, (byte)0)));
    }

    public void Dispose()
    {
        Adapter.Dispose();
        _adapter.Dispose();
    }

    [LibraryImport("libc", EntryPoint = "posix_openpt")]
    private static partial int OpenPt(int flags);

    [LibraryImport("libc", EntryPoint = "grantpt")]
    private static partial int GrantPt(int file);

    [LibraryImport("libc", EntryPoint = "unlockpt")]
    private static partial int UnlockPt(int file);

    [LibraryImport("libc", EntryPoint = "ptsname_r")]
    private static partial int PtsName(int file, [Out] byte[] name, nuint length);
}
