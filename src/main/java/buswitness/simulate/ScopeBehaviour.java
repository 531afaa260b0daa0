package buswitness.simulate;

import java.util.List;

/**
 * A recorder that samples voltages instead of level changes.
 *
 * @param samplesPerSecond  of its own clock
 * @param recessiveVolts    the line while nobody drives it
 * @param edgeSeconds       time constant of an edge, 0 or more
 * @param noiseVolts        standard deviation of each sample
 * @param couplingHertz     corner of the capacitor that the tap is coupled through; 0 for none
 * @param dips              of the supply, which move every level
 */
public record ScopeBehaviour(double samplesPerSecond, double recessiveVolts, double edgeSeconds, double noiseVolts,
                             double couplingHertz, List<Dip> dips) {

    /**
     * The supply gives less for a while.
     *
     * @param share by which all levels shrink, 0 to 1
     */
    public record Dip(double atSeconds, double forSeconds, double share) {}

    public ScopeBehaviour {
        dips = List.copyOf(dips);
        if (!(samplesPerSecond > 0)) throw new IllegalArgumentException("samples are taken");
        if (!(edgeSeconds >= 0 && noiseVolts >= 0 && couplingHertz >= 0)) {
            throw new IllegalArgumentException("an edge, noise and a coupling are 0 or more");
        }
    }

    public static ScopeBehaviour of(double samplesPerSecond) {
        return new ScopeBehaviour(samplesPerSecond, 0, 200e-9, 0.01, 0, List.of());
    }

    public ScopeBehaviour withDips(List<Dip> other) {
        return new ScopeBehaviour(samplesPerSecond, recessiveVolts, edgeSeconds, noiseVolts, couplingHertz, other);
    }

    public ScopeBehaviour withCoupling(double hertz) {
        return new ScopeBehaviour(samplesPerSecond, recessiveVolts, edgeSeconds, noiseVolts, hertz, dips);
    }

    public ScopeBehaviour withNoise(double volts) {
        return new ScopeBehaviour(samplesPerSecond, recessiveVolts, edgeSeconds, volts, couplingHertz, dips);
    }

    double supplyAt(double seconds) {
        double left = 1;
        for (Dip d : dips) if (seconds >= d.atSeconds() && seconds < d.atSeconds() + d.forSeconds()) left *= 1 - d.share();
        return left;
    }
}
