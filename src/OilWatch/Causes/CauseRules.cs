using System.Collections.Immutable;
using OilWatch.Alerts;
using static System.FormattableString;

namespace OilWatch.Causes;

/// <summary>Every test of every cause, with its threshold. <c>docs/causes.md</c> has the same as a table.</summary>
/// <remarks>
/// The signatures are common practice of the trade; the thresholds were set between what the synthesised runs of each cause show. They are starting points.
/// </remarks>
internal static class CauseRules
{
    private const double MostlyLoaded = 0.7;         // share of the drops that a load explains
    private const double OneWay = 0.6;             // share of the loaded drops in one direction
    private const double LeastLoadS = 0.3;         // oil takes as long to leave the pickup
    private const double ComesBackS = 12;           // an uncovered pickup is covered again soon after the corner
    private const double FellRatio = 0.08;         // a fall for good, as a ratio of healthy
    private const double FellFarRatio = 0.10;
    private const double HealthyRatio = 0.96;
    private const double SteadyScatter = 0.035;
    private const double LastsS = 10;
    private const double SurelyFellSigma = 12;
    private const double FlutterScatter = 0.020;
    private const double RestlessScatter = 0.025;      // steady systems up to 0.015
    private const double ManyfoldScatter = 0.012;
    private const double ManyfoldGrowth = 3;
    private const double SlightFall = 0.22;
    private const double FrothFall = 0.30;            // where froth explains it
    private const double StraysOfFall = 0.03;          // pumps and valves that fail take pressure steadily, mostly under 0.02 of what they take; air strays by 0.05 of it and more
    private const double StraysFarOfFall = 0.05;
    private const double FlutterBeyondDoubt = 60;
    private const double FlutterFaintly = 10;
    private const double StraysOfLeft = 0.02;          // of the pressure that is left: valves and pumps mostly up to 0.018, a pickup that draws air 0.023 and more
    private const double StraysOfLeftTimes = 2.5;      // what it was: valves and pumps mostly up to 1.8 (one 2.4, under load), a pickup that cracks 2.6 and more
    private const double StrayGrew = 0.010;
    private const double StrayGrewFar = 0.015;
    private const double StrayTimes = 1.4;
    private const double FrothLikely = -5;            // logarithm of a likelihood ratio: froth that is there goes down to -4.5, pumps that fail stay under -23
    private const double FrothUnlikely = -10;
    private const double FlutterSurely = 20;           // healthy runs reach 20 where the curve fits badly once the oil is hot
    private const double FlutterLikely = 16;
    private const double FlutterGrew = 0.4;            // logarithm of the variance
    private const double FlutterGrewBlind = 2;         // where oil temperature is not known
    private const double FlutterCertain = 40;
    private const double FlutterEvenly = 0.8;
    private const double FlutterShare = 0.007;       // of pressure: less than that a curve that fits a little worse can make
    private const double FlutterCalmShare = 0.6;       // air in the oil flutters without load too; air let in by a load does not
    private const double FewDrops = 3;
    private const double ManyDrops = 5;              // so many come under like loads by chance once in a hundred runs
    private const double MostCollapse = 0.5;         // of the falls that are grave
    private const double SomeUnloaded = 0.15;
    private const double MostGrave = 0.4;           // an uncovered pickup takes pressure deeper than air that is mixed into the oil
    private const double SurelyOneWay = 0.9;
    private const double FallsOffShare = 0.06;
    private const double NearTop = 0.90;
    private const double AtTheTop = 0.96;
    private const double ScatterGrowth = 1.7;
    private const double UnseenGrowth = 2;           // where no fall was deep enough for an alert
    private const double LoadBlind = 0.06;           // calm and loaded ratios as near as this: load does not matter
    private const double NextToNothing = 0.36;
    private const double LoadHelps = -0.005;         // pressure higher under load than without: no load uncovers the pickup
    private const double LoadMatters = 0.05;
    private const double HalfLoadMatters = 0.04;     // between some and much load, where nothing was calm at the same speeds
    private const double LoadGrew = 0.04;
    private const double LoadDoesNotMatter = 0.04;
    private const double FlatPower = 0.55;           // power of speed with which pressure rises
    private const double RampPower = 0.70;
    private const double PowerGrew = 0.35;
    private const double HolePower = 1.08;           // valves that stand open 1.12 to 1.47, pumps that fail up to 1.02
    private const double ValveGives = 0.24;          // held down at a level, but by a soft valve: a pump that still reaches the valve at the top looks the same
    private const double KindCertain = 50;           // load or unsteadiness cannot outweigh it: broken pickups, whose calm running looks like a lower valve, reach 36
    private const double KindSure = 5;              // logarithm of a likelihood ratio
    private const double HoleUnlikely = 3;
    private const double IdleKept = 0.85;
    private const double IdleLost = 0.75;
    private const double IdleSurelyLost = 0.50;
    private const double SensorShare = 0.5;
    private const double LeftByContact = 0.15;       // a contact that still carries current leaves a part of the reading; a pump that shears leaves none
    private const double LowLevelRatio = 0.85;
    private const double ValveKept = 0.95;           // opening pressure against the reference's: with thin oil it comes out within 5 % of the old one
    private const double ValveSurelyKept = 0.965;
    private const double ValveLost = 0.93;
    private const double ValveKnown = 0.89;          // with two standard errors at most it is above a worn engine's: those come out at 0.93 and less
    private const double ValveChanged = 5;           // logarithm of a likelihood ratio
    private const double KeptRamp = 0.9;             // of the reference's: neither thin oil nor wear leaves as much
    private const double NearlyKeptRamp = 0.8;         // where the fit alone says so, and idle says that nothing is lost
    private const double IdleAsItWas = 0.95;           // of the reference's, at like speed and temperature
    private const double IdleLostSince = 0.8;
    private const double TopKept = 0.8;                // of the reference's: wear that takes idle leaves 0.95 and more, valves that stick open 0.66 at most; in between both remain
    private const double TopLost = 0.9;
    private const double LosesAboveBySpeed = 0.2;
    private const double LosesAboveByThickness = 0.3;
    private const double MoreRampWithHole = 0.1;
    private const double LowOnlySure = 8;              // logarithm of a likelihood ratio: thinner oil reaches 1.4
    private const double Evenly = 0.05;
    private const double FarFromEven = 0.3;            // the shut valve's softness bends what is left near the plateau
    private const double ValveHardlyKnown = 0.06;      // standard error of the logarithm
    private const double OpensAtLess = 0.85;
    private const double OpenSinceSure = 20;         // logarithm of a likelihood ratio
    private const double SuddenlySure = 20;          // the same: parts that break or stick reach 30 and more, air that builds stays under 5
    private const double SlowlySure = -3;
    private const double ChangeSure = 8;             // standard errors
    private const double LatelyDecides = -0.5;       // correlation: what a pickup draws goes with the speed of the moment
    private const double LostByLately = 0.08;        // of healthy for each 1000 rpm
    private const double FallsPower = -0.4;          // power of engine speed: what no valve, pump or thinner oil makes
    private const double RosePower = -0.1;
    private const double TopOnly = 0.25;
    private const double SuddenTopFall = 0.15;
    private const double LingeringFall = 0.40;
    private const double BriefS = 2.0;               // what an uncovered pickup takes only a little of, it takes for a moment: longer and shallow is a curve that fits badly
    private const double LowRpm = 1000;
    private const double HighRpm = 3500;
    private const double Warm = 2;                   // times as thick as at 100 °C
    private const double IdleLow = 0.8;                // of pressure for each 1000 rpm at 2000 rpm: sound engines show 1.0 to 1.5
    private const double HeldLowShare = 0.7;
    private const double HeldPower = 0.3;
    private const double PracticeKpa = 68.9;         // 10 psi for each 1000 rpm: common practice, no source

