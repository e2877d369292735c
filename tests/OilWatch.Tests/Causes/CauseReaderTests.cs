using OilWatch.Alerts;
using OilWatch.Causes;
using OilWatch.Detectors;

#pragma warning disable MA0002 // Assert.Equal compares texts ordinally by itself.

namespace OilWatch.Tests.Causes;

public sealed class CauseReaderTests
{
    private static readonly SignaturePart Healthy = new()
    {
        Count = 5000,
        Ratio = 1,
        CalmRatio = 1,
        IdleRatio = 1,
        LoadGap = 0.005,
        Scatter = 0.01,
        FlutterKpa = 5,
        SpeedPower = 0.2,
        TopFall = 0,
        TopRpm = 7000,
    };

    private static readonly Signature Quiet = new() { Before = Healthy, After = Healthy };

    private static readonly FlutterGrowth Fluttering = new(60, 1.5, 40, 1.5, 1.5, 0.02);

    private static readonly Signature LeftHand = Quiet with
    {
        Drops = 14,
        Grave = 12,
        DropS = 18,
        LongestS = 2.4,
        LoadedS = 1.3,
        LoadBeforeS = 0.9,
        Directions = [0, 1, 0, 0, 0],
        DropRpm = 5000,
    };

    private static readonly Signature HeldDown = Quiet with
    {
        Drops = 1,
        Grave = 1,
        DropS = 200,
        LongestS = 200,
        Directions = [1, 0, 0, 0, 0],
        FellAtS = 300,
        FellSigma = 150,
        After = Healthy with { Ratio = 0.55, CalmRatio = 0.55, LoadGap = 0, SpeedPower = 0.25 },
    };

    // Air drawn above a flow: from 300 s on pressure falls as the engine turns faster.
    private static readonly Signature DrawsAir = HeldDown with
    {
        Course = new ChangeCourse(300, 0, 200, 0.03, 0.6, 90),
        Kind = new FallKind(20, -10, 250, -100, 0.4, 0.3),
        Flutter = Fluttering with { Sigma = 70 },
        FlutterAtS = 300,
        UnsteadyAtS = 300,
        After = HeldDown.After with { Scatter = 0.03, SpeedPower = -1.2, LatelyCorrelation = -0.1, LostByLately = 0.02 },
    };

    // Froth: at equal speed it takes the more the faster the engine turned before.
    private static readonly Signature Lingering = HeldDown with
    {
        Course = new ChangeCourse(260, 30, 2, 0.2, 0.2, 40),
        Kind = new FallKind(100, -20, -25, -120, 0.7, 0.3),
        Flutter = Fluttering with { Sigma = 80 },
        FlutterAtS = 260,
        UnsteadyAtS = 260,
        Before = Healthy with { LatelyCorrelation = -0.1, LostByLately = 0.01 },
        After = Healthy with { Ratio = 0.75, CalmRatio = 0.78, LoadGap = 0.08, Scatter = 0.03, SpeedPower = 0.5, LatelyCorrelation = -0.75, LostByLately = 0.15 },
    };

    // One deep drop that began on a straight and had not ended when the driver lifted and switched off.
    private static readonly Signature Lost = Quiet with
    {
        Drops = 1,
        Grave = 1,
        DropS = 7,
        LongestS = 7,
        LoadedS = 7,
        LoadBeforeS = 1,
        Directions = [0, 0, 0, 0, 1],
        LostAtS = 250,
        LostErratically = true,
    };

    [Fact]
    public void Pressure_that_comes_in_slugs_and_never_comes_back_is_a_pickup_that_is_off() =>
        Assert.Equal(Cause.PickupBroken, Read(Lost).Cause);

    [Fact]
    public void Pressure_lost_steadily_and_for_good_is_no_uncovered_pickup()
    {
        CauseReading reading = Read(Lost with { LostErratically = false });
        Assert.Equal(CauseOutcome.CannotTell, reading.Outcome);
        Assert.Equal([Cause.PickupBroken, Cause.PumpDamage], reading.Candidates);
    }

    [Fact]
    public void After_many_falls_that_came_back_the_last_one_is_of_their_kind() =>
        Assert.Equal(Cause.PickupUncovered, Read(LeftHand with { LostAtS = 700, LostErratically = true }).Cause);

    [Fact]
    public void Falls_in_left_hand_corners_that_come_back_are_an_uncovered_pickup()
    {
        CauseReading reading = Read(LeftHand);
        Assert.Equal(CauseOutcome.Named, reading.Outcome);
        Assert.Equal(Cause.PickupUncovered, reading.Cause);
        Assert.Equal(LoadDirection.Left, reading.Direction);
        Assert.Equal("oil pickup uncovered in left-hand corners: fill level, baffle or pickup position", reading.Reading);
        Assert.Equal(
            [
                "100 % of 14 falls of pressure came under sustained load", "pressure came back, after 1.3 s (median)", "100 % of them in left-hand corners",
                "without load pressure stood at 100 % of healthy", "the load had acted for 0.9 s (median) before pressure fell",
            ],
            reading.Evidence);
        Assert.Equal(["PickupUncovered"], reading.Inspect);
    }

    [Theory]
    [InlineData(1, 3, 1.2, 0, false)]       // once
    [InlineData(3, 3, 3.4, 0, false)]       // shallow and long, here and there: a curve that fits badly
    [InlineData(3, 3, 1.2, 0, true)]
    [InlineData(4, 4, 2.4, 2, true)]        // at the same corner on other laps
    public void Advisories_alone_name_a_pickup_only_where_they_are_brief_or_come_again(int drops, double belowS, double loadedS, int repeats, bool named)
    {
        CauseReading reading = Read(LeftHand with { Drops = drops, Grave = 0, DropS = belowS, LoadedS = loadedS, Repeats = repeats });
        Assert.Equal(named ? CauseOutcome.Named : CauseOutcome.CannotTell, reading.Outcome);
    }

    [Fact]
    public void Lost_at_idle_too_no_load_uncovered_the_pickup() =>
        Assert.NotEqual(Cause.PickupUncovered, Read(LeftHand with { After = Healthy with { IdleRatio = 0.3 } }).Cause);

    [Fact]
    public void Suddenly_taken_from_the_highest_speeds_it_is_the_pickup_though_pressure_flutters_and_strays()
    {
        CauseReading reading = Read(DrawsAir);
        Assert.Equal(Cause.PickupBroken, reading.Cause);
        Assert.Contains(
            "it came within seconds at 300 s, and takes 60 % near the top of the speeds driven and 3 % at low ones: pressure falls as the engine turns faster, as where a pickup draws air above a flow",
            reading.Evidence);
    }

