using OilWatch.Proof.Statistics;

namespace OilWatch.ProofStudy;

/// <summary>How often limits held the truth, and on which side they missed.</summary>
internal sealed class Coverage
{
    public int Trials { get; private set; }

    public int Below { get; private set; }

    public int Above { get; private set; }

    public double Share => 1 - ((double)(Below + Above) / Trials);

    public void Count(Limits limits, double truth)
    {
        Trials++;
        if (truth < limits.Low) Below++;
        else if (truth > limits.High) Above++;
    }
}