    /// <summary>The rules, in the order in which equals are named.</summary>
    public static ImmutableArray<CauseRule> All { get; } =
    [
        new(Cause.PickupUncovered,
        [
            Must(s => s.Drops > 0 && (1 - s.Unloaded >= MostlyLoaded || CollapsesUnderOne(s)), s => 1 - s.Unloaded < MostlyLoaded ? "" : s.Drops == 1 ? "it came under sustained load" : Invariant($"{Percent(1 - s.Unloaded)} of {Times(s.Drops)} came under sustained load")),
            Must(s => s.LoadedS <= ComesBackS || CollapsesUnderOne(s), s => CollapsesUnderOne(s) ? Collapse(s) : s.Drops == 1 ? Invariant($"pressure came back after {s.LoadedS:F1} s") : Invariant($"pressure came back, after {s.LoadedS:F1} s (median)")),
            Must(s => ((s.FallRatio < FellRatio && !TakesFromTop(s)) || CollapsesUnderOne(s)) && !(s.After.IdleRatio < IdleSurelyLost), null),
            Must(s => s.Grave > 0 || s.Repeats > 0 || (s.Drops > 1 && s.LoadedS <= BriefS), null),
            Must(s => s.DoubtfulShare < SensorShare && !FaultsOutweigh(s) && !IsLost(s), null),
            Test(2, s => s.Main.Share >= OneWay || BothCorners(s) >= 0.8 || CollapsesUnderOne(s), s => CollapsesUnderOne(s)
                ? s.Directions[(int)s.Collapses.Under] >= OneWay ? "" : "it begins to fall before that load acts, at high engine speed, and less deep: oil comes back to the pickup more slowly than the pump draws it"
                : s.Main.Share >= OneWay
                ? Invariant($"{Percent(s.Main.Share)} of them {Where(s.Main.Direction)}") : "in corners both ways, not under braking or power"),
            Test(2, s => CollapsesUnderOne(s) ? null : Known(s.After.CalmRatio, s.After.CalmRatio >= HealthyRatio), s => Invariant($"without load pressure stood at {Percent(Math.Min(s.After.CalmRatio, 1))} of healthy")),
            Must(s => s.Grave > 0 ? !(IsLow(s) && FallsOff(s)) : !IsLow(s) && !FallsOff(s), null),
            Must(s => s.Grave > MostGrave * s.Drops || !(FluttersEverywhere(s) || IsRestless(s)), null),
            Must(s => !(s.LoadBeforeS < LeastLoadS / 2) && !Fades(s), null),
            Test(5, s => FallsOff(s) || CollapsesUnderOne(s) ? null : !IsUnsteady(s) && !StraysAndFlutters(s), null),
            Test(3, s => CollapsesUnderOne(s) ? null : !s.Fell, null),
            Test(3, s => CollapsesUnderOne(s) ? null : !Flutters(s), null),
            Test(2, s => FallsOff(s) || CollapsesUnderOne(s) ? null : Known(s.After.LoadGap, s.After.LoadGap >= LoadHelps), null),
            Test(2, s => !DropsNearTop(s), null),
            Test(1, s => Known(s.LoadBeforeS, s.LoadBeforeS >= LeastLoadS), s => Invariant($"the load had acted for {s.LoadBeforeS:F1} s (median) before pressure fell")),
        ]),
        new(Cause.AirInOil,
        [
            Must(s => IsUnsteady(s) || Flutters(s) || StraysAndFlutters(s),
                s => !IsUnsteady(s) && !StraysAndFlutters(s) ? "" : HasParts(s)
                    ? Invariant($"pressure became unsteady at {Since(s):F0} s without load: it strays by {Percent(s.After.Scatter)} at equal speed where it strayed by {Percent(s.Before.Scatter)}")
                    : Invariant($"pressure strays by {Percent(s.After.Scatter)} at equal speed without load")),
            Must(s => !(Math.Abs(s.After.LoadGap) > LoadBlind) || Lingers(s), s => Known(s.After.LoadGap, true) is null
                ? "no load explains it" : Math.Abs(s.After.LoadGap) > LoadBlind ? "" : Invariant($"load makes no difference to it ({SignedPercent(s.After.LoadGap)} at equal speed)")),
            Must(s => s.PressureFaults + s.Steps <= 1 && s.DoubtfulShare < SensorShare, null),
            Must(s => Lingers(s) || BuiltUp(s) ? s.FallRatio < LingeringFall : s.FallRatio < (IsFroths(s) ? FrothFall : SlightFall) && !(s.Kind.FrothEvidence <= FrothUnlikely), s => IsFroths(s) && s.Fell ? "froth, which takes more the faster the engine turns, explains pressure since then about as well as anything does" : ""),
            Must(s => Flutters(s) || StraysAndFlutters(s) || (!DropsNearTop(s) && !(s.DropRpm >= AtTheTop * s.Before.TopRpm)), null),
            Must(s => s.Drops > 0 || Flutters(s) || StraysAndFlutters(s) || (HasParts(s) && !FallsOff(s) && s.After.Scatter >= UnseenGrowth * s.Before.Scatter), null),
            Must(s => Lingers(s) || !(TakesFromTop(s) || FallsWithSpeed(s)), s => Lingers(s)
                ? Invariant($"at equal engine speed it loses {Percent(s.After.LostByLately)} more for each 1000 rpm that the engine turned faster in the seconds before: air that was whipped in leaves the oil slowly") : ""),
            Must(s => s.Drops > 0 || !IsBelowPractice(s), null),
            Must(s => IsUnsteady(s) || StraysAndFlutters(s) || !Lasts(s), null),
            Must(s => IsUnsteady(s) || StraysAndFlutters(s) || s.Unloaded >= SomeUnloaded || s.Grave <= MostGrave * s.Drops, null),
            Must(s => (Lingers(s) && FluttersWithoutLoad(s)) || (IsRestless(s) && s.Main.Direction == LoadDirection.Accelerating && s.Grave <= MostGrave * s.Drops) || !(s.Drops >= FewDrops && s.Main.Share >= SurelyOneWay && s.Unloaded <= 1 - SurelyOneWay), null),
            Must(s => !CollapsesUnderOne(s) && !IsLost(s) && !IsOpenSince(s), null),
            Test(2, s => Known(s.After.IdleRatio, s.After.IdleRatio >= IdleKept), s => Invariant($"at idle pressure stays at {Percent(Math.Min(s.After.IdleRatio, 1))} of healthy")),
            Test(2, s => s.Drops == 0 ? null : Known(s.After.CalmRatio, s.After.CalmRatio is >= 0.6 and < 0.995), s => Invariant($"above 2500 rpm it stands at {Percent(s.After.CalmRatio)} of healthy")),
            Test(1, s => s.Drops == 0 || s.Main.Share < OneWay || s.Main.Direction == LoadDirection.Accelerating || s.Unloaded > 1 - MostlyLoaded, s => s.Main.Share >= OneWay && s.Main.Direction == LoadDirection.Accelerating ? "its falls come on the straights, where the engine turns fast" : s.Drops == 0 ? "" : "its falls come in no one direction"),
            Test(3, s => FluttersEverywhere(s) ? true : null, null),
            Test(4, s => Flutters(s) || StraysAndFlutters(s) || IsRestless(s), s => !Flutters(s) && !StraysAndFlutters(s) ? "" : Invariant($"at steady speed it flutters {Math.Exp(s.Flutter.Growth / 2):F1} times as much as before {s.FlutterAtS:F0} s, without load too")),
        ]),
        new(Cause.PickupBroken,
        [
            Must(s => s.FallRatio >= FellRatio - 0.01 || TakesFromTop(s) || IsLostErratically(s), s => IsLostErratically(s) ? Lost(s) : FellFor(s)),
            Must(s => !Lingers(s) && (TakesFromTop(s) || !CameSlowly(s) || s.Kind.FrothEvidence <= FrothUnlikely), s => TakesFromTop(s)
                ? Invariant($"it came within seconds at {s.Course.FromS:F0} s, and takes {Percent(s.Course.TopFall)} near the top of the speeds driven and {Percent(Math.Max(s.Course.LowFall, 0))} at low ones: pressure falls as the engine turns faster, as where a pickup draws air above a flow") : ""),
            Must(s => s.LongestS >= LastsS / 2 || TakesFromTop(s) || IsLostErratically(s), s => s.LongestS < LastsS / 2 || IsLostErratically(s) ? "" : Invariant($"the longest fall lasted {s.LongestS:F0} s")),
            Must(s => LoadCounts(s) || s.After.Ratio <= NextToNothing || DrawsAir(s) || TakesFromTop(s) || DrawsAirSinceFall(s) || IsLostErratically(s), s => TakesFromTop(s) || IsLostErratically(s) ? "" : !LoadCounts(s) && s.After.Ratio > NextToNothing && DrawsAirSinceFall(s)
                ? Invariant($"since then what is left strays by {100 * StrayGrown(s) / s.After.Ratio:F1} % more than before at equal speed, without load too: what the pump is given is mixed with air, and a valve or a pump takes pressure steadily")
                : !LoadCounts(s) && s.After.Ratio > NextToNothing
                ? Invariant($"since then it strays by {Percent(s.After.Scatter)} at equal speed where it strayed by {Percent(s.Before.Scatter)}, without load too: air reaches the pump, and froth would take more at high speed and less in all")
                : !LoadCounts(s)
                ? Invariant($"next to nothing is left ({Percent(s.After.Ratio)} of healthy): a pickup that is off draws air under any load")
                : Invariant($"since then load takes another {Percent(TakenByLoad(s.After))} at equal speed{(double.IsNaN(TakenByLoad(s.Before)) ? "" : $"; before it took {Percent(Math.Max(TakenByLoad(s.Before), 0))}")}")),
            Must(s => s.DoubtfulShare < SensorShare && !CollapsesUnderOne(s), null),
            Must(s => TakesFromTop(s) || DrawsAirSinceFall(s) || (!IsCertainlyValves(s) && (s.Grave > 0 || !FluttersEverywhere(s))), null),
            Test(2, s => IsLostErratically(s) ? null : Known(s.Before.Ratio, s.Before.Ratio >= HealthyRatio), s => Invariant($"before that it stood at {Percent(Math.Min(s.Before.Ratio, 1))} of healthy under the same loads")),
            Test(1, s => IsLostErratically(s) && s.LongestS <= ComesBackS ? null : s.Main.Share < 0.9 || s.Unloaded > 1 - MostlyLoaded || s.LongestS > ComesBackS, s => "it is lost under every load, not in one kind of corner"),
        ]),
        new(Cause.ReliefValve,
        [
            Must(s => s.FallRatio >= FellFarRatio || IsOpenSince(s), s => IsOpenSince(s) ? OpenSince(s) : FellFor(s)),
            Must(s => Lasts(s) || IsOpenSince(s), s => s.LongestS < LastsS ? "" : Invariant($"the longest fall lasted {s.LongestS:F0} s")),
            Must(s => !FallsWithSpeed(s) && !Lingers(s) && (!CameSlowly(s) || !Grew(s)) && !(s.Kind.FrothEvidence >= KindSure && FluttersEverywhere(s)), null),
            Must(s => IsCertainlyValves(s) || !(IsUnsteady(s) || StraysLikeAir(s)), null),
            Must(s => IsCertainlyValves(s) || HasHole(s) || !Fades(s), null),
            Must(s => !LostEvenly(s), null),        // a valve takes nothing where it was shut
            Must(s => !(CameSuddenly(s) && FluttersSinceFall(s)) && !IsLostErratically(s), null),
            Must(s => IsCertainlyValves(s) || !(Math.Abs(TakenByLoad(s.After)) >= LoadDoesNotMatter), s => Known(s.After.LoadGap, true) is null || Math.Abs(s.After.LoadGap) >= LoadDoesNotMatter ? "no load explains it" : Invariant($"load makes no difference to it ({SignedPercent(s.After.LoadGap)})")),
            Must(s => s.DoubtfulShare < SensorShare, null),
            Must(s => IsValves(s) || !double.IsNaN(s.After.SpeedPower), null),
            Must(s => IsValves(s) || !FallsOff(s) || s.After.IdleRatio >= IdleKept, null),     // a pump that cavitates holds pressure down at the top too
            Must(s => IsValves(s) || !(s.After.IdleRatio < IdleSurelyLost), s => IsOpenSince(s)
                ? (double.IsNaN(s.Level.Change.IdleRatio) ? "" : Invariant($"at idle it is {Percent(s.Level.Change.IdleRatio)} of that in {s.Level.ReferenceName}")) : double.IsNaN(s.After.IdleRatio) ? "" : Invariant($"at idle it is still {Percent(Math.Min(s.After.IdleRatio, 1))} of healthy")),
            Test(3, s => IsPumps(s) ? false : IsValves(s) ? true : Known(s.After.SpeedPower, HeldDown(s)), s => IsOpenSince(s) ? "" : RisesBeyondSpeed(s)
                ? Invariant($"since then it rises faster than engine speed (power {s.After.SpeedPower:F2}; a pump that delivers less leaves 1 at most): a hole beside the clearances, which takes most where little is delivered")
                : IsValves(s) && (HasHole(s) || s.Kind.HoleEvidence > s.Kind.ValveEvidence)
                ? "a relief valve that sticks partly open explains pressure since then at every speed and oil temperature, and a pump that delivers less does not"
                : IsValves(s)
                ? Invariant($"a relief valve that opens at {Percent(s.Kind.Relief)} of what it did explains pressure since then at every speed and oil temperature, and a pump that delivers less does not")
                : Invariant($"since then it hardly rises with engine speed (power {s.After.SpeedPower:F2}; 1 is a ramp, 0 is flat): it is held down at a level")),
            Test(1, s => Known(s.After.Scatter, s.After.Scatter < SteadyScatter), s => Invariant($"it is steady (strays by {Percent(s.After.Scatter)})")),
        ]),
        new(Cause.PumpDamage,
        [
            Must(s => s.FallRatio >= FellFarRatio, FellFor),
            Must(Lasts, s => s.LongestS < LastsS ? "" : Invariant($"the longest fall lasted {s.LongestS:F0} s")),
            Must(s => !StraysLikeAir(s) && !FluttersSinceFall(s) && !IsLostErratically(s) && (!IsUnsteady(s) || (IsPumps(s) && IdleIsLost(s))), null),
            Must(s => !IsFroths(s) && !TakesFromTop(s) && !Lingers(s) && !MayHaveThinned(s), null),
            Must(s => !(Math.Abs(TakenByLoad(s.After)) >= LoadDoesNotMatter), s => Known(s.After.LoadGap, true) is null ? "no load explains it" : Invariant($"load makes no difference to it ({SignedPercent(s.After.LoadGap)})")),
            Must(s => s.DoubtfulShare < SensorShare, null),
            Must(s => !double.IsNaN(TakenByLoad(s.After)), null),        // a pickup that is off shows only in what load takes
            Test(3, s => IsPumps(s) || (double.IsNaN(s.Kind.ValveEvidence) && (IdleIsLost(s) || Rises(s))), s => IsPumps(s)
                ? Invariant($"a pump that delivers {Percent(s.Kind.Delivery)} of what it did explains pressure since then at every speed and oil temperature, and a relief valve that opens at less does not")
                : IdleIsLost(s)
                ? Invariant($"it is lost at idle too ({Percent(s.After.IdleRatio)} of healthy), where no relief valve works")
                : Invariant($"since then it rises with engine speed (power {s.After.SpeedPower:F2}; 1 is a ramp, 0 is flat) without reaching the relief valve")),
            Test(1, s => Known(s.After.Scatter, s.After.Scatter < SteadyScatter), s => Invariant($"it is steady (strays by {Percent(s.After.Scatter)})")),
        ]),
        new(Cause.RestrictedPickup,
        [
            Must(FallsOff, FallsOffText),
            Must(s => !IsLow(s) && !Flutters(s), null),
            Must(s => s.Drops > 0 && s.Grave == 0 && s.PressureFaults == 0, s => "none was deep or long enough for a caution"),
            Must(DropsNearTop, s => Invariant($"its falls come near the top of the speeds driven ({s.DropRpm:F0} rpm, median)")),
            Must(s => s.FallRatio < FellRatio && s.LongestS < LastsS, null),
            Must(s => s.DoubtfulShare < SensorShare, null),
            Test(2, s => s.Main.Share < OneWay || s.Unloaded > 1 - MostlyLoaded, s => "no one direction of load goes with it"),
        ]),
        new(Cause.Sensor,
        [
            Must(s => s.PressureFaults + s.FaultsJudgedBy + s.Steps > 0 || IsContacts(s), s => IsContacts(s) ? Contacts(s) : Invariant($"{Faults(s)}")),
            Must(s => IsContacts(s) || s.Drops == 0 || s.DoubtfulShare >= SensorShare || FaultsOutweigh(s), s => IsContacts(s) ? "" : s.Drops == 0
                ? "no loss of oil pressure beside them" : s.DoubtfulShare < SensorShare
                ? Invariant($"beside them {Times(s.Drops)}, none deep or long enough for a caution") : Invariant($"{s.Doubtful} of {Times(s.Drops)} lie at a sensor fault or come and go in one reading each way, faster than oil can")),
            Test(1, s => s.FallRatio < FellFarRatio || IsContacts(s), null),
        ]),
        new(Cause.ThinOil,
        [
            Must(s => (IsLow(s) || Fades(s)) && !IsOpenSince(s) && !HasHole(s), LowerThan),
            Must(s => s.Grave == 0 || DropsNearTop(s) || ThinsOut(s) || Fades(s), null),
            Test(3, s => FadesUnseen(s) ? Decided(s.Matched.Shift.IsEven, s.Matched.Shift.IsGrownWithinRun) : Known(s.Level.Change.Evidence, !LosesLowSpeed(s) && !(s.Level.Change.Shift is { IsKnown: true, IsEven: false }) && (ValveIsOld(s.Level.Change) || LosesEvenly(s) || (s.Level.Change.Shift.IsEvenEitherWay && IsValveUnseen(s.Level.Change)))), s => FadesUnseen(s)
                ? Evened(s)
                : LosesEvenly(s)
                ? "as much is lost at every speed: it is no valve that opens at less, which would take more near the top, but what thinner oil does (larger clearances beside a valve as good as new would look the same)"
                : Invariant($"{Compared(s.Level.Change)}: valve and pump are as they were, and the rest is what thinner oil does (larger clearances beside a valve as good as new would look the same)")),
        ]),
        new(Cause.Wear,
        [
            Must(s => LosesLowSpeed(s) || IdlesLow(s) || ((IsLow(s) || Fades(s)) && !IsOpenSince(s) && !HasHole(s)), LowerThan),
            Must(s => s.Grave == 0 || DropsNearTop(s) || ThinsOut(s) || Fades(s), null),
            Test(3, s => IdlesLow(s) ? true : FadesUnseen(s) ? Decided(s.Matched.Shift.IsGrownWithinRun, s.Matched.Shift.IsEven) : Known(s.Level.Change.Evidence, LosesLowSpeed(s) || HasGrown(s) || (ValveIsLower(s.Level.Change) && !LosesEvenly(s))), s => IdlesLow(s) ? "" : FadesUnseen(s)
                ? Grown(s.Matched.Shift)
                : HasGrown(s)
                ? Grown(s.Level.Change.Shift)
                : LosesLowSpeed(s)
                ? Invariant($"most is lost at low speed{(double.IsNaN(s.Level.Change.IdleRatio) ? "" : Invariant($" (at idle {Percent(s.Level.Change.IdleRatio)} is left)"))}, more there than thinner oil takes, and little near the top: clearances or pump (a relief valve that sticks a little open would look the same)")
                : Invariant($"{Compared(s.Level.Change)}: thinner oil alone would leave the valve where it was")),
        ]),
    ];