    [Fact]
    public void The_same_where_the_mean_did_not_fall() =>
        Assert.Equal(Cause.PickupBroken, Read(DrawsAir with { FellAtS = double.NaN, LongestS = 3, LoadedS = 3 }).Cause);

    [Fact]
    public void Pressure_that_falls_as_the_engine_turns_faster_is_neither_froth_nor_valve_where_it_is_not_known_how_it_came()
    {
        CauseReading reading = Read(DrawsAir with { Course = ChangeCourse.Unknown });
        Assert.NotEqual(Cause.AirInOil, reading.Cause);
        Assert.NotEqual(Cause.ReliefValve, reading.Cause);
    }

    [Fact]
    public void What_outlasts_the_speed_that_made_it_is_air_in_the_oil_whatever_a_valve_explains()
    {
        CauseReading reading = Read(Lingering);
        Assert.Equal(Cause.AirInOil, reading.Cause);
        Assert.Contains("at equal engine speed it loses 15 % more for each 1000 rpm that the engine turned faster in the seconds before: air that was whipped in leaves the oil slowly", reading.Evidence);
    }

    [Fact]
    public void What_built_up_slowly_and_flutters_is_named_neither_valve_nor_pickup()
    {
        Signature slowly = Lingering with { Course = new ChangeCourse(260, 60, -20, 0.2, 0.2, 40), After = Lingering.After with { LatelyCorrelation = -0.3, LoadGap = 0.09 } };
        Assert.DoesNotContain(Read(slowly).Cause, new Cause?[] { Cause.ReliefValve, Cause.PickupBroken });
        Assert.DoesNotContain(Read(slowly with { After = slowly.After with { LoadGap = 0 } }).Cause, new Cause?[] { Cause.ReliefValve, Cause.PickupBroken });
    }

    // What a crack lets in is air under every load: from 300 s on pressure looks held down at a level, and flutters.
    private static readonly Signature Cracked = HeldDown with
    {
        Course = new ChangeCourse(300, 10, 200, 0.5, 0.5, 90),
        Kind = new FallKind(400, -150, -50, -400, 0.4, 0.3),
        Flutter = Fluttering with { Growth = 4, NearGrowth = 4, CalmGrowth = 4, Sigma = 150 },
        FlutterAtS = 300,
        Before = Healthy with { Scatter = 0.003 },
        After = HeldDown.After with { Ratio = 0.45, CalmRatio = 0.45, Scatter = 0.012 },
    };

    [Fact]
    public void Suddenly_held_down_and_fluttering_since_at_every_load_it_is_the_pickup_however_well_a_valve_explains_the_level()
    {
        CauseReading reading = Read(Cracked);
        Assert.Equal(Cause.PickupBroken, reading.Cause);
        Assert.Contains(
            "since then what is left strays by 2.6 % more than before at equal speed, without load too: what the pump is given is mixed with air, and a valve or a pump takes pressure steadily",
            reading.Evidence);
    }

    [Theory]
    [InlineData(0.003, 4, 4)]            // steady
    [InlineData(0.012, 4, 2)]            // under load alone
    [InlineData(0.012, 0.3, 0.3)]        // it did not flutter more
    public void Suddenly_held_down_without_that_flutter_it_is_the_valve(double scatter, double growth, double calm) =>
        Assert.Equal(Cause.ReliefValve, Read(Cracked with
        {
            Flutter = Cracked.Flutter with { Growth = growth, CalmGrowth = calm },
            After = Cracked.After with { Scatter = scatter },
        }).Cause);

    [Theory]
    [InlineData(0.75, 200, 10)]          // no deeper than froth
    [InlineData(0.45, -20, 60)]          // it built up
    public void What_froth_might_have_taken_is_not_the_pickups_because_it_flutters(double left, double suddenly, double tookS) =>
        Assert.NotEqual(Cause.PickupBroken, Read(Cracked with
        {
            Course = new ChangeCourse(300, tookS, suddenly, 0.5, 0.5, 90),
            After = Cracked.After with { Ratio = left, CalmRatio = left, Scatter = 0.025 },
        }).Cause);

    [Fact]
    public void Held_down_and_fluttering_pickup_and_valve_remain_where_it_is_not_known_how_it_came()
    {
        CauseReading reading = Read(Cracked with { Course = ChangeCourse.Unknown });
        Assert.Equal(CauseOutcome.CannotTell, reading.Outcome);
        Assert.Equal([Cause.ReliefValve, Cause.PickupBroken], reading.Candidates.Order().ToArray());
    }

    [Fact]
    public void Fluttering_since_it_fell_it_is_not_the_pump_though_a_pump_explains_the_level() =>
        Assert.Equal(Cause.PickupBroken, Read(Cracked with { Kind = new FallKind(-60, -60, -80, -100, 0.4, 0.5) }).Cause);

    [Fact]
    public void Unsteady_and_low_for_the_whole_run_without_any_fall_it_cannot_be_told()
    {
        Signature low = Quiet with { Flutter = Fluttering, FlutterAtS = 300, Level = LevelSignature.Unknown with { PerThousandRpmKpa = 40 } };
        Assert.Equal(CauseOutcome.CannotTell, Read(low).Outcome);
    }

    [Theory]
    [InlineData(1.00, 0.50, 900, -5, 1.0, true)]
    [InlineData(0.30, 1.00, 5, 40, 1.0, true)]             // a hole takes most at low speed, where thin oil does
    [InlineData(0.50, 0.50, 900, -5, 0.5, false)]          // wear takes the ramp as well
    [InlineData(0.45, 1.00, 0, 2, 0.45, false)]            // thin oil
    [InlineData(1.00, 0.98, 3, 0, 1.0, false)]
    public void Against_a_reference_a_valve_that_stood_open_from_the_begin_on_is_named(double ramp, double relief, double evidence, double hole, double holeRamp, bool named)
    {
        CauseReading reading = Read(Quiet with
        {
            Level = new LevelSignature(60, 0.6, 0.6, 0.6, "may.csv") { Change = new EngineChange(ramp, 0.02, relief, 0.01, evidence) { HoleEvidence = hole, HoleRamp = holeRamp } },
        });
        Assert.Equal(named, reading.Cause == Cause.ReliefValve);
    }

    // A reserve that is refilled more slowly than the pump draws: low on every straight, next to nothing under braking.
    private static readonly Signature Drained = Quiet with
    {
        Drops = 13,
        Grave = 12,
        DropS = 66,
        LongestS = 11.4,
        LoadedS = 2.8,
        LoadBeforeS = 2.5,
        Directions = [0.5, 0.05, 0, 0, 0.45],
        DropRpm = 5400,
        Collapses = (LoadDirection.Braking, 11),
        MindsAlone = LoadDirection.Braking,
        UnsteadyAtS = 160,
        Flutter = Fluttering with { CalmGrowth = 0.8 },
        After = Healthy with { Ratio = 0.88, CalmRatio = 0.86, LoadGap = 0.09, Scatter = 0.03 },
    };

