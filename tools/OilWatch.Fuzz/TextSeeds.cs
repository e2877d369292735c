namespace OilWatch.Fuzz;

/// <summary>What random inputs of the text formats are made of.</summary>
internal static class TextSeeds
{
    public static string[] Can { get; } =
    [
        "(1436509052.249713) can0 123#DEADBEEF\n(1436509052.250000) can0 18FEEF00#FFFFFF4B0078FFFF\n",
        "(1436509052.249713) can0 0CF00400#FFFFFF6813FFFFFF\n(1436509052.350000) can1 123##3112233\n# a note\n",
        "(0.000001) can0 20000004#0004000000000000\n(0.000002) can0 123#R7\nDROPCOUNT: dropped 3 CAN frames\n",
        "t4563112233\rT12ABCDEF2AA55\rt1230\r",
    ];

    public static string[] Dbc { get; } =
    [
        "VERSION \"\"\nBU_: ECU\nBO_ 256 LE: 8 ECU\n SG_ Rpm : 0|16@1+ (0.125,0) [0|8000] \"rpm\" Vector__XXX\n",
        "BO_ 257 BE: 8 ECU\n SG_ M M : 7|8@0+ (1,0) [0|0] \"\" X\n SG_ P m1 : 15|16@0- (0.5,-40) [0|0] \"kPa\" X\nSIG_VALTYPE_ 257 P : 1;\nSG_MUL_VAL_ 257 P M 1-3;\n",
        "CM_ SG_ 256 Rpm \"two\nlines\";\nBA_DEF_ BO_ \"VFrameFormat\" ENUM \"StandardCAN\",\"J1939PG\";\nBA_ \"VFrameFormat\" BO_ 256 1;\n",
    ];

    public static string[] Car { get; } =
    [
        "[car]\nname = \"Number 27\"\n[engine]\ncylinders = 8\ncrank = \"flat-plane\"\nredline_rpm = 8000\n",
        "[oil]\ngrade = \"5W-50\"\n[channels.oil_pressure]\nsource = \"Oil Press\"\nunit = \"psi\"\n[limits.pressure_drop]\ncaution_ratio = 0.7\n",
        "[laps]\ngate = { latitude = 0.0, longitude = 0.0, heading_deg = 0.0, width_m = 20.0 }\n[[bands]]\nname = \"b\"\nkind = \"order\"\nfrom = 1\nto = 2\n",
    ];
}
