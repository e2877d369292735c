using OilWatch.Synthesiser.Maths;

namespace OilWatch.Synthesiser.Driving;

/// <summary>Engine speed, gear and throttle from how the car moves.</summary>
public sealed class Powertrain
{
    private const double G = 9.80665;
    private const double CrankingRpm = 210;

    private Powertrain(int count)
    {
        Rpm = new double[count];
        ThrottlePercent = new double[count];
        Gear = new int[count];
    }

    /// <summary>Engine speed, rpm.</summary>
    public double[] Rpm { get; }

    /// <summary>Throttle opening, percent.</summary>
    public double[] ThrottlePercent { get; }

    /// <summary>Gear, 0 for neutral.</summary>
    public int[] Gear { get; }

    /// <summary>Runs the engine and gearbox through a drive; gear changes leave their mark on the drive's longitudinal g.</summary>
    public static Powertrain Run(Drive drive, Car car, double stepS, SeededRandom random)
    {
        int count = drive.SpeedMs.Length;
        var result = new Powertrain(count);
        var spin = new BandNoise(random, 0.15, stepS);
        var idle = new BandNoise(random, 0.6, stepS);
        double[] blips = IdleBlips(drive, stepS, random);
        double rpm = drive.EngineRuns[0] ? car.IdleRpm : 0;
        double sinceStart = 10;
        int gear = 1;
        double shiftLeft = 0, sinceShift = 1, blip = 0;
        bool changingUp = false;
        double follow = 1 - Math.Exp(-stepS / 0.035);
        double die = Math.Exp(-stepS / 0.35);
        double limiterPhase = 0;

        for (int i = 0; i < count; i++)
        {
            double v = drive.SpeedMs[i];
            double along = drive.LongitudinalG[i];
            if (!drive.EngineRuns[i])
            {
                rpm *= die;
                if (rpm < 20) rpm = 0;
                sinceStart = 0;
                result.Rpm[i] = rpm;
                continue;
            }

            sinceStart += stepS;
            double push = ((along * G) + (car.DragPerMass * v * v)) * Math.Max(v, 4) / car.PowerPerMass;
            double throttle = along < -0.12 ? 0 : Math.Clamp(100 * push, v > 4 ? 12 : 4, 100);

            sinceShift += stepS;
            if (shiftLeft > 0) shiftLeft -= stepS;
            else if (sinceShift > 0.4 && v > 3) ChooseGear(v, along);

            double locked = Locked(v, gear);
            double target;
            if (v < 0.5)
            {
                gear = 1;
                target = Math.Max(car.IdleRpm * (1 + (0.025 * idle.Next())), blips[i]);
                throttle = blips[i] > 0 ? 25 : 2;
            }
            else if (gear == 1 && locked < 2200)
            {
                // The clutch slips while pulling away.
                target = along > 0.02 ? Math.Max(locked, 2200) : Math.Max(locked, car.IdleRpm);
            }
            else
            {
                double slip = gear <= 3 && along > 0.15 ? car.Wheelspin * Math.Abs(spin.Next()) : 0;
                target = locked * (1 + slip);
            }

            if (shiftLeft > 0)
            {
                if (changingUp)
                {
                    throttle = 0;
                    drive.LongitudinalG[i] = (0.25 * along) - 0.05;
                }
                else
                {
                    target *= blip;
                    throttle = 45;
                }
            }

            if (target > car.RedlineRpm)
            {
                // Ignition cut: hunts just under the limit.
                limiterPhase += stepS * 12;
                target = car.RedlineRpm - 60 + (60 * Math.Sin(2 * Math.PI * limiterPhase));
                throttle = 100;
            }

            double rate = shiftLeft > 0 ? 1 - Math.Exp(-stepS / Math.Max(0.35 * car.ShiftS, 0.015)) : follow;
            if (sinceStart < 0.8) target = CrankingRpm;
            else if (sinceStart < 3 && v < 0.5) target = car.IdleRpm * (1 + (0.45 * Math.Exp(-(sinceStart - 0.8) / 0.8)));
            rpm += (target - rpm) * (v < 0.5 ? 1 - Math.Exp(-stepS / 0.15) : rate);
            result.Rpm[i] = rpm;
            result.ThrottlePercent[i] = throttle;
            result.Gear[i] = v < 0.5 ? 0 : gear;
        }

        return result;

        double Locked(double v, int inGear) => car.RedlineRpm * v / car.GearTopMs[inGear - 1];

        void ChooseGear(double v, double along)
        {
            if (gear < car.GearTopMs.Count && Locked(v, gear) > car.ShiftRpm && along > -0.1) Begin(up: true);
            else if (gear > 1 && along < -0.1 && Locked(v, gear - 1) < 0.86 * car.RedlineRpm) Begin(up: false);
            else if (gear > 1 && Locked(v, gear) < 0.42 * car.RedlineRpm && Locked(v, gear - 1) < 0.8 * car.RedlineRpm) Begin(up: false);
        }

        void Begin(bool up)
        {
            changingUp = up;
            gear += up ? 1 : -1;
            shiftLeft = car.ShiftS * random.Range(0.8, 1.3);
            sinceShift = 0;
            blip = random.Range(0.98, 1.06);
        }
    }

    // Blips of the throttle while standing in the pits, rpm to reach; 0 where there is none.
    private static double[] IdleBlips(Drive drive, double stepS, SeededRandom random)
    {
        double[] blips = new double[drive.SpeedMs.Length];
        foreach ((double from, double to, bool isSpin) in drive.Stood)
        {
            double at = from + random.Range(4, 14);
            while (!isSpin && at < to - 2)
            {
                double rpm = random.Range(2200, 4600);
                int last = Math.Min(blips.Length, (int)((at + random.Range(0.25, 0.6)) / stepS));
                for (int i = (int)(at / stepS); i < last; i++) blips[i] = rpm;
                at += random.Range(3, 20);
            }
        }

        return blips;
    }
}