    [Fact]
    public void Deepest_under_braking_alone_it_is_the_pickup_uncovered_there_though_it_begins_on_the_straight()
    {
        CauseReading reading = Read(Drained);
        Assert.Equal((CauseOutcome.Named, Cause.PickupUncovered, LoadDirection.Braking), (reading.Outcome, reading.Cause, reading.Direction));
        Assert.Contains(
            "in 11 of 13 falls of pressure it went to half of healthy or less while the engine slowed under braking, and was back within seconds; under no other load, nor without, is it as low: a flow or froth would take less as the engine slows",
            reading.Evidence);
        Assert.Contains("it begins to fall before that load acts, at high engine speed, and less deep: oil comes back to the pickup more slowly than the pump draws it", reading.Evidence);
    }

    [Fact]
    public void Deep_under_other_loads_too_or_a_few_times_only_it_is_not_told()
    {
        Assert.NotEqual(CauseOutcome.Named, Read(Drained with { MindsAlone = LoadDirection.None }).Outcome);
        Assert.NotEqual(CauseOutcome.Named, Read(Drained with { MindsAlone = LoadDirection.Left }).Outcome);
        Assert.NotEqual(CauseOutcome.Named, Read(Drained with { Collapses = (LoadDirection.Braking, 2) }).Outcome);
        Assert.NotEqual(CauseOutcome.Named, Read(Drained with { Collapses = (LoadDirection.Braking, 5) }).Outcome);      // of twelve
    }

    [Fact]
    public void Air_that_lingers_and_flutters_without_load_is_named_though_its_falls_come_after_one_straight()
    {
        Signature corner = Lingering with
        {
            Drops = 5,
            Grave = 2,
            LongestS = 15,
            LoadedS = 12.7,
            LoadBeforeS = 3.5,
            Directions = [0, 1, 0, 0, 0],
            FellAtS = double.NaN,
            FellSigma = 0,
            Kind = FallKind.Unknown,
            After = Lingering.After with { CalmRatio = 0.96 },
        };
        Assert.Equal(Cause.AirInOil, Read(corner).Cause);
        Assert.NotEqual(Cause.AirInOil, Read(corner with { Flutter = corner.Flutter with { CalmGrowth = 1 } }).Cause);
        Assert.NotEqual(Cause.AirInOil, Read(corner with { After = corner.After with { LatelyCorrelation = -0.2 } }).Cause);
    }

    [Theory]
    [InlineData(-200, -3, 0.035, true)]
    [InlineData(5, -3, 0.035, false)]           // not known how it came
    [InlineData(-200, -9, 0.035, false)]        // froth does not explain it
    [InlineData(-200, -3, 0.015, false)]        // steady
    public void Air_that_gathered_slowly_may_take_as_much_as_a_third(double sudden, double froth, double scatter, bool named)
    {
        CauseReading reading = Read(HeldDown with
        {
            Course = new ChangeCourse(260, 60, sudden, 0.3, 0.32, 90),
            Kind = new FallKind(40, -14, froth, -40, 0.5, 0.7),
            Flutter = Fluttering with { Sigma = 88 },
            UnsteadyAtS = 260,
            Before = Healthy with { Scatter = 0.006 },
            After = Healthy with { Ratio = 0.69, CalmRatio = 0.71, LoadGap = 0.026, Scatter = scatter, SpeedPower = 0.85 },
        });
        Assert.Equal(named, reading.Cause == Cause.AirInOil);
    }

    [Fact]
    public void A_valve_that_explains_a_fall_worse_than_froth_does_is_not_weighed_against_air()
    {
        Signature froth = HeldDown with
        {
            Course = new ChangeCourse(260, 20, 3, -0.1, 0.18, 20),
            Kind = new FallKind(52, -13, 18, -70, 0.65, 0.54),
            Flutter = Fluttering with { Sigma = 90 },
            UnsteadyAtS = 260,
            Before = Healthy with { Scatter = 0.006 },
            After = Healthy with { Ratio = 0.82, CalmRatio = 0.82, IdleRatio = double.NaN, LoadGap = 0.02, Scatter = 0.058, SpeedPower = 0.9 },
        };
        Assert.Equal(Cause.AirInOil, Read(froth).Cause);
        Assert.Equal(CauseOutcome.CannotTell, Read(froth with { Kind = new FallKind(52, -13, 2, -70, 0.65, 0.54) }).Outcome);
    }

    [Fact]
    public void Where_healthy_was_learned_from_what_came_after_the_ratio_says_nothing_of_how_it_came()
    {
        Signature followed = HeldDown with
        {
            MeasuredFall = 0.5,
            Course = new ChangeCourse(240, 60, -8, -0.3, 0.13, 23),
            Kind = new FallKind(360, -8, -290, -350, 0.4, 0.4),
            Flutter = Fluttering with { CalmGrowth = 0.8 },
            After = HeldDown.After with { Ratio = 0.88, CalmRatio = 0.89 },
        };
        Assert.Equal(Cause.ReliefValve, Read(followed).Cause);
    }

    [Theory]
    [InlineData(1, -300, 0.01, true)]
    [InlineData(1, 30, 0.01, false)]           // at once: something broke
    [InlineData(4, -300, 0.01, false)]
    [InlineData(1, -300, 0.05, false)]         // unsteady: air
    public void Thinning_within_the_run_against_a_reference_whose_valve_it_kept_is_thin_oil(int grave, double sudden, double scatter, bool named)
    {
        CauseReading reading = Read(HeldDown with
        {
            Drops = grave,
            Grave = grave,
            Course = new ChangeCourse(240, 120, sudden, 0.5, 0.48, 180),
            Kind = new FallKind(0, 1, 4, -5, 0.84, 0.9),
            Level = new LevelSignature(60, 0.5, 0.5, 0.6, "may.csv") { Change = new EngineChange(0.45, 0.02, 1.02, 0.01, 3) },
            After = HeldDown.After with { Scatter = scatter, LoadGap = -0.01, SpeedPower = 1.5, IdleRatio = 0.45 },
        });
        Assert.Equal(named, reading.Cause == Cause.ThinOil);
    }

    [Fact]
    public void Where_pressure_falls_as_the_engine_turns_faster_a_broken_pickup_remains_beside_an_uncovered_one()
    {
        Signature falls = LeftHand with { Directions = [0.26, 0.24, 0.24, 0, 0.26], UnsteadyAtS = 200, Flutter = Fluttering, After = Healthy with { Scatter = 0.06, SpeedPower = -1.1 } };
        Assert.Contains(Cause.PickupBroken, Read(falls).Candidates);
        Assert.DoesNotContain(Cause.PickupBroken, Read(falls with { After = falls.After with { SpeedPower = 0.3 } }).Candidates);
    }