    /// <summary>True when a loose connector, a chafed wire or a bad ground explains what pressure did: it stepped up and down within single readings, and what was lost is no more than such a step; or it chattered as no oil does, and something is left; or it flutters, nothing grave fell, and the flutter is quicker than oil's.</summary>
    public static bool IsContacts(Signature s) => !AnswersToLoad(s)
        && ((s.Contact.IsLoose && s.Deeper <= (1 - SensorShare) * s.Drops && s.FallRatio <= Math.Max(s.StepShare, FellRatio))
            || (s.Contact.Chatters && !(s.Fell && s.After.Ratio < LeftByContact))
            || (s.Contact.Prickles && s.Grave == 0 && s.FallRatio < FellRatio && (Flutters(s) || StraysAndFlutters(s))));

    /// <summary>True when many falls come under load, and in one kind of corner or in corners both ways alone: a contact knows nothing of that.</summary>
    private static bool AnswersToLoad(Signature s) =>
        s.Drops >= ManyDrops && s.Unloaded <= 1 - SurelyOneWay && (s.Main.Share >= SurelyOneWay || BothCorners(s) >= SurelyOneWay);

    /// <summary>True when pressure was deeply lost after little of the like, and never came back: no pickup that a load uncovers, for which nothing but time is asked.</summary>
    public static bool IsLost(Signature s) => double.IsFinite(s.LostAtS) && s.Grave <= FewDrops;

