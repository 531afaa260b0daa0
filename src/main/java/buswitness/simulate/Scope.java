package buswitness.simulate;

import buswitness.capture.SampleWriter;
import java.util.SplittableRandom;

/**
 * A recorder of voltages at the line: takes who drives it in time order, and samples what follows exponentially, with
 * noise, and through a capacitor where there is one. Several who drive at once add up, less and less, towards half as much
 * again as the strongest of them: a model of our own, without a source; only bits that are arbitrated and the acknowledge
 * slot show it.
 */
final class Scope {
    private static final double LIMIT = 1.5;
    /** Beyond so many time constants an edge is over. */
    private static final double SETTLED = 40;

    private final ScopeBehaviour behaviour;
    private final SampleWriter out;
    private final SplittableRandom random;
    private final double samplePicos;
    private final double edgePicos;
    private final double keep;
    private final long most;
    private final float[] samples = new float[4096];
    private int count;
    private long taken;
    private double line;
    private double target;
    private double since;
    private double coupled;
    private double before;

    Scope(ScopeBehaviour behaviour, SampleWriter out, double durationSeconds, SplittableRandom random) {
        this.behaviour = behaviour;
        this.out = out;
        this.random = random;
        samplePicos = 1e12 / behaviour.samplesPerSecond();
        edgePicos = behaviour.edgeSeconds() * 1e12;
        keep = behaviour.couplingHertz() == 0 ? 0
                : StrictMath.exp(-2 * Math.PI * behaviour.couplingHertz() / behaviour.samplesPerSecond());
        most = count(behaviour, durationSeconds);
        line = target = before = behaviour.recessiveVolts() * behaviour.supplyAt(0);
    }

    /** Samples of a recording. */
    static long count(ScopeBehaviour behaviour, double durationSeconds) {
        return (long) Math.floor(durationSeconds * behaviour.samplesPerSecond());
    }

    /**
     * From an instant on, these drive the line.
     *
     * @param onClock     the recorder's picoseconds; may lie before its start
     * @param trueSeconds the same instant of the simulation
     * @param driving     how many times over each station drives, one entry more than stations for what is none of them
     * @param held        recessive by force
     */
    void drive(double onClock, double trueSeconds, Station[] stations, int[] driving, boolean held) {
        double supply = behaviour.supplyAt(trueSeconds);
        double recessive = behaviour.recessiveVolts();
        double strongest = 0;
        double left = 1;
        for (int pass = 0; pass < 2 && !held; pass++) {
            for (int i = 0; i < driving.length; i++) {
                if (driving[i] <= 0) continue;
                NodeLevel level = i < stations.length ? stations[i].behaviour.drive().level() : NodeLevel.USUAL;
                double swing = level.at(trueSeconds) - recessive;
                if (pass == 0 && Math.abs(swing) > Math.abs(strongest)) strongest = swing;
                if (pass == 1) left *= 1 - Math.abs(swing) / (LIMIT * Math.abs(strongest));
            }
        }
        boolean one = false;
        if (!held) {
            int drivers = 0;
            for (int d : driving) if (d > 0) drivers++;
            one = drivers == 1;
        }
        double swing = one ? strongest : LIMIT * strongest * (1 - left);
        target(onClock, supply * (recessive + swing));
    }

    private void target(double onClock, double volts) {
        sampleUntil(onClock);
        line = lineAt(onClock);
        since = onClock;
        target = volts;
    }

    private double lineAt(double onClock) {
        double passed = onClock - since;
        if (edgePicos <= 0 || passed > SETTLED * edgePicos) return target;
        return target + (line - target) * StrictMath.exp(-passed / edgePicos);
    }

    private void sampleUntil(double onClock) {
        while (taken < most && taken * samplePicos < onClock) {
            double x = lineAt(taken * samplePicos);
            if (keep > 0) {
                coupled = keep * (coupled + x - before);
                before = x;
                x = coupled;
            }
            if (behaviour.noiseVolts() > 0) x += behaviour.noiseVolts() * random.nextGaussian();
            samples[count++] = (float) x;
            taken++;
            if (count == samples.length) flush();
        }
    }

    private void flush() {
        out.samples(samples, count);
        count = 0;
    }

    /** The recording is over. */
    void finish() {
        sampleUntil(Double.POSITIVE_INFINITY);
        flush();
    }
}