    [Fact]
    public void Nothing_is_nothing() => Assert.Equal(CauseOutcome.NothingFound, Read(Quiet).Outcome);

    [Fact]
    public void Pressure_held_down_at_a_level_is_the_relief_valve() => Assert.Equal(Cause.ReliefValve, Read(HeldDown).Cause);

    [Fact]
    public void A_ratio_that_fell_while_healthy_was_still_being_learned_is_nothing_without_an_alert()
    {
        Signature unseen = HeldDown with { Drops = 0, Grave = 0, DropS = 0, LongestS = 0 };
        Assert.Equal(Cause.ReliefValve, Read(unseen).Cause);
        Assert.Equal(CauseOutcome.NothingFound, Read(unseen with { AsItRan = true }).Outcome);
        Assert.Equal(Cause.ReliefValve, Read(HeldDown with { AsItRan = true }).Cause);
    }

    [Fact]
    public void Lost_at_idle_too_it_is_the_pump() =>
        Assert.Equal(Cause.PumpDamage, Read(HeldDown with { After = HeldDown.After with { IdleRatio = 0.4, SpeedPower = 0.8 } }).Cause);

    [Fact]
    public void More_of_it_lost_under_load_it_is_the_pickup() =>
        Assert.Equal(Cause.PickupBroken, Read(HeldDown with { After = HeldDown.After with { LoadGap = 0.12 } }).Cause);

    [Fact]
    public void Next_to_nothing_left_is_pump_or_pickup()
    {
        CauseReading reading = Read(HeldDown with { After = HeldDown.After with { Ratio = 0.2, CalmRatio = 0.2, IdleRatio = 0.2, SpeedPower = 1 } });
        Assert.Equal(CauseOutcome.CannotTell, reading.Outcome);
        Assert.Equal([Cause.PumpDamage, Cause.PickupBroken], reading.Candidates.Order().ToArray());
        Assert.StartsWith("cannot tell: oil p", reading.Reading, StringComparison.Ordinal);
    }

    [Fact]
    public void Between_a_ramp_and_a_plateau_relief_valve_and_pump_remain()
    {
        CauseReading reading = Read(HeldDown with { After = HeldDown.After with { SpeedPower = 0.6 } });
        Assert.Equal(CauseOutcome.CannotTell, reading.Outcome);
        Assert.Equal([Cause.ReliefValve, Cause.PumpDamage], reading.Candidates);
    }

    [Fact]
    public void Unsteady_pressure_in_every_direction_is_air_in_the_oil() => Assert.Equal(Cause.AirInOil, Read(LeftHand with
    {
        Directions = [0.3, 0.2, 0.2, 0.2, 0.1],
        UnsteadyAtS = 300,
        Flutter = Fluttering,
        FlutterAtS = 300,
        After = Healthy with { Ratio = 0.97, CalmRatio = 0.93, Scatter = 0.05 },
    }).Cause);

    [Fact]
    public void Flutter_that_began_in_the_run_is_air_in_the_oil_where_no_fall_was_called()
    {
        CauseReading reading = Read(Quiet with { Flutter = Fluttering, FlutterAtS = 300 });
        Assert.Equal(Cause.AirInOil, reading.Cause);
        Assert.Contains("at steady speed it flutters 2.1 times as much as before 300 s, without load too", reading.Evidence);
    }

    [Fact]
    public void Flutter_under_load_alone_is_no_air_in_the_oil() =>
        Assert.Equal(CauseOutcome.NothingFound, Read(Quiet with { Flutter = Fluttering with { CalmGrowth = 0.3 }, FlutterAtS = 300 }).Outcome);

    [Fact]
    public void Flutter_too_small_to_tell_from_a_curve_that_fits_worse_is_nothing() =>
        Assert.Equal(CauseOutcome.NothingFound, Read(Quiet with { Flutter = Fluttering with { Share = 0.004 }, FlutterAtS = 300 }).Outcome);

    [Fact]
    public void Without_oil_temperature_only_much_more_flutter_counts()
    {
        Signature blind = Quiet with { FlutterAtS = 300, Level = LevelSignature.Unknown with { KnowsTemperature = false } };
        Assert.Equal(CauseOutcome.NothingFound, Read(blind with { Flutter = Fluttering }).Outcome);
        Assert.Equal(Cause.AirInOil, Read(blind with { Flutter = Fluttering with { Growth = 2.5, CalmGrowth = 2.5 } }).Cause);
    }

    [Fact]
    public void Deep_falls_in_one_kind_of_corner_are_an_uncovered_pickup_though_pressure_flutters_there() =>
        Assert.NotEqual(Cause.AirInOil, Read(LeftHand with { Flutter = Fluttering, FlutterAtS = 300 }).Cause);

    [Fact]
    public void A_fall_that_lasts_and_flutters_is_no_air_in_the_oil() =>
        Assert.Equal(Cause.ReliefValve, Read(HeldDown with { Flutter = Fluttering, FlutterAtS = 300 }).Cause);

    [Fact]
    public void What_load_takes_is_read_between_some_and_much_where_nothing_was_calm() =>
        Assert.Equal(Cause.PickupBroken, Read(HeldDown with
        {
            Before = Healthy with { LoadGap = double.NaN, HalfLoadGap = 0.002 },
            After = HeldDown.After with { LoadGap = double.NaN, HalfLoadGap = 0.09, SpeedPower = 0.9 },
        }).Cause);

    // A connector: fourteen steps, up and down, by up to 90 kPa.
    private static readonly RampShift Evenly = new(-0.35, 0.02, -0.02, 0.02, 0.02, 0.03), AtLowSpeedMost = new(-0.35, 0.02, 0.14, 0.02, 0.02, 0.03);

    private static Signature Faded(RampShift shift) => Quiet with { Matched = new MatchedFall(240, 300, -0.3, 12, 20) { Shift = shift } };

    [Fact]
    public void What_fades_evenly_within_a_run_is_thinner_oil()
    {
        CauseReading reading = Read(Faded(Evenly));
        Assert.Equal((CauseOutcome.Named, Cause.ThinOil), (reading.Outcome, reading.Cause));
        Assert.Equal(
            [
                "from 270 s on pressure is 74 % of what it was before in this run at like engine speed and oil temperature (20 regions of both), steadily, and under load no less than without",
                "with the relief valve shut it is 71 % of that at 1000 rpm and 70 % at 3500 rpm: the same share at every speed, as thinner oil takes it",
            ],
            reading.Evidence);
    }

    [Fact]
    public void What_fades_most_at_low_speed_is_wear() => Assert.Equal(Cause.Wear, Read(Faded(AtLowSpeedMost)).Cause);