    /// <summary>True when what was left of it came in slugs: air with some oil, as a pickup draws it that is off.</summary>
    private static bool IsLostErratically(Signature s) => IsLost(s) && s.LostErratically;

    private static string Lost(Signature s) => Invariant(
        $"at {s.LostAtS:F0} s pressure was lost and had not come back when the engine slowed; what was left strayed by an eighth of itself and more within a second: air with some oil, and a pump or a valve takes pressure steadily");

    /// <summary>True when the level is below the reference with the relief valve shut; at low speed where that is not known.</summary>
    public static bool IsLow(Signature s) =>
        s.Level.Change.Shift.IsLow || (double.IsNaN(s.Level.Change.Evidence)
        ? s.Level.LowRatio <= LowLevelRatio : !IsAsItWas(s) && s.Level.Change.Ramp * Math.Exp(2 * s.Level.Change.RampSigma) <= LowLevelRatio);

    /// <summary>True when neither the curve nor regions of like speed and oil show any loss with the valve shut: a fit that finds one all the same has gone astray.</summary>
    private static bool IsAsItWas(Signature s) => s.Level.Change.Shift.Level >= MatchedFall.SureLevel && s.Level.LowRatio >= IdleAsItWas;

    /// <summary>True when clearances have grown since the reference, by where pressure was lost.</summary>
    private static bool HasGrown(Signature s) => s.Level.Change.Shift.IsGrown && !ValveIsLower(s.Level.Change);