    [Fact]
    public void What_fades_without_a_sign_of_where_may_be_either()
    {
        CauseReading reading = Read(Faded(RampShift.Unknown));
        Assert.Equal(CauseOutcome.CannotTell, reading.Outcome);
        Assert.Equal([Cause.ThinOil, Cause.Wear], reading.Candidates);
    }

    [Theory]
    [InlineData(-0.05, 12, 0.01, 0.005)]    // next to nothing
    [InlineData(-0.3, 3, 0.01, 0.005)]      // not sure
    [InlineData(-0.3, 12, 0.01, 0.10)]      // load takes it
    public void What_did_not_surely_fade_whatever_the_load_is_no_thinner_oil(double level, double sigma, double scatter, double gap)
    {
        Signature faded = Quiet with { Matched = new MatchedFall(240, 300, level, sigma, 20) { Shift = Evenly }, After = Healthy with { Scatter = scatter, LoadGap = gap } };
        Assert.Equal(CauseOutcome.NothingFound, Read(faded).Outcome);
    }

    [Fact]
    public void Pressure_that_hardly_rises_far_below_the_rule_of_thumb_is_held_down_by_the_valve()
    {
        Signature low = Quiet with { Level = LevelSignature.Unknown with { PerThousandRpmKpa = 62, LowPerThousandRpmKpa = 97, TopPerThousandRpmKpa = 39, TopPower = 0.2 } };
        Assert.Equal((CauseOutcome.Named, Cause.ReliefValve), (Read(low).Outcome, Read(low).Cause));
        Assert.NotEqual(Cause.ReliefValve, Read(low with { Level = low.Level with { TopPower = 0.8 } }).Cause);              // still rising: low everywhere
        Assert.NotEqual(Cause.ReliefValve, Read(low with { Level = low.Level with { TopPerThousandRpmKpa = 60 } }).Cause);    // as sound engines have it
        Assert.NotEqual(Cause.ReliefValve, Read(low with { Level = low.Level with { LowPerThousandRpmKpa = 60 } }).Cause);
    }

    [Fact]
    public void Idle_far_below_what_speed_takes_is_wear()
    {
        Signature idle = Quiet with { Level = LevelSignature.Unknown with { PerThousandRpmKpa = 95, LowPerThousandRpmKpa = 99, TopPerThousandRpmKpa = 70, TopPower = 0.4, IdleShare = 0.65 } };
        Assert.Equal((CauseOutcome.Named, Cause.Wear), (Read(idle).Outcome, Read(idle).Cause));
        Assert.Equal(CauseOutcome.NothingFound, Read(idle with { Level = idle.Level with { IdleShare = 1 } }).Outcome);
        Assert.Equal(CauseOutcome.NothingFound, Read(idle with { Level = idle.Level with { LowPerThousandRpmKpa = 130 } }).Outcome);   // low, and good enough
    }

    [Fact]
    public void As_much_lost_at_once_with_the_valve_shut_as_anywhere_is_not_the_valve()
    {
        Signature lost = HeldDown with
        {
            Course = new ChangeCourse(300, 0, 500, 0.45, 0.45, 200),
            Kind = new FallKind(170, -150, -240, -170, 0.34, 0.5) { Shift = new RampShift(-0.6, 0.02, -0.05, 0.02, 0.02, 0.03) },
            After = HeldDown.After with { IdleRatio = 0.55 },
        };
        Assert.Equal(Cause.PumpDamage, Read(lost).Cause);
        Assert.Equal(Cause.ReliefValve, Read(lost with { Kind = lost.Kind with { Shift = RampShift.Unknown } }).Cause);
    }

    [Fact]
    public void Pressure_that_rises_faster_than_speed_since_it_fell_passes_a_hole()
    {
        Signature hole = HeldDown with
        {
            Course = new ChangeCourse(300, 0, 500, 0.5, 0.2, 200),
            Kind = new FallKind(-35, -17, -50, 0, 0.5, 0.5),
            After = HeldDown.After with { SpeedPower = 1.25, IdleRatio = 0.3 },
        };
        Assert.Equal(Cause.ReliefValve, Read(hole).Cause);
        Assert.Equal(Cause.PumpDamage, Read(hole with { After = hole.After with { SpeedPower = 0.9 } }).Cause);
    }

    [Fact]
    public void Shallow_falls_on_the_straights_of_an_engine_whose_pressure_is_restless_without_load_are_air()
    {
        Signature restless = LeftHand with { Grave = 2, Drops = 18, LoadedS = 0.7, Directions = [0.05, 0, 0.05, 0, 0.9], After = Healthy with { Scatter = 0.045, CalmRatio = 0.98 }, Before = Healthy with { Scatter = 0.045 } };
        Assert.Equal(Cause.AirInOil, Read(restless).Cause);
        Assert.Equal(Cause.PickupUncovered, Read(restless with { Grave = 12, After = Healthy, Before = Healthy }).Cause);
    }

    [Fact]
    public void A_fit_gone_astray_names_no_thinner_oil_where_nothing_is_lost_at_like_speed_and_temperature()
    {
        EngineChange astray = new(0.27, 0.02, 1.11, 0.006, 109) { Shift = new RampShift(0.006, 0.01, -0.01, 0.02, -0.1, 0.09) };
        Signature sound = Quiet with { Level = new LevelSignature(100, 1.01, 1, 1, "may.csv") { Change = astray } };
        Assert.Equal(CauseOutcome.NothingFound, Read(sound).Outcome);
        Assert.NotEqual(CauseOutcome.NothingFound, Read(sound with { Level = new LevelSignature(60, 0.6, 0.6, 0.8, "may.csv") { Change = astray with { Shift = RampShift.Unknown } } }).Outcome);
    }

    [Fact]
    public void What_is_lost_at_speed_and_in_cold_oil_alone_is_a_valve_that_opens_at_less()
    {
        EngineChange spring = new(0.82, 0.01, 0.7, 0.006, 700) { HoleEvidence = -700, IdleRatio = 0.7, Shift = new RampShift(-0.05, 0.02, -0.36, 0.02, -0.67, 0.05) };
        Signature lower = Quiet with { Level = new LevelSignature(90, 0.62, 0.7, 0.73, "may.csv") { Change = spring } };
        Assert.Equal(Cause.ReliefValve, Read(lower).Cause);
        Assert.NotEqual(Cause.ReliefValve, Read(lower with { Level = lower.Level with { Change = spring with { Shift = new RampShift(-0.3, 0.02, 0, 0.02, 0, 0.05) } } }).Cause);
    }

    [Theory]
    [InlineData(80, 0.79, -0.2, "ReliefValve")]
    [InlineData(80, 0.95, -0.2, null)]        // nothing lost near the top: worn gaps that pass oil as a hole does
    [InlineData(5, 0.79, -0.2, null)]
    [InlineData(80, 0.79, 0.2, "Wear")]       // hot oil loses more, and cold oil would find a hole
    public void Where_regions_leave_valve_and_wear_open_the_flow_balance_decides(double evidence, double top, double thickness, string? cause)
    {
        EngineChange change = new(0.47, 0.02, 1, 0.01, 0.1) { HoleEvidence = evidence, HoleRamp = 0.5, IdleRatio = 0.37, Shift = new RampShift(-0.8, 0.01, 0.19, 0.015, thickness, 0.05) };
        Signature lower = Quiet with { Level = new LevelSignature(57, 0.44, 0.53, top, "may.csv") { Change = change } };
        Assert.Equal(cause, Read(lower).Cause?.ToString());
    }

    private static readonly ContactSigns Loose = new() { IsLoose = true, Up = 6, Down = 8, LargestKpa = 90 };

    private static readonly ContactSigns Chattering = new() { IsLasting = true, StepS = 0.04, NoiseAtS = 300, NoiseGrowth = 3, NoiseSigma = 130, NoiseCorrelation = -0.45, NoiseShare = 0.05 };

    [Fact]
    public void Falls_no_deeper_than_the_steps_of_a_loose_contact_are_the_sensors()
    {
        CauseReading reading = Read(HeldDown with { Contact = Loose, StepShare = 0.28, PressureFaults = 1, Deeper = 0, After = Healthy with { Ratio = 0.8, CalmRatio = 0.8 } });
        Assert.Equal((CauseOutcome.Named, Cause.Sensor), (reading.Outcome, reading.Cause));
        Assert.Equal("oil pressure sensor, connector or wiring, not the oil system", reading.Reading);
        Assert.Equal(
            ["the reading stepped up 6 times and down 8 times, by up to 90 kPa, each within one reading while engine speed stayed: gallery, line and sensor are slower than that"],
            reading.Evidence);
    }

    [Fact]
    public void A_loose_contact_beside_a_fall_deeper_than_its_steps_is_not_all_that_is_wrong() =>
        Assert.NotEqual(Cause.Sensor, Read(HeldDown with { Contact = Loose, StepShare = 0.28, PressureFaults = 1, Deeper = 1 }).Cause);

    [Fact]
    public void A_lasting_fall_that_no_step_of_a_loose_contact_takes_is_not_its_doing() =>
        Assert.NotEqual(Cause.Sensor, Read(HeldDown with { Contact = Loose, StepShare = 0.28, PressureFaults = 1 }).Cause);

    [Fact]
    public void Many_falls_in_one_kind_of_corner_are_no_contacts_doing()
    {
        Assert.Equal(Cause.PickupUncovered, Read(LeftHand with { Contact = Loose, StepShare = 0.28, PressureFaults = 1 }).Cause);
        Assert.Equal(Cause.PickupUncovered, Read(LeftHand with { Contact = Chattering }).Cause);
        Assert.Equal(Cause.PickupUncovered, Read(LeftHand with { Contact = Chattering, Directions = [0, 0.5, 0.5, 0, 0] }).Cause);
    }

    [Fact]
    public void A_reading_that_chatters_as_no_oil_does_is_the_sensors_however_low_it_is()
    {
        CauseReading reading = Read(HeldDown with { Contact = Chattering, After = HeldDown.After with { Ratio = 0.35 } });
        Assert.Equal(Cause.Sensor, reading.Cause);
        Assert.Equal(
            ["from 300 s on the reading strays by 5.0 % from one to the next, each for itself (successive differences correlate by -0.45; white noise by -0.50): what passes gallery and line follows what was before"],
            reading.Evidence);
    }

    [Fact]
    public void Where_nothing_is_left_a_chattering_contact_explains_nothing() =>
        Assert.NotEqual(Cause.Sensor, Read(HeldDown with { Contact = Chattering, After = HeldDown.After with { Ratio = 0.1, CalmRatio = 0.1 } }).Cause);

    [Theory]
    [InlineData(-0.33, Cause.Sensor)]
    [InlineData(-0.10, Cause.AirInOil)]
    [InlineData(0.45, Cause.AirInOil)]
    public void Flutter_without_a_fall_is_airs_unless_it_is_quicker_than_two_lags_let_through(double correlation, Cause cause)
    {
        ContactSigns contact = new() { IsLasting = true, StepS = 0.04, NoiseAtS = 300, NoiseGrowth = 1, NoiseSigma = 60, NoiseCorrelation = correlation, NoiseShare = 0.009 };
        Signature run = Quiet with { Flutter = Fluttering with { Sigma = 70 }, FlutterAtS = 300, UnsteadyAtS = 300, After = Healthy with { Scatter = 0.03 }, Contact = contact };
        Assert.Equal(cause, Read(run).Cause);
    }

    [Fact]
    public void Falls_at_sensor_faults_are_the_sensors() =>
        Assert.Equal(Cause.Sensor, Read(LeftHand with { Drops = 4, Doubtful = 3, PressureFaults = 4 }).Cause);

    [Fact]
    public void Sensor_faults_beside_real_falls_are_told_beside_them()
    {
        CauseReading reading = Read(LeftHand with { PressureFaults = 2 });
        Assert.Equal(Cause.PickupUncovered, reading.Cause);
        Assert.Equal(["sensors or wiring: faults found of oil pressure 2, of other channels 0"], reading.Also);
    }

    [Theory]
    [InlineData(1.00, 0.01, -0.1, Cause.ThinOil)]
    [InlineData(0.96, 0.02, 2, Cause.ThinOil)]
    [InlineData(1.00, 0.045, 0, Cause.ThinOil)]       // known less well, but far above a worn engine's
    [InlineData(0.86, 0.01, 80, Cause.Wear)]
    [InlineData(0.90, 0.02, 6, Cause.Wear)]
    public void Against_a_reference_the_valve_tells_thin_oil_from_wear(double relief, double sigma, double evidence, Cause cause) =>
        Assert.Equal(cause, Read(Lower(new EngineChange(0.5, 0.02, relief, sigma, evidence))).Cause);

    [Theory]
    [InlineData(1.00, 0.2, -0.1)]      // the valve opened in neither run
    [InlineData(0.95, 0.045, 0)]
    [InlineData(0.86, 0.05, 3)]
    [InlineData(0.94, 0.01, 9)]
    [InlineData(double.NaN, double.NaN, double.NaN)]
    public void Where_the_valve_is_not_known_well_enough_both_remain(double relief, double sigma, double evidence)
    {
        CauseReading reading = Read(Lower(new EngineChange(0.5, 0.02, relief, sigma, evidence)));
        Assert.Equal(CauseOutcome.CannotTell, reading.Outcome);
        Assert.Equal([Cause.ThinOil, Cause.Wear], reading.Candidates);
    }