    /// <summary>True when the reference shows that the relief valve opened at far less, or stood partly open, from the begin of the run on, and nothing else changed.</summary>
    private static bool IsOpenSince(Signature s) => !s.Fell && (IsHeldLow(s) || s.Level.Change.Shift is { IsLow: true, IsHole: true } || MayBeOpenSince(s) || (SticksOpen(s.Level.Change) && !(s.Level.TopRatio >= TopLost))
        || (s.Level.Change is { Evidence: >= OpenSinceSure, Relief: <= OpensAtLess } && (KeepsRamp(s.Level.Change) || LosesFromAbove(s.Level.Change.Shift)) && !(s.Level.Change.HoleEvidence > 0)));

    /// <summary>True when with the valve once shut more is lost the higher pressure stood: at speed and in cold oil, and nothing where it was low. That a valve takes which opens at less.</summary>
    private static bool LosesFromAbove(RampShift shift) => shift is { Level: >= MatchedFall.SureLevel, BySpeed: <= -LosesAboveBySpeed, ByThickness: <= -LosesAboveByThickness };

    /// <summary>True when regions of like speed and oil leave valve and wear open, and the flow balance is sure of the valve.</summary>
    private static bool MayBeOpenSince(Signature s) => s.Level.Change is { HoleEvidence: >= OpenSinceSure, Shift: { IsLow: true, MayBeHole: true } } && !(s.Level.TopRatio >= TopLost);

    /// <summary>True when pressure is good at low speed and then held down at a level far below the rule of thumb, and there is no reference to say what is usual.</summary>
    public static bool IsHeldLow(Signature s) => s.Level is { ReferenceName: null, LowPerThousandRpmKpa: >= PracticeKpa, TopPerThousandRpmKpa: <= HeldLowShare * PracticeKpa, TopPower: <= HeldPower };

    /// <summary>True when pressure at idle is far lower than what speed alone takes, and under the rule of thumb, and there is no reference to say what is usual.</summary>
    private static bool IdlesLow(Signature s) => !s.Fell && !Fades(s) && s.Level is { ReferenceName: null, IdleShare: <= IdleLow } && s.Level.IdleShare * s.Level.LowPerThousandRpmKpa <= PracticeKpa;

    /// <summary>True when pressure with the valve shut is as it was: by the fit of all speeds, or nearly so by it and at idle by itself.</summary>
    private static bool KeepsRamp(EngineChange change) => change.Ramp >= KeptRamp || change is { Ramp: >= NearlyKeptRamp, IdleRatio: >= IdleAsItWas };

    /// <summary>True when far more was lost at low speed than thinner oil takes there, and hardly anything near the top.</summary>
    private static bool LosesLowSpeed(Signature s) => !s.Fell && !s.Level.Change.Shift.IsHole && s.Level is { TopRatio: >= TopKept, Change.HoleEvidence: >= LowOnlySure }
        && s.Level.Change.HoleRamp >= s.Level.Change.Ramp + MoreRampWithHole && s.Level.LowRatio <= LowLevelRatio && !(s.Level.Change.IdleRatio > IdleLostSince);

    /// <summary>True when as much is lost at every speed, which a valve that opens at as much less as the fit says cannot leave: the curve's own bend was taken for the valve's.</summary>
    private static bool LosesEvenly(Signature s) => ValveIsLower(s.Level.Change) && s.Level.Change.Relief <= s.Level.Change.Ramp + Evenly
        && Math.Abs(s.Level.MiddleRatio - s.Level.LowRatio) <= Evenly
        && s.Level.TopRatio >= Math.Max(Math.Max(s.Level.LowRatio, s.Level.MiddleRatio), s.Level.Change.Relief + Evenly);

    /// <summary>True when the reference shows a relief valve that sticks partly open.</summary>
    private static bool SticksOpen(EngineChange change) => change is { HoleEvidence: >= OpenSinceSure, HoleRamp: >= KeptRamp };

    /// <summary>True when what took pressure came within seconds.</summary>
    private static bool CameSuddenly(Signature s) => s.Course.SuddenEvidence >= SuddenlySure && s.Course.Sigma >= ChangeSure;

    /// <summary>True when it built up over a minute or more. Where what is expected followed the fall, the ratio says nothing of how it came.</summary>
    private static bool CameSlowly(Signature s) => double.IsNaN(s.MeasuredFall) && s.Course.SuddenEvidence <= SlowlySure && s.Course.TookS >= ChangeCourse.SlowS && s.Course.Sigma >= ChangeSure;

    /// <summary>True when it built up so and thinner oil, or larger clearances, take about as much: a pump that breaks does so within seconds.</summary>
    private static bool MayHaveThinned(Signature s) => Fades(s) || (CameSlowly(s) && !(s.Kind.ThinEvidence < SlowlySure));

    /// <summary>True when pressure is lower the faster the engine turned in the last seconds, at equal speed now: air that was whipped in stays in the oil, and nothing else does.</summary>
    private static bool Lingers(Signature s) => HasParts(s) && Grew(s) && !(s.Flutter.CalmGrowth < FlutterCalmShare / 2 * s.Flutter.Growth) && s.After.LatelyCorrelation <= LatelyDecides && s.After.LostByLately >= LostByLately && !(s.Before.LatelyCorrelation >= -LatelyDecides / 2);

    /// <summary>True when it built up slowly, strays and flutters everywhere, and froth explains it: air that gathers.</summary>
    private static bool BuiltUp(Signature s) => CameSlowly(s) && IsFroths(s) && FluttersEverywhere(s) && StrayGrown(s) >= StraysFarOfFall * s.FallRatio;