    [Theory]
    [InlineData(0.58, 1.04, 0.45, 0.98, Cause.Wear)]
    [InlineData(0.60, 0.80, double.NaN, 0.97, Cause.Wear)]           // clearances as well
    [InlineData(0.58, 1.04, 0.98, 0.98, Cause.ThinOil)]              // idle is as it was
    [InlineData(0.60, 0.62, 0.45, 0.98, Cause.ThinOil)]              // hardly more than the ramp
    [InlineData(0.58, 1.04, 0.35, 0.62, Cause.ReliefValve)]          // a hole takes the top as well
    public void Lost_at_low_speed_beyond_what_thinner_oil_takes_it_is_wear_where_the_top_is_kept(double ramp, double holeRamp, double idle, double top, Cause cause) =>
        Assert.Equal(cause, Read(AtLowSpeed(ramp, holeRamp, idle, top)).Cause);

    [Fact]
    public void With_some_of_the_top_lost_too_wear_and_a_valve_that_sticks_open_remain()
    {
        CauseReading reading = Read(AtLowSpeed(0.58, 1.04, 0.45, 0.85));
        Assert.Equal(CauseOutcome.CannotTell, reading.Outcome);
        Assert.Equal([Cause.Wear, Cause.ReliefValve], reading.Candidates.Order().ToArray());
    }

    [Fact]
    public void The_evidence_for_it_says_what_is_left_at_idle() =>
        Assert.Contains(
            "most is lost at low speed (at idle 45 % is left), more there than thinner oil takes, and little near the top: clearances or pump (a relief valve that sticks a little open would look the same)",
            Read(AtLowSpeed(0.58, 1.04, 0.45, 0.98)).Evidence);

    [Theory]
    [InlineData(0.64, 0.64, 0.69, 0.57, Cause.ThinOil)]
    [InlineData(0.64, 0.64, 0.64, 0.64, Cause.Wear)]                 // the valve may hold it down at the top
    [InlineData(0.64, 0.78, 0.84, 0.57, Cause.Wear)]
    [InlineData(0.64, 0.64, 0.69, 0.85, Cause.Wear)]
    public void As_much_lost_at_every_speed_is_no_valve_that_opens_at_far_less(double low, double middle, double top, double relief, Cause cause) =>
        Assert.Equal(cause, Read(Quiet with { Level = new LevelSignature(60, low, middle, top, "may.csv") { Change = new EngineChange(0.65, 0.01, relief, 0.05, 90) } }).Cause);

    [Theory]
    [InlineData(1.00, Cause.ReliefValve)]
    [InlineData(0.70, null)]
    [InlineData(double.NaN, null)]
    public void A_valve_that_opens_at_far_less_is_named_where_idle_is_as_it_was_though_the_fit_puts_the_ramp_a_little_lower(double idle, Cause? cause)
    {
        var change = new EngineChange(0.86, 0.01, 0.52, 0.01, 2000) { HoleEvidence = -2000, HoleRamp = 0.4, IdleRatio = idle };
        CauseReading reading = Read(Quiet with { Level = new LevelSignature(68, 0.73, 0.55, 0.55, "may.csv") { Change = change } });
        Assert.Equal(cause, reading.Cause);
        if (cause is null) return;
        Assert.Contains("against may.csv the relief valve opens at 52 % of what it did, and at idle pressure is as it was (100 %)", reading.Evidence);
    }

    [Fact]
    public void Lower_with_the_valve_shut_is_lower_though_the_plateau_hides_it() =>
        Assert.Equal(Cause.ThinOil, Read(Quiet with { Level = new LevelSignature(90, 0.95, 0.97, 0.98, "may.csv") { Change = new EngineChange(0.6, 0.05, 1, 0.01, 0) } }).Cause);

    [Fact]
    public void A_ramp_that_is_hardly_known_is_not_lower() =>
        Assert.Equal(CauseOutcome.NothingFound, Read(Quiet with { Level = new LevelSignature(90, 0.95, 0.97, 0.98, "may.csv") { Change = new EngineChange(0.7, 0.2, 1, 0.01, 0) } }).Outcome);

    [Fact]
    public void Low_against_the_rule_of_thumb_alone_it_cannot_be_told()
    {
        CauseReading reading = Read(Quiet with { Level = LevelSignature.Unknown with { PerThousandRpmKpa = 50 } });
        Assert.Equal(CauseOutcome.CannotTell, reading.Outcome);
        Assert.Equal([Cause.ThinOil, Cause.Wear], reading.Candidates);
        Assert.Contains("at 4000 rpm and 100 °C pressure is 50 kPa for each 1000 rpm, under the rule of thumb of 69 kPa (10 psi)", reading.Evidence);
    }

    [Fact]
    public void A_reading_is_named_or_lists_what_remains_whatever_the_numbers()
    {
        var random = new Random(20261125);
        for (int i = 0; i < 20_000; i++)
        {
            CauseReading reading = Read(Any(random));
            Assert.Equal(reading.Outcome == CauseOutcome.Named, reading.Cause is not null);
            Assert.Equal(reading.Outcome == CauseOutcome.CannotTell, !reading.Candidates.IsEmpty);
            Assert.All(reading.Evidence, sentence => Assert.DoesNotContain("NaN", sentence, StringComparison.Ordinal));
            Assert.All(reading.Measurements, measurement => Assert.True(double.IsFinite(measurement.Value)));
        }
    }

    [Theory]
    [InlineData(40, Cause.ReliefValve)]
    [InlineData(-40, Cause.PumpDamage)]
    public void All_speeds_and_temperatures_together_tell_valve_from_pump(double evidence, Cause cause) =>
        Assert.Equal(cause, Read(HeldDown with { Kind = new FallKind(evidence, evidence, -50, -50, 0.5, 0.6), After = HeldDown.After with { SpeedPower = 0.6, IdleRatio = 0.9 } }).Cause);

    [Fact]
    public void A_valve_that_sticks_open_as_a_hole_is_the_relief_valve_though_idle_is_lost_too() =>
        Assert.Equal(Cause.ReliefValve, Read(HeldDown with { Kind = new FallKind(-20, 30, -40, -40, 0.5, 0.6), After = HeldDown.After with { SpeedPower = 0.9, IdleRatio = 0.4 } }).Cause);

    [Fact]
    public void A_pump_is_not_named_where_a_hole_explains_pressure_as_well()
    {
        CauseReading reading = Read(HeldDown with { Kind = new FallKind(-30, -1, -40, -0.1, 0.5, 0.6), After = HeldDown.After with { SpeedPower = 0.9, IdleRatio = 0.4 } });
        Assert.Equal(CauseOutcome.CannotTell, reading.Outcome);
        Assert.Equal([Cause.PickupBroken, Cause.PumpDamage, Cause.ReliefValve, Cause.ThinOil, Cause.Wear], reading.Candidates);
        Assert.Equal(Cause.PumpDamage, Read(HeldDown with { Kind = new FallKind(-30, -10, -40, -0.1, 0.5, 0.6), After = HeldDown.After with { SpeedPower = 0.9, IdleRatio = 0.4 } }).Cause);
    }