    /// <summary>True when one grave fall built up slowly and lasts, steadily, as the oil thinned or clearances grew during the run.</summary>
    private static bool ThinsOut(Signature s) => s.Grave == 1 && Lasts(s) && CameSlowly(s) && !IsUnsteady(s) && !StraysAndFlutters(s) && !FluttersEverywhere(s) && !Lingers(s)
        && s.Kind.ThinEvidence >= FrothUnlikely && s.Kind.FrothEvidence < KindSure;

    /// <summary>True when pressure faded within the run at like engine speed and oil temperature, not at once, steadily and whatever the load: as where the oil thins or clearances grow.</summary>
    private static bool Fades(Signature s) => s.Matched.IsSure && !(s.Matched.Shift.Level > MatchedFall.SureLevel) && !CameSuddenly(s) && !(s.Fell && s.Course.TookS <= ChangeCourse.SuddenS) && !IsUnsteady(s) && !StraysAndFlutters(s)
        && StrayGrown(s) < Math.Max(StrayGrewFar, StraysFarOfFall * (1 - Math.Exp(s.Matched.Level))) && !Lingers(s) && !IsLostErratically(s) && !CollapsesUnderOne(s) && !(TakenByLoad(s.After) >= LoadDoesNotMatter);

    /// <summary>True when it did and there is no reference to hold it against.</summary>
    private static bool FadesUnseen(Signature s) => Fades(s) && double.IsNaN(s.Level.Change.Evidence) && !s.Level.Change.Shift.IsKnown;

    /// <summary>True when as much was lost at once where the relief valve was shut as anywhere.</summary>
    private static bool LostEvenly(Signature s) => s.Fell && CameSuddenly(s) && s.Kind.Shift is { IsLow: true, IsEven: true } && s.Kind.Shift.BySpeed >= -FarFromEven && s.After.IdleRatio < IdleLost;

    /// <summary>True when a valve that stands partly open is what took most at low speed since pressure fell.</summary>
    private static bool HasHole(Signature s) => s.Fell && (s.Kind.Shift is { IsLow: true, IsHole: true } || RisesBeyondSpeed(s));

    /// <summary>True when pressure since the fall rises faster than engine speed, steadily, and idle is lost: an orifice beside the clearances; what a pump delivers grows with speed at most.</summary>
    private static bool RisesBeyondSpeed(Signature s) => s.After.SpeedPower >= HolePower && !CameSlowly(s) && !(s.Before.SpeedPower >= RampPower) && !(s.After.IdleRatio >= IdleLost) && !IsUnsteady(s) && !StraysLikeAir(s) && !FluttersSinceFall(s);

    /// <summary>True when pressure collapses under one load alone, deeper while the engine slows, and comes back with the load: neither a flow nor froth nor a part that broke does that.</summary>
    public static bool CollapsesUnderOne(Signature s) =>
        s.MindsAlone != LoadDirection.None && s.MindsAlone == s.Collapses.Under && s.Collapses.Count >= FewDrops && s.Collapses.Count >= MostCollapse * s.Grave;

    /// <summary>True when pressure falls as the engine turns faster, and did not before.</summary>
    public static bool FallsWithSpeed(Signature s) => HasParts(s) && s.After.SpeedPower <= FallsPower && s.Before.SpeedPower >= RosePower;

    /// <summary>True when pressure was suddenly taken from the highest speeds and hardly from low ones.</summary>
    private static bool TakesFromTop(Signature s) => CameSuddenly(s) && FallsWithSpeed(s) && !Lingers(s) && !(s.After.IdleRatio < IdleSurelyLost)
        && s.Course.TopFall >= SuddenTopFall && s.Course.TopFall - s.Course.LowFall >= TopOnly;

    /// <summary>True when the level is below the rule of thumb and there is no reference to say what is usual.</summary>
    public static bool IsBelowPractice(Signature s) => double.IsNaN(s.Level.LowRatio) && s.Level.PerThousandRpmKpa < PracticeKpa;

    /// <summary>True when pressure falls off near the top of the speeds driven.</summary>
    public static bool FallsOff(Signature s) => s.Before.TopFall >= FallsOffShare && s.Before.TopRpm >= 4000;

    /// <summary>True when the falls of pressure come near the top of a curve that falls off.</summary>
    private static bool DropsNearTop(Signature s) => FallsOff(s) && s.DropRpm >= NearTop * s.Before.TopRpm;

    /// <summary>True when pressure is lost at idle: far, or less far while it still rises with speed.</summary>
    private static bool IdleIsLost(Signature s) => s.After.IdleRatio < IdleSurelyLost || (s.After.IdleRatio < IdleLost && !(s.After.SpeedPower <= FlatPower));

    /// <summary>The sentence for it.</summary>
    public static string FallsOffText(Signature s) => Invariant($"pressure falls off by {Percent(s.Before.TopFall)} towards {s.Before.TopRpm:F0} rpm");

    /// <summary>True when the pressure sensor failed far more often than pressure fell, and no fall was grave.</summary>
    private static bool FaultsOutweigh(Signature s) => s.Drops > 0 && s.Grave == 0 && s.PressureFaults >= (s.Drops == 1 ? 1 : 3 * s.Drops);

    /// <summary>True when load takes pressure that it did not take before.</summary>
    private static bool LoadCounts(Signature s) => double.IsNaN(s.After.LoadGap)
        ? s.After.HalfLoadGap >= HalfLoadMatters && !(s.After.HalfLoadGap - s.Before.HalfLoadGap < LoadGrew)
        : s.After.LoadGap >= LoadMatters && !(s.After.LoadGap - s.Before.LoadGap < LoadGrew);

    /// <summary>What load takes of pressure: between calm and much, or between some and much where nothing was calm.</summary>
    private static double TakenByLoad(SignaturePart part) => double.IsNaN(part.LoadGap) ? part.HalfLoadGap : part.LoadGap;

    /// <summary>True when pressure rises with speed towards a relief valve that it did reach before.</summary>
    private static bool Rises(Signature s) => s.After.SpeedPower >= RampPower && !(s.After.SpeedPower - s.Before.SpeedPower < PowerGrew);

    /// <summary>True when the fall is the relief valve's, at all speeds and oil temperatures together.</summary>
    private static bool IsValves(Signature s) => !LostEvenly(s) && (IsOpenSince(s) || HasHole(s) || s.Kind.ValveEvidence >= KindSure || s.Kind.HoleEvidence >= KindSure);

    /// <summary>True when it is so surely the relief valve's that neither load nor unsteadiness speaks against it.</summary>
    private static bool IsCertainlyValves(Signature s) => !LostEvenly(s) && (IsOpenSince(s) || s.Kind.ValveEvidence >= KindCertain || s.Kind.HoleEvidence >= KindCertain);

    /// <summary>True when froth that grows with engine speed explains the fall as well as any part that fails.</summary>
    private static bool IsFroths(Signature s) => s.Kind.FrothEvidence > FrothLikely;

    /// <summary>What came to the scatter of calm pressure: sensor noise and a curve that fits badly are in both parts.</summary>
    private static double StrayGrown(Signature s) => Math.Sqrt(Math.Max(0, (s.After.Scatter * s.After.Scatter) - (s.Before.Scatter * s.Before.Scatter)));

    /// <summary>True when pressure not only fell but strays in proportion, and flutters without load as well: what the pump is given is mixed with air.</summary>
    private static bool StraysLikeAir(Signature s) =>
        s.Fell && s.Flutter.CalmGrowth >= FlutterEvenly * s.Flutter.Growth
        && StrayGrown(s) >= StraysOfFall * s.FallRatio
        && (s.Flutter.Sigma >= FlutterBeyondDoubt
            || (IsFroths(s) && (s.Flutter.Sigma >= FlutterSurely || (s.Flutter.Sigma >= FlutterFaintly && StrayGrown(s) >= StraysFarOfFall * s.FallRatio))));

    /// <summary>True when what a fall left strays manyfold and flutters as much without load: what the pump is given is mixed with air. Valves and pumps take pressure steadily.</summary>
    private static bool FluttersSinceFall(Signature s) =>
        s.Fell && Grew(s) && s.Flutter.Sigma >= FlutterBeyondDoubt && s.Flutter.CalmGrowth >= FlutterEvenly * s.Flutter.Growth
        && StrayGrown(s) >= StraysOfLeft * s.After.Ratio && s.After.Scatter >= StraysOfLeftTimes * s.Before.Scatter;

    /// <summary>True when the fall was deeper than froth's besides, and did not come slowly as froth does.</summary>
    private static bool DrawsAirSinceFall(Signature s) => FluttersSinceFall(s) && s.FallRatio >= FrothFall && !CameSlowly(s);

    /// <summary>True when it strays so, and froth does not take as much or as little.</summary>
    private static bool DrawsAir(Signature s) => StraysLikeAir(s) && StrayGrown(s) >= StraysFarOfFall * s.FallRatio && (s.Kind.FrothEvidence <= FrothUnlikely || s.FallRatio >= FrothFall);

    /// <summary>True when pressure strays more than it did and flutters more, without load too: either alone may be a curve that fits badly.</summary>
    private static bool StraysAndFlutters(Signature s) => HasParts(s) && (StraysLikeAir(s)
        || (StrayGrown(s) >= StrayGrew && s.After.Scatter >= StrayTimes * s.Before.Scatter && Grew(s)
            && (double.IsNaN(s.Flutter.CalmGrowth)
                ? s.Drops == 0 && s.Flutter.NearGrowth >= FlutterGrew && s.Flutter.Sigma >= FlutterFaintly / 2
                : s.Flutter.Sigma >= FlutterFaintly && s.Flutter.CalmGrowth >= (s.Drops == 0 ? FlutterCalmShare : FlutterEvenly) * s.Flutter.Growth)));

    /// <summary>True when flutter grew by more than a curve that fits a little worse makes.</summary>
    private static bool Grew(Signature s) => s.Flutter.Growth >= (s.Level.KnowsTemperature ? FlutterGrew : FlutterGrewBlind) && s.Flutter.Share >= FlutterShare;

    /// <summary>True when it is the pump's.</summary>
    private static bool IsPumps(Signature s) => LostEvenly(s) || (!HasHole(s) && s.Kind.ValveEvidence <= -KindSure && s.Kind.HoleEvidence <= -HoleUnlikely);

    /// <summary>True when pressure hardly rises with speed any more.</summary>
    private static bool HeldDown(Signature s) =>
        s.After.SpeedPower <= FlatPower && (double.IsNaN(s.MeasuredFall) || !(s.After.SpeedPower - s.Before.SpeedPower >= ValveGives));

    /// <summary>What remains of a fall for good that no rule names: what explains pressure nearly as well as the likeliest change, and a pickup, of which the flow balance knows nothing.</summary>
    public static ImmutableArray<Cause> Weighed(Signature s)
    {
        FallKind kind = s.Kind;
        double valve = Math.Max(kind.ValveEvidence, kind.HoleEvidence);
        var left = ImmutableArray.CreateBuilder<Cause>();
        if (s.Unloaded < 1 && s.LoadedS <= ComesBackS && !IsLost(s)) left.Add(Cause.PickupUncovered);
        if (!Lingers(s)) left.Add(Cause.PickupBroken);
        if ((valve < KindSure || LostEvenly(s)) && !(kind.FrothEvidence > KindSure)) left.Add(Cause.PumpDamage);
        if (valve > -KindSure && !LostEvenly(s) && !FallsWithSpeed(s) && !(kind.FrothEvidence > KindSure)) left.Add(Cause.ReliefValve);
        if (kind.FrothEvidence > FrothLikely || Lingers(s)) left.Add(Cause.AirInOil);
        if (kind.ThinEvidence > -HoleUnlikely) left.AddRange(Cause.ThinOil, Cause.Wear);
        return left.ToImmutable();
    }

    /// <summary>True when a fall lasts, by the longest alert or by its size and certainty.</summary>
    public static bool Lasts(Signature s) => s.LongestS >= LastsS || (s.FallRatio >= FellFarRatio && s.FellSigma >= SurelyFellSigma);

    /// <summary>True when pressure without load strays far more than it did, or far more than any steady system's does.</summary>
    private static bool IsUnsteady(Signature s) => HasParts(s)
        ? (s.After.Scatter >= FlutterScatter && s.After.Scatter >= ScatterGrowth * s.Before.Scatter)
            || (s.After.Scatter >= ManyfoldScatter && s.After.Scatter >= ManyfoldGrowth * s.Before.Scatter) || IsRestless(s)
        : IsRestless(s);

    /// <summary>True when pressure without load strays by far more than any steady system's does, whatever it did before.</summary>
    private static bool IsRestless(Signature s) => s.After.Scatter >= RestlessScatter;

    /// <summary>True when pressure at steady engine speed surely flutters more than it did, without load too.</summary>
    private static bool Flutters(Signature s)
    {
        FlutterGrowth flutter = s.Flutter;
        if (!Grew(s)) return false;
        bool calm = double.IsNaN(flutter.CalmGrowth) ? s.Drops == 0 : flutter.CalmGrowth >= FlutterCalmShare * flutter.Growth;
        return calm && (flutter.Sigma >= FlutterSurely || (flutter.Sigma >= FlutterLikely && flutter.NearGrowth >= FlutterGrew && !(s.Before.TopFall >= FallsOffShare / 2)));
    }

    /// <summary>True when it flutters certainly, and without load hardly less than with it: no load lets that air in.</summary>
    private static bool FluttersEverywhere(Signature s) =>
        FluttersWithoutLoad(s) && s.Flutter.Sigma >= FlutterCertain;

    /// <summary>True when it flutters surely, and without load hardly less than with it.</summary>
    private static bool FluttersWithoutLoad(Signature s) => Flutters(s) && s.Flutter.CalmGrowth >= FlutterEvenly * s.Flutter.Growth;

    /// <summary>True when the relief valve is known to open where it did.</summary>
    private static bool ValveIsOld(EngineChange change) => change.Relief >= ValveKept && change.Relief * Math.Exp(-2 * change.ReliefSigma) >= ValveKnown && !(change.Evidence >= ValveChanged && change.Relief < ValveSurelyKept);