    [Theory]
    [InlineData(100, -0.1, false)]                   // over minutes, and thinner oil explains it as well
    [InlineData(100, -30, true)]                     // over minutes, but no thinner oil takes so much and leaves so much
    [InlineData(10, -0.1, true)]                     // within seconds
    public void A_pump_is_not_named_where_pressure_went_over_minutes_as_thinner_oil_would_take_it(double tookS, double thinEvidence, bool isNamed)
    {
        CauseReading reading = Read(HeldDown with
        {
            Kind = new FallKind(-30, -10, -40, thinEvidence, 0.5, 0.6),
            After = HeldDown.After with { SpeedPower = 0.9, IdleRatio = 0.4 },
            Course = new ChangeCourse(300, tookS, tookS > 40 ? -1000 : 1000, 0.4, 0.4, 150),
        });
        Assert.Equal(isNamed ? Cause.PumpDamage : null, reading.Cause);
        Assert.Equal(!isNamed, reading.Candidates.Contains(Cause.ThinOil));
    }

    [Theory]
    [InlineData(1, 0.020, Cause.AirInOil)]           // froth explains it, and it strays by a tenth of what was lost
    [InlineData(-60, 0.010, Cause.PumpDamage)]       // as steady as before, and lost at low speed as well
    [InlineData(-60, 0.020, Cause.PickupBroken)]     // air reaches the pump, and at low speed as much of it
    public void A_lasting_fall_is_read_by_whether_pressure_strays_with_it_and_froth_explains_it(double frothEvidence, double scatter, Cause cause) =>
        Assert.Equal(cause, Read(HeldDown with
        {
            Kind = new FallKind(-20, -20, frothEvidence, -20, 0.5, 0.6),
            Flutter = Fluttering with { Sigma = 70 },
            FlutterAtS = 300,
            UnsteadyAtS = 300,
            After = Healthy with { Ratio = 0.82, CalmRatio = 0.82, LoadGap = 0, SpeedPower = 0.6, Scatter = scatter },
        }).Cause);

    [Theory]
    [InlineData(0.5, CauseOutcome.Named)]
    [InlineData(0.0, CauseOutcome.NothingFound)]              // nothing changed at that moment: it is the heat
    public void Where_nothing_is_known_without_load_flutter_has_to_come_with_the_change(double near, CauseOutcome outcome) =>
        Assert.Equal(outcome, Read(Quiet with
        {
            UnsteadyAtS = 300,
            FlutterAtS = 300,
            Flutter = new FlutterGrowth(60, 0.5, 7, near, double.NaN, 0.012),
            After = Healthy with { Scatter = 0.018 },
        }).Outcome);

    [Theory]
    [InlineData(0.012, 0.012, CauseOutcome.NothingFound)]     // flutter alone, too little of it to be sure
    [InlineData(0.018, 0.003, CauseOutcome.NothingFound)]     // strays alone: a curve that fits badly once the oil is hot
    [InlineData(0.018, 0.012, CauseOutcome.Named)]
    public void What_strays_and_flutters_is_air_though_neither_alone_is_sure(double scatter, double share, CauseOutcome outcome)
    {
        CauseReading reading = Read(Quiet with
        {
            UnsteadyAtS = 300,
            FlutterAtS = 300,
            Flutter = new FlutterGrowth(60, 0.5, 15, 0.3, 0.5, share),
            After = Healthy with { Scatter = scatter },
        });
        Assert.Equal(outcome, reading.Outcome);
        Assert.Equal(outcome == CauseOutcome.Named ? Cause.AirInOil : null, reading.Cause);
    }

    private static Signature AtLowSpeed(double ramp, double holeRamp, double idle, double top) => Quiet with
    {
        Level = new LevelSignature(60, 0.64, 0.9, top, "may.csv") { Change = new EngineChange(ramp, 0.02, 1, 0.01, 0.1) { HoleEvidence = 36, HoleRamp = holeRamp, IdleRatio = idle } },
    };

    private static Signature Lower(EngineChange change) => Quiet with { Level = new LevelSignature(60, 0.5, 0.6, 0.8, "may.csv") { Change = change } };

    private static CauseReading Read(Signature signature) => CauseReader.Read(signature, causes => [.. causes.ToArray().Select(cause => cause.ToString())]);

    private static Signature Any(Random random)
    {
        double[] shares = [.. Enumerable.Range(0, 5).Select(_ => random.NextDouble())];
        double all = shares.Sum();
        int drops = random.Next(0, 6);
        bool fell = random.Next(2) == 0;
        return new Signature
        {
            Drops = drops,
            Grave = random.Next(0, drops + 1),
            LongestS = random.NextDouble() * 30,
            LoadedS = Or(random, 20),
            LoadBeforeS = Or(random, 5),
            Directions = [.. shares.Select(share => share / all)],
            Doubtful = random.Next(0, drops + 1),
            Steps = random.Next(0, 2),
            PressureFaults = random.Next(0, 3),
            SpeedFaults = random.Next(0, 2),
            OtherFaults = random.Next(0, 2),
            DropRpm = Or(random, 8000),
            FellAtS = fell ? 100 : double.NaN,
            FellSigma = fell ? 20 : 0,
            UnsteadyAtS = Or(random, 100),
            Before = Part(random),
            After = Part(random),
            Level = random.Next(2) == 0 ? LevelSignature.Unknown : new LevelSignature(Or(random, 100), Or(random, 1), Or(random, 1), Or(random, 1), "x")
            {
                Change = new EngineChange(Or(random, 1), Or(random, 0.1), Or(random, 1.2), Or(random, 0.1), Or(random, 20)) { HoleEvidence = Or(random, 40), HoleRamp = Or(random, 1.2), IdleRatio = Or(random, 1.2) },
            },
        };
    }

    private static SignaturePart Part(Random random) => new()
    {
        Ratio = Or(random, 1.2),
        CalmRatio = Or(random, 1.2),
        IdleRatio = Or(random, 1.2),
        LoadGap = Or(random, 0.3) - 0.1,
        Scatter = Or(random, 0.1),
        FlutterKpa = Or(random, 10),
        SpeedPower = Or(random, 1.2),
        TopFall = Or(random, 0.2),
        TopRpm = Or(random, 8000),
    };

    private static double Or(Random random, double most) => random.Next(4) == 0 ? double.NaN : random.NextDouble() * most;
}