    /// <summary>True when pressure no longer reaches the relief valve, so that nothing is known of it.</summary>
    private static bool IsValveUnseen(EngineChange change) => change.ReliefSigma >= ValveHardlyKnown && (change.Evidence < ValveChanged || change.Relief > 1);

    /// <summary>True when the relief valve surely opens at less than it did.</summary>
    private static bool ValveIsLower(EngineChange change) => change.Relief <= ValveLost && change.Evidence >= ValveChanged;

    private static CauseTest Must(Func<Signature, bool> holds, Func<Signature, string>? says) => new(true, 0.5, s => holds(s), says);

    private static CauseTest Test(double weight, Func<Signature, bool?> holds, Func<Signature, string>? says) => new(false, weight, holds, says);

    private static bool? Decided(bool holds, bool other) => holds == other ? null : holds;

    private static bool? Known(double value, bool holds) => double.IsNaN(value) ? null : holds;

    private static bool HasParts(Signature s) => s.Fell || !double.IsNaN(s.UnsteadyAtS);

    private static double Since(Signature s) => s.Fell ? s.FellAtS : s.UnsteadyAtS;

    private static double BothCorners(Signature s) =>
        (s.Directions[(int)LoadDirection.Left] + s.Directions[(int)LoadDirection.Right]) / Math.Max(1 - s.Unloaded, 1e-9);

    private static string FellFor(Signature s) =>
        Invariant($"at {s.FellAtS:F0} s pressure fell for good, from {Percent(Math.Min(s.Before.Ratio, 1))} to {Percent(s.After.Ratio)} of healthy above 2500 rpm");

    private static string LowerThan(Signature s) => IdlesLow(s)
        ? Invariant($"at idle pressure is {s.Level.IdleShare * s.Level.LowPerThousandRpmKpa:F0} kPa for each 1000 rpm, {Percent(s.Level.IdleShare)} of that at 2000 rpm with oil as thick: at so little delivery clearances of bearings and pump take most; an earlier run would show whether that is this engine's usual idle")
        : s.Level.ReferenceName is null
        ? Invariant($"from {s.Matched.AtS:F0} s on pressure is {Percent(Math.Exp(s.Matched.Level))} of what it was before in this run at like engine speed and oil temperature ({s.Matched.Regions} regions of both), steadily, and under load no less than without")
        : Invariant($"at equal oil temperature pressure is {Percent(s.Level.LowRatio)} of that in {s.Level.ReferenceName} at 2000 rpm, {Percent(s.Level.MiddleRatio)} higher up, {Percent(s.Level.TopRatio)} near the top");

    private static string Grown(RampShift shift) => Invariant($"with the relief valve shut it is {Percent(shift.Ratio(LowRpm, 1))} of that at {LowRpm:F0} rpm, {Percent(shift.Ratio(HighRpm, 1))} at {HighRpm:F0} rpm, and {Percent(shift.Ratio(LowRpm, Warm))} at {LowRpm:F0} rpm with oil twice as thick: thinner oil takes the same share at every speed, and no less in colder oil");

    private static string Evened(Signature s) => Invariant(
        $"with the relief valve shut it is {Percent(s.Matched.Shift.Ratio(LowRpm, 1))} of that at {LowRpm:F0} rpm and {Percent(s.Matched.Shift.Ratio(HighRpm, 1))} at {HighRpm:F0} rpm: the same share at every speed, as thinner oil takes it");

    private static string OpenSince(Signature s) => IsHeldLow(s)
        ? Invariant($"at 100 °C pressure is {s.Level.LowPerThousandRpmKpa:F0} kPa for each 1000 rpm at 2000 rpm, hardly rises any more in the upper half of the speeds driven (power {s.Level.TopPower:F2}; 1 is a ramp, 0 is flat) and is {s.Level.TopPerThousandRpmKpa:F0} kPa for each 1000 rpm near the top, where 69 (10 psi) is the rule of thumb: held down at a level; an earlier run would show whether that is this engine's usual one")
        : SticksOpen(s.Level.Change) || MayBeOpenSince(s) || s.Level.Change.Shift.IsHole
        ? Invariant($"against {s.Level.ReferenceName} pressure is lower from low speed on as with a relief valve that sticks partly open, at all speeds and oil temperatures ({Percent(s.Level.LowRatio)} at 2000 rpm, {Percent(s.Level.TopRatio)} near the top); thinner oil, larger clearances or another opening pressure do not explain it")
        : Invariant($"against {s.Level.ReferenceName} the relief valve opens at {Percent(s.Level.Change.Relief)} of what it did, and {(s.Level.Change.Ramp >= KeptRamp ? "with it shut" : "at idle")} pressure is as it was ({Percent(s.Level.Change.Ramp >= KeptRamp ? s.Level.Change.Ramp : s.Level.Change.IdleRatio)})");

    private static string Compared(EngineChange change) => Invariant(
        $"both runs together, at all speeds and oil temperatures, put the relief valve at {Percent(change.Relief)} of its old opening pressure (± {100 * change.ReliefSigma:F1}) and pressure with the valve shut at {Percent(change.Ramp)}");

    private static string Faults(Signature s)
    {
        int others = s.OtherFaults + s.SpeedFaults;
        string pressure = s.PressureFaults == 0 ? "" : Invariant($"the oil pressure sensor gave readings that cannot be true {Count(s.PressureFaults)}");
        string other = others == 0 ? "" : Invariant($"other sensors {Count(others)}");
        string steps = s.Steps == 0 ? "" : Invariant($"oil pressure stepped down and back {Count(s.Steps)}");
        return string.Join(", ", new[] { pressure, other, steps }.Where(part => part.Length > 0));
    }

    private static string Contacts(Signature s) => s.Contact.IsLoose
        ? Invariant($"the reading stepped up {Count(s.Contact.Up)} and down {Count(s.Contact.Down)}, by up to {s.Contact.LargestKpa:F0} kPa, each within one reading while engine speed stayed: gallery, line and sensor are slower than that")
        : Invariant($"from {s.Contact.NoiseAtS:F0} s on the reading strays by {100 * s.Contact.NoiseShare:F1} % from one to the next, each for itself (successive differences correlate by {s.Contact.NoiseCorrelation:F2}; white noise by -0.50): what passes gallery and line follows what was before");

    private static string Collapse(Signature s) => Invariant(
        $"in {s.Collapses.Count} of {Times(s.Drops)} it went to half of healthy or less while the engine slowed {Where(s.Collapses.Under)}, and was back within seconds; under no other load, nor without, is it as low: a flow or froth would take less as the engine slows");

    private static string Where(LoadDirection direction) => direction switch
    {
        LoadDirection.Left => "in left-hand corners",
        LoadDirection.Right => "in right-hand corners",
        LoadDirection.Braking => "under braking",
        LoadDirection.Accelerating => "under acceleration",
        _ => "without load",
    };

    private static string Count(int times) => times == 1 ? "once" : Invariant($"{times} times");

    private static string Times(int drops) => drops == 1 ? "1 fall of pressure" : Invariant($"{drops} falls of pressure");

    private static string Percent(double ratio) =>
        double.IsFinite(ratio) ? Invariant($"{100 * ratio:F0} %") : "an unknown share";

    private static string SignedPercent(double ratio) => Invariant($"{100 * ratio:+0;-0;0} %");
}
